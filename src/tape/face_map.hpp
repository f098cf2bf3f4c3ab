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
  void before_from_after(Point<Dual<Real>>& p) const {
    const auto f = tables_->shift_x.jet(p.x.v, p.y.v);
    const auto g = tables_->shift_y.jet(p.y.v);
    const auto m = tables_->mid.jet(p.x.v, p.y.v);
    p.z = (p.z - chain2(m.f, m.x, m.y, p)) / relative_height(f, g, p);
    const Dual<Real> x = Real(1 / lengthening_) * p.x + chain2(f.f, f.x, f.y, p);
    p.y = p.y + chain(g.f, g.d, p.y);
    p.x = x;
  }
  template <class Real>
  void after_from_before(Point<Dual<Real>>& p) const {
    const Real k = Real(1 / lengthening_);
    Real y = p.y.v;
#pragma GCC unroll 12
    for (int round = 0; round < 6; ++round) {
      const auto g = tables_->shift_y.jet(y);
      y = y - (y + g.f - p.y.v) / (1 + g.d);
    }
    Real x = p.x.v * Real(lengthening_);
#pragma GCC unroll 12
    for (int round = 0; round < 8; ++round) {
      const auto f = tables_->shift_x.jet(x, y);
      Real rate = k + f.x;
      rate = rate < Real(0.2) ? Real(0.2) : rate;
      x = x - (k * x + f.f - p.x.v) / rate;
    }
    const auto f = tables_->shift_x.jet(x, y);
    const auto g = tables_->shift_y.jet(y);
    const auto m = tables_->mid.jet(x, y);
    const Real gy = 1 / (1 + g.d), fx = 1 / (k + f.x);
    const Dual<Real> y1 = {y, gy * p.y.dp, gy * p.y.dq};
    const Dual<Real> x1 = {x, fx * (p.x.dp - f.y * y1.dp), fx * (p.x.dq - f.y * y1.dq)};
    p.x = x1;
    p.y = y1;
    p.z = p.z * relative_height(f, g, p) + chain2(m.f, m.x, m.y, p);
  }

 private:
  template <class Real>
  static Dual<Real> chain2(Real f, Real fx, Real fy, const Point<Dual<Real>>& p) {
    return {f, fx * p.x.dp + fy * p.y.dp, fx * p.x.dq + fy * p.y.dq};
  }
  /// h / T = dx0/dx * dy0/dy.
  template <class Real>
  Dual<Real> relative_height(const Spline2::Jet<Real>& f, const Spline1::Jet<Real>& g, const Point<Dual<Real>>& p) const {
    const Dual<Real> along = chain2(Real(1 / lengthening_) + f.x, f.xx, f.xy, p);
    return along * chain(1 + g.d, g.dd, p.y);
  }
  double lengthening_;
  std::shared_ptr<const Tables> tables_;
};

}  // namespace etchcast
