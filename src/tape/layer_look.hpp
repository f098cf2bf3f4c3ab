#pragma once
/// \file layer_look.hpp — look-ups in a layer table, a batch at a time.

#include <cmath>

#include "base/clones.hpp"
#include "base/layer_table.hpp"
#include "base/spline.hpp"
#include "etchcast/batch.hpp"

namespace etchcast {

/// Lanes and a line of the cache: rows of exactly 256 numbers would all fall into the same few places of it.
inline constexpr int kRoom = kLanes + 16;

/// A or B and derivatives at each lane: along the stage's own direction (d, dd), across it (e, de).
template <class Real>
struct Jets {
  alignas(64) Real f[kRoom], d[kRoom], e[kRoom], dd[kRoom], de[kRoom];
};

/// Where each lane lies in the table, and the weights of its four nodes each way.
template <class Real>
struct Weights {
  alignas(64) int at[kLanes];
  alignas(64) Real x[12][kRoom], y[12][kRoom];  ///< four of the value, four of each derivative
};

/// What a look-up needs to know of its table.
template <class Real>
struct Place {
  Real x0, y0, kx, ky, columns, rows;
  int stride;
  explicit Place(const LayerTable& t)
      : x0(Real(t.grid().x0)),
        y0(Real(t.grid().y0)),
        kx(Real(1 / t.grid().dx())),
        ky(Real(1 / t.grid().dy())),
        columns(Real(t.grid().columns)),
        rows(Real(t.grid().rows)),
        stride(LayerTable::kSlots * (t.grid().columns + 3)) {}
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
    out.at[lane] = int(j) * place.stride + int(i) * LayerTable::kSlots;
#pragma GCC unroll 4
    for (int k = 0; k < 4; ++k) {
      out.x[k][lane] = sx.w[k], out.x[4 + k][lane] = place.kx * sx.d[k];
      out.x[8 + k][lane] = place.kx * place.kx * sx.e[k];
      out.y[k][lane] = sy.w[k], out.y[4 + k][lane] = place.ky * sy.d[k];
      out.y[8 + k][lane] = place.ky * place.ky * sy.e[k];
    }
  }
}

/// All ways of a node stand side by side, so a lane takes them in one load each. With lanes side by side instead every
/// number would be fetched by itself: measured three times as slow.
template <class Real>
using Slots __attribute__((vector_size(LayerTable::kSlots * sizeof(Real)))) = Real;

template <class Vector, class Real>
inline void load(Vector& v, const Real* from) {
  __builtin_memcpy(&v, from, sizeof v);
}

template <int kWays, bool kAlongY, class Real>
ETCHCAST_CLONES void look_up(const Real* q, int stride, const Weights<Real>& weights, Jets<Real>* out) {
  constexpr int kSlots = LayerTable::kSlots;
  using Vector = Slots<Real>;
  for (int lane = 0; lane < kLanes; ++lane) {
    Vector f{}, along_x{}, along_y{}, twice{}, both{};
    const Real* row = q + weights.at[lane];
    const auto wx = [&](int k) { return weights.x[k][lane]; };
    const auto wy = [&](int k) { return weights.y[k][lane]; };
#pragma GCC unroll 4
    for (int r = 0; r < 4; ++r, row += stride) {
      Vector a, b, c, d;
      load(a, row), load(b, row + kSlots), load(c, row + 2 * kSlots), load(d, row + 3 * kSlots);
      const Vector value = (wx(0) * a + wx(1) * b) + (wx(2) * c + wx(3) * d);
      const Vector slope = (wx(4) * a + wx(5) * b) + (wx(6) * c + wx(7) * d);
      f += wy(r) * value, along_x += wy(r) * slope, along_y += wy(4 + r) * value, both += wy(4 + r) * slope;
      twice += kAlongY ? wy(8 + r) * value : wy(r) * ((wx(8) * a + wx(9) * b) + (wx(10) * c + wx(11) * d));
    }
#pragma GCC unroll 8
    for (int way = 0; way < kWays; ++way) {
      Jets<Real>& j = out[way];
      j.f[lane] = f[way], j.dd[lane] = twice[way], j.de[lane] = both[way];
      j.d[lane] = kAlongY ? along_y[way] : along_x[way], j.e[lane] = kAlongY ? along_x[way] : along_y[way];
    }
  }
}

}  // namespace etchcast
