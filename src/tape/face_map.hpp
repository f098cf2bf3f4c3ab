#pragma once
/// \file face_map.hpp — plane sections: a flat bar forged between two shaped faces, every cross-section of metal staying
/// plane, layers keeping their share of the thickness. Exact in volume; the limit of long waves under slipping dies.
///
/// With faces zb < z < zt and h = zt - zb after, and a flat bar of thickness T before:
///   z0 = T (z - mid) / h,  mid = (zt + zb) / 2,
/// and the bar's plan is moved so that each column of metal keeps its volume. The tables hold that plan motion; h is taken
/// from their derivative, so |det J| = 1 holds to rounding however coarse a table is.

#include <memory>

#include "base/spline.hpp"
#include "tape/map.hpp"
#include "tape/spline_look.hpp"

namespace etchcast {

/// Faces of any shape: y0 = G(y) from the running integral of the row means of h, then x0 along each row, all rows scaled
/// to the same end. A triangular rearrangement: it keeps volume exactly, but how metal shares its flow between length and
/// width is a guess.
class FieldMotion {
 public:
  static constexpr const char* kName = "field";
  struct Tables {
    Spline2 shift_x;  ///< x0 - x / E
    Spline1 shift_y;  ///< y0 - y
    Spline2 mid;
  };
  FieldMotion(double lengthening, std::shared_ptr<const Tables> tables)
      : lengthening_(lengthening), tables_(std::move(tables)) {}

  template <class Real>
  void before_from_after(Batch<Real>& b) const {
    SplineSpots<Real> spots;
    Looks<Real> looks;
    const Frames<Real> frames(*tables_);
    lane_by_lane([frames, &b, &spots, &looks](int i) {
      spots.set(i, frames.x.spot(b.x[i], b.y[i]));
      looks.set(i, frames.y.spot(b.y[i]));
    });
    looks.fetch(*tables_, spots);
    const Real k = Real(1 / lengthening_);
    lane_by_lane([frames, k, &b, &spots, &looks](int i) {
      Point<Dual<Real>> p = point_of(b, i);
      const auto f = looks.along.jet(i, spots, frames.x), m = looks.mid.jet(i, spots, frames.x);
      const auto g = looks.jet(i, frames.y);
      p.z = (p.z - chain2(m.f, m.x, m.y, p)) / relative_height(k, f, g, p);
      const Dual<Real> x = k * p.x + chain2(f.f, f.x, f.y, p);
      p.y = p.y + chain(g.f, g.d, p.y);
      p.x = x;
      put_point(p, b, i);
    });
  }
  template <class Real>
  void after_from_before(Batch<Real>& b) const {
    SplineSpots<Real> spots;
    Looks<Real> looks;
    const Frames<Real> frames(*tables_);
    const Real k = Real(1 / lengthening_), e = Real(lengthening_);
    alignas(64) Real x[kLanes], y[kLanes];
    lane_by_lane([frames, &b, &y, &looks](int i) { y[i] = b.y[i], looks.set(i, frames.y.spot(y[i])); });
    looks.fetch_across(*tables_);
    for (int round = 0; round < 6; ++round) {
      lane_by_lane([frames, &b, &y, &looks](int i) {
        const auto g = looks.jet(i, frames.y);
        y[i] = y[i] - (y[i] + g.f - b.y[i]) / (1 + g.d);
        looks.set(i, frames.y.spot(y[i]));
      });
      looks.fetch_across(*tables_);
    }
    lane_by_lane([frames, e, &b, &x, &y, &spots](int i) { x[i] = b.x[i] * e, spots.set(i, frames.x.spot(x[i], y[i])); });
    for (int round = 0; round < 8; ++round) {
      looks.along.fetch(tables_->shift_x, spots);
      lane_by_lane([frames, k, &b, &x, &y, &spots, &looks](int i) {
        const auto f = looks.along.jet(i, spots, frames.x);
        Real rate = k + f.x;
        rate = rate < Real(0.2) ? Real(0.2) : rate;
        x[i] = x[i] - (k * x[i] + f.f - b.x[i]) / rate;
        spots.set(i, frames.x.spot(x[i], y[i]));
      });
    }
    looks.fetch(*tables_, spots);
    lane_by_lane([frames, k, &b, &x, &y, &spots, &looks](int i) {
      Point<Dual<Real>> p = point_of(b, i);
      const auto f = looks.along.jet(i, spots, frames.x), m = looks.mid.jet(i, spots, frames.x);
      const auto g = looks.jet(i, frames.y);
      const Real gy = 1 / (1 + g.d), fx = 1 / (k + f.x);
      const Dual<Real> y1 = {y[i], gy * p.y.dp, gy * p.y.dq};
      const Dual<Real> x1 = {x[i], fx * (p.x.dp - f.y * y1.dp), fx * (p.x.dq - f.y * y1.dq)};
      p.x = x1;
      p.y = y1;
      p.z = p.z * relative_height(k, f, g, p) + chain2(m.f, m.x, m.y, p);
      put_point(p, b, i);
    });
  }

 private:
  /// Both tables over x and y have the same nodes.
  template <class Real>
  struct Frames {
    Spline2::Frame<Real> x;
    Spline1::Frame<Real> y;
    explicit Frames(const Tables& t) : x(t.shift_x), y(t.shift_y) {}
  };
  template <class Real>
  struct Looks {
    SplineRows<Real> along, mid;
    alignas(64) Real part[kLanes], across[4 * kLanes];
    alignas(64) int at[kLanes];
    void set(int i, const Spline1::Spot<Real>& spot) { part[i] = spot.part, at[i] = spot.at; }
    void fetch_across(const Tables& t) {
      const Real* c = t.shift_y.coefficients().data<Real>();
      for (int i = 0; i < kLanes; ++i) __builtin_memcpy(across + 4 * i, c + at[i], 4 * sizeof(Real));
    }
    void fetch(const Tables& t, const SplineSpots<Real>& spots) {
      fetch_across(t);
      along.fetch(t.shift_x, spots);
      mid.fetch(t.mid, spots);
    }
    Spline1::Jet<Real> jet(int i, const Spline1::Frame<Real>& frame) const {
      return frame.jet(part[i], [this, i](int k) { return across[4 * i + k]; });
    }
  };
  template <class Real>
  static Dual<Real> chain2(Real f, Real fx, Real fy, const Point<Dual<Real>>& p) {
    return {f, fx * p.x.dp + fy * p.y.dp, fx * p.x.dq + fy * p.y.dq};
  }
  /// h / T = dx0/dx * dy0/dy.
  template <class Real>
  static Dual<Real> relative_height(Real k, const Spline2::Jet<Real>& f, const Spline1::Jet<Real>& g, const Point<Dual<Real>>& p) {
    return chain2(k + f.x, f.xx, f.xy, p) * chain(1 + g.d, g.dd, p.y);
  }
  double lengthening_;
  std::shared_ptr<const Tables> tables_;
};

}  // namespace etchcast
