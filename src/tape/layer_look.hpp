#pragma once
/// \file layer_look.hpp — look-ups in a layer table, a batch at a time.

#include <cmath>

#include "base/clones.hpp"
#include "base/layer_table.hpp"
#include "base/spline.hpp"
#include "etchcast/batch.hpp"

namespace etchcast {

/// A or B and derivatives by way and lane: along the stage's own direction (d, dd), across it (e, de).
template <int kSlots, class Real>
struct Jets {
  using Ways = Real[kSlots][kLanes];
  alignas(64) Ways f, d, e, dd, de;
};

/// Where each lane lies in the table, and the weights of its four nodes each way: of the value, of the first and of the
/// second derivative.
template <class Real>
struct Weights {
  using Nodes = Real[4];
  alignas(64) int at[kLanes];
  alignas(64) Real x[3][4][kLanes];
  alignas(64) Nodes y[3][kLanes];
};

/// What a look-up needs to know of its table.
template <class Real>
struct Place {
  Real x0, y0, kx, ky, columns, rows;
  int slots, stride;
  explicit Place(const LayerTable& t)
      : x0(Real(t.grid().x0)),
        y0(Real(t.grid().y0)),
        kx(Real(1 / t.grid().dx())),
        ky(Real(1 / t.grid().dy())),
        columns(Real(t.grid().columns)),
        rows(Real(t.grid().rows)),
        slots(t.slots()),
        stride(t.slots() * (t.grid().columns + 3)) {}
};

template <class Real>
inline Real wrapped(Real f, Real count) {
  return f - count * std::floor(f * (1 / count));
}

template <class Real>
ETCHCAST_CLONES void weigh(Place<Real> place, const Real* x, const Real* y, Weights<Real>& out) {
#pragma GCC ivdep
  for (int lane = 0; lane < kLanes; ++lane) {
    const Real fx = wrapped((x[lane] - place.x0) * place.kx, place.columns);
    const Real fy = wrapped((y[lane] - place.y0) * place.ky, place.rows);
    const Real i = clamped(std::floor(fx), place.columns - 1), j = clamped(std::floor(fy), place.rows - 1);
    const SplineWeights<Real> sx(fx - i), sy(fy - j);
    out.at[lane] = int(j) * place.stride + int(i) * place.slots;
#pragma GCC unroll 4
    for (int k = 0; k < 4; ++k) {
      out.x[0][k][lane] = sx.w[k], out.x[1][k][lane] = place.kx * sx.d[k], out.x[2][k][lane] = place.kx * place.kx * sx.e[k];
      out.y[0][lane][k] = sy.w[k], out.y[1][lane][k] = place.ky * sy.d[k], out.y[2][lane][k] = place.ky * place.ky * sy.e[k];
    }
  }
}

/// Lanes that are looked up together: few enough that what is between stays near the processor.
inline constexpr int kGroup = 32;

/// Value, slope and bend along y at each of a group's lanes, still apart by its four nodes along x.
template <int kSlots, class Real>
struct Rows {
  static constexpr int kRow = 4 * kSlots;  ///< numbers of the four nodes of a row, all ways
  alignas(64) Real value[kGroup][kRow], slope[kGroup][kRow], bend[kGroup][kRow];
};

/// All ways of a node stand side by side, so a lane takes a row in one load. With lanes side by side instead every number
/// would be fetched by itself, and gathering is slow.
template <bool kAlongY, int kSlots, class Real>
inline void look_along_y(const Real* q, int stride, const Weights<Real>& weights, int first, Rows<kSlots, Real>& out) {
  constexpr int kRow = Rows<kSlots, Real>::kRow;
  for (int i = 0; i < kGroup; ++i) {
    const int lane = first + i;
    const Real *r0 = q + weights.at[lane], *r1 = r0 + stride, *r2 = r1 + stride, *r3 = r2 + stride;
    const Real *w = weights.y[0][lane], *d = weights.y[1][lane], *e = weights.y[2][lane];
#pragma GCC ivdep
    for (int k = 0; k < kRow; ++k) {
      out.value[i][k] = (w[0] * r0[k] + w[1] * r1[k]) + (w[2] * r2[k] + w[3] * r3[k]);
      out.slope[i][k] = (d[0] * r0[k] + d[1] * r1[k]) + (d[2] * r2[k] + d[3] * r3[k]);
      if (kAlongY) out.bend[i][k] = (e[0] * r0[k] + e[1] * r1[k]) + (e[2] * r2[k] + e[3] * r3[k]);
    }
  }
}

/// And weighed along x, lanes side by side.
template <bool kAlongY, int kSlots, class Real>
inline void look_along_x(const Rows<kSlots, Real>& rows, const Weights<Real>& weights, int first, Jets<kSlots, Real>& out) {
#pragma GCC ivdep
  for (int i = 0; i < kGroup; ++i) {
    const int lane = first + i;
    const auto weighed = [lane, &weights](const Real* row, int derivative, int way) {
      const auto& w = weights.x[derivative];
      return (w[0][lane] * row[way] + w[1][lane] * row[kSlots + way]) +
             (w[2][lane] * row[2 * kSlots + way] + w[3][lane] * row[3 * kSlots + way]);
    };
#pragma GCC unroll 8
    for (int way = 0; way < kSlots; ++way) {
      out.f[way][lane] = weighed(rows.value[i], 0, way);
      (kAlongY ? out.e : out.d)[way][lane] = weighed(rows.value[i], 1, way);
      (kAlongY ? out.d : out.e)[way][lane] = weighed(rows.slope[i], 0, way);
      out.de[way][lane] = weighed(rows.slope[i], 1, way);
      out.dd[way][lane] = kAlongY ? weighed(rows.bend[i], 0, way) : weighed(rows.value[i], 2, way);
    }
  }
}

template <bool kAlongY, int kSlots, class Real>
ETCHCAST_CLONES void look_up(const Real* q, int stride, const Weights<Real>& weights, Jets<kSlots, Real>& out) {
  Rows<kSlots, Real> rows;
  for (int first = 0; first < kLanes; first += kGroup) {
    look_along_y<kAlongY>(q, stride, weights, first, rows);
    look_along_x<kAlongY>(rows, weights, first, out);
  }
}

}  // namespace etchcast
