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
#include "tape/spline_look.hpp"

namespace etchcast {

/// A spline that repeats over a grid.
class RepeatingSpline {
 public:
  RepeatingSpline() = default;
  RepeatingSpline(const Grid2& grid, const std::vector<double>& values);
  /// What a loop over places needs of it.
  template <class Real>
  struct Frame {
    Spline2::Frame<Real> spline;
    Real x0, y0, wide, high, per_wide, per_high;
    explicit Frame(const RepeatingSpline& r)
        : spline(r.spline_), x0(Real(r.grid_.x0)), y0(Real(r.grid_.y0)), wide(Real(r.grid_.wide)), high(Real(r.grid_.high)),
          per_wide(Real(1 / r.grid_.wide)), per_high(Real(1 / r.grid_.high)) {}
    Spline2::Spot<Real> spot(Real x, Real y) const {
      const Real u = (x - x0) * per_wide, v = (y - y0) * per_high;
      return spline.spot(x - wide * std::floor(u), y - high * std::floor(v));
    }
  };
  Spline2::Jet<double> jet(double x, double y) const {
    const double u = (x - grid_.x0) * (1 / grid_.wide), v = (y - grid_.y0) * (1 / grid_.high);
    return spline_.jet(x - grid_.wide * std::floor(u), y - grid_.high * std::floor(v));
  }
  const Spline2& spline() const { return spline_; }
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
  void before_from_after(Batch<Real>& b) const {
    const Frames<Real> frames(*tables_);
    SplineSpots<Real> spots;
    SplineRows<Real> rows;
    Duals<Real> wide;
    lane_by_lane([frame = frames.a, &b, &spots](int i) { spots.set(i, frame.spot(b.x[i], b.y[i])); });
    rows.fetch(tables_->a.spline(), spots);
    lane_by_lane([frames, &b, &spots, &rows, &wide](int i) {
      Point<Dual<Real>> p = point_of(b, i);
      const auto a = rows.jet(i, spots, frames.a.spline);
      wide.set(i, chain2(1 + a.x, a.xx, a.xy, p.x, p.y));
      p.x = p.x + chain2(a.f, a.x, a.y, p.x, p.y);
      spots.set(i, frames.b.spot(p.y.v, p.x.v));
      put_point(p, b, i);
    });
    rows.fetch(tables_->b.spline(), spots);
    lane_by_lane([frames, &b, &spots, &rows, &wide](int i) {
      Point<Dual<Real>> p = point_of(b, i);
      const auto j = rows.jet(i, spots, frames.b.spline);
      p.z = p.z / (wide.at(i) * chain2(1 + j.x, j.xx, j.xy, p.y, p.x));
      p.y = p.y + chain2(j.f, j.x, j.y, p.y, p.x);
      spots.set(i, frames.mid.spot(p.x.v, p.y.v));
      put_point(p, b, i);
    });
    rows.fetch(tables_->mid.spline(), spots);
    lane_by_lane([frame = frames.mid.spline, &b, &spots, &rows](int i) {
      Point<Dual<Real>> p = point_of(b, i);
      const auto m = rows.jet(i, spots, frame);
      p.z = p.z + chain2(m.f, m.x, m.y, p.x, p.y);
      put_point(p, b, i);
    });
  }
  template <class Real>
  void after_from_before(Batch<Real>& b) const {
    const Frames<Real> frames(*tables_);
    SplineSpots<Real> spots;
    SplineRows<Real> rows;
    alignas(64) Real place[kLanes];
    lane_by_lane([frame = frames.mid, &b, &spots](int i) { spots.set(i, frame.spot(b.x[i], b.y[i])); });
    rows.fetch(tables_->mid.spline(), spots);
    lane_by_lane([frame = frames.mid.spline, &b, &spots, &rows](int i) {
      Point<Dual<Real>> p = point_of(b, i);
      const auto m = rows.jet(i, spots, frame);
      p.z = p.z - chain2(m.f, m.x, m.y, p.x, p.y);
      put_point(p, b, i);
    });
    search(tables_->b, frames.b, b.y, b.x, place, spots, rows);
    put_back<&Point<Dual<Real>>::y, &Point<Dual<Real>>::x>(frames.b.spline, place, spots, rows, b);
    search(tables_->a, frames.a, b.x, b.y, place, spots, rows);
    put_back<&Point<Dual<Real>>::x, &Point<Dual<Real>>::y>(frames.a.spline, place, spots, rows, b);
  }

 private:
  /// Moves points to the places found along one direction, and makes them as much thicker as the plan is narrower there.
  template <auto along, auto across, class Real, class Frame>
  static void put_back(const Frame& frame, const Real* place, const SplineSpots<Real>& spots, const SplineRows<Real>& rows, Batch<Real>& b) {
    lane_by_lane([frame, &b, &spots, &rows, place](int i) {
      Point<Dual<Real>> p = point_of(b, i);
      Dual<Real>&moved = p.*along, &other = p.*across;
      const auto j = rows.jet(i, spots, frame);
      const Real k = 1 / rate(j.x);
      moved = {place[i], k * (moved.dp - j.y * other.dp), k * (moved.dq - j.y * other.dq)};
      p.z = p.z * chain2(1 + j.x, j.xx, j.xy, moved, other);
      put_point(p, b, i);
    });
  }
  template <class Real>
  struct Frames {
    RepeatingSpline::Frame<Real> a, b, mid;
    explicit Frames(const Tables& t) : a(t.a), b(t.b), mid(t.mid) {}
  };
  /// Places with place + A(place, beside) = after, by Newton's method; leaves what the table holds there.
  template <class Real>
  static void search(const RepeatingSpline& table, const RepeatingSpline::Frame<Real>& frame, const Real* after, const Real* beside,
                     Real* place, SplineSpots<Real>& spots, SplineRows<Real>& rows) {
    lane_by_lane([frame, after, beside, place, &spots](int i) {
      place[i] = after[i];
      spots.set(i, frame.spot(place[i], beside[i]));
    });
    rows.fetch(table.spline(), spots);
    for (int round = 0; round < 12; ++round) {
      lane_by_lane([frame, after, beside, place, &spots, &rows](int i) {
        const auto j = rows.jet(i, spots, frame.spline);
        place[i] = place[i] - (place[i] + j.f - after[i]) / rate(j.x);
        spots.set(i, frame.spot(place[i], beside[i]));
      });
      rows.fetch(table.spline(), spots);
    }
  }
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
