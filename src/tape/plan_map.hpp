#pragma once
/// \file plan_map.hpp — an even bar and one with holes in it, told from each other: every column of metal keeps its
/// volume, layers keep their share of the height. No forging does this: it is how a bar that is uneven before a flow
/// comes in.
///
///   x0 = x + A(x, y),  y0 = y + B(x0, y),  z0 = z / J + M(x0, y0),  J = (1 + A_x)(1 + B_y)
/// x, y, z in the even bar, of the mean height. |det J| = 1 whatever the tables; the height of the uneven bar is that
/// of the even one over J. With A and B from a potential metal goes straight away from a hole, all round alike.

#include <memory>
#include <vector>

#include "base/layer_table.hpp"
#include "base/spline.hpp"
#include "tape/map.hpp"

namespace etchcast {

/// A spline that repeats over a grid.
class RepeatingSpline {
 public:
  RepeatingSpline() = default;
  RepeatingSpline(const Grid2& grid, const std::vector<double>& values);
  template <class Real>
  Spline2::Jet<Real> jet(Real x, Real y) const {
    const Real u = (x - Real(grid_.x0)) * Real(1 / grid_.wide), v = (y - Real(grid_.y0)) * Real(1 / grid_.high);
    return spline_.jet(x - Real(grid_.wide) * std::floor(u), y - Real(grid_.high) * std::floor(v));
  }
  double operator()(double x, double y) const { return jet(x, y).f; }

 private:
  Grid2 grid_;
  Spline2 spline_;
};

class PlanMotion {
 public:
  static constexpr const char* kName = "plan";
  /// The tables of B and `sideways` hold x and y exchanged, so that derivatives along y come out as those along x.
  struct Tables {
    RepeatingSpline a, b, mid;
  };
  explicit PlanMotion(std::shared_ptr<const Tables> tables) : tables_(std::move(tables)) {}

  template <class Real>
  void before_from_after(Point<Dual<Real>>& p) const {
    const auto a = tables_->a.jet(p.x.v, p.y.v);
    const Dual<Real> wide = chain2(1 + a.x, a.xx, a.xy, p.x, p.y), x0 = p.x + chain2(a.f, a.x, a.y, p.x, p.y);
    const auto b = tables_->b.jet(p.y.v, x0.v);
    const Dual<Real> high = chain2(1 + b.x, b.xx, b.xy, p.y, x0), y0 = p.y + chain2(b.f, b.x, b.y, p.y, x0);
    const auto m = tables_->mid.jet(x0.v, y0.v);
    p.z = p.z / (wide * high) + chain2(m.f, m.x, m.y, x0, y0);
    p.x = x0;
    p.y = y0;
  }
  template <class Real>
  void after_from_before(Point<Dual<Real>>& p) const {
    const auto m = tables_->mid.jet(p.x.v, p.y.v);
    const Dual<Real> up = p.z - chain2(m.f, m.x, m.y, p.x, p.y);
    Real y = p.y.v, x = p.x.v;
#pragma GCC unroll 16
    for (int round = 0; round < 12; ++round) {
      const auto b = tables_->b.jet(y, p.x.v);
      y = y - (y + b.f - p.y.v) / rate(b.x);
    }
    const auto b = tables_->b.jet(y, p.x.v);
    const Real ky = 1 / rate(b.x);
    const Dual<Real> y1 = {y, ky * (p.y.dp - b.y * p.x.dp), ky * (p.y.dq - b.y * p.x.dq)};
#pragma GCC unroll 16
    for (int round = 0; round < 12; ++round) {
      const auto a = tables_->a.jet(x, y);
      x = x - (x + a.f - p.x.v) / rate(a.x);
    }
    const auto a = tables_->a.jet(x, y);
    const Real kx = 1 / rate(a.x);
    const Dual<Real> x1 = {x, kx * (p.x.dp - a.y * y1.dp), kx * (p.x.dq - a.y * y1.dq)};
    p.z = up * chain2(1 + a.x, a.xx, a.xy, x1, y1) * chain2(1 + b.x, b.xx, b.xy, y1, p.x);
    p.x = x1;
    p.y = y1;
  }

 private:
  template <class Real>
  static Dual<Real> chain2(Real f, Real fx, Real fy, Dual<Real> x, Dual<Real> y) {
    return {f, fx * x.dp + fy * y.dp, fx * x.dq + fy * y.dq};
  }
  template <class Real>
  static Real rate(Real slope) {
    return 1 + slope < Real(0.2) ? Real(0.2) : 1 + slope;
  }
  std::shared_ptr<const Tables> tables_;
};

/// The motion for a bar of those heights `tall` and mid-heights `mid`, at the nodes of a grid over which they repeat.
///   Units   as the grid's; `tall` in any
MapPtr plan_map(const Grid2& grid, const std::vector<double>& tall, const std::vector<double>& mid);

}  // namespace etchcast
