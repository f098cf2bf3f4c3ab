#pragma once
/// \file ridge_map.hpp — plane sections (see face_map.hpp) between faces that vary along one direction only.
///
/// u = x cos a + y sin a along that direction, E the lengthening of the bar:
///   u0 = u + P(u), P' = h E / T - 1;  (X, Y) = (x, y) + P(u) (cos a, sin a);  x0 = X / E, y0 = Y.

#include <memory>

#include "base/spline.hpp"
#include "tape/map.hpp"

namespace etchcast {

/// P(u) and the middle (zt + zb) / 2 over u, and the way from u0 back to u.
class RidgeTables {
 public:
  /// Both over the same nodes.
  RidgeTables(Spline1 shift, const Spline1& mid);
  const Spline1& shift() const { return shift_; }
  /// Coefficients of both tables in turns: places of one are those of the other, and one load fetches eight.
  const Coefficients& both() const { return both_; }
  /// u - u0 over even steps of u0, between which it is taken to be straight: a start for Newton's method.
  const Coefficients& starts() const { return starts_; }
  double first_start() const { return first_start_; }
  double start_step() const { return start_step_; }
  /// Rounds that reach rounding from there.
  template <class Real>
  int rounds() const { return sizeof(Real) > sizeof(float) ? rounds_exact_ : rounds_quick_; }
  /// A round of Newton's method, held inside the step that a slope of 0.2 would give.
  template <class Real>
  static Real nearer(Real u, Real u0, Real f, Real slope) {
    const Real rate = 1 + slope;
    return u - (u + f - u0) / (rate < Real(kLeast) ? Real(kLeast) : rate);
  }

 private:
  static constexpr double kLeast = 0.2;
  void lay_starts();
  Spline1 shift_;
  Coefficients both_, starts_;
  double first_start_ = 0, start_step_ = 1;
  int rounds_quick_ = 12, rounds_exact_ = 12;
};

class RidgeMotion {
 public:
  static constexpr const char* kName = "ridges";
  RidgeMotion(double angle_rad, double lengthening, std::shared_ptr<const RidgeTables> tables)
      : cosine_(std::cos(angle_rad)), sine_(std::sin(angle_rad)), lengthening_(lengthening), tables_(std::move(tables)) {}

  template <class Real>
  void before_from_after(Batch<Real>& b) const {
    Places<Real> places;
    const Lie<Real> lie(*this);
    const typename Spline1::template Frame<Real> frame(tables_->shift());
    lane_by_lane([lie, frame, &b, &places](int i) { places.set(i, lie.c * b.x[i] + lie.s * b.y[i], frame); });
    places.fetch(*tables_);
    lane_by_lane([lie, frame, &b, &places](int i) {
      Point<Dual<Real>> p = point_of(b, i);
      const Dual<Real> u = lie.c * p.x + lie.s * p.y;
      const auto shift = places.shift(i, frame), mid = places.mid(i, frame);
      const Dual<Real> slide = chain(shift.f, shift.d, u);
      p.z = (p.z - chain(mid.f, mid.d, u)) / lie.relative_height(u, shift);
      p.x = lie.per_e * (p.x + lie.c * slide);
      p.y = p.y + lie.s * slide;
      put_point(p, b, i);
    });
  }

  template <class Real>
  void after_from_before(Batch<Real>& b) const {
    Places<Real> places;
    const Lie<Real> lie(*this);
    const typename Spline1::template Frame<Real> frame(tables_->shift());
    find(b, lie, frame, places);
    lane_by_lane([lie, frame, &b, &places](int i) {
      Point<Dual<Real>> p = point_of(b, i);
      const Dual<Real> x = lie.e * p.x, u0 = lie.c * x + lie.s * p.y;
      const auto shift = places.shift(i, frame), mid = places.mid(i, frame);
      const Real rate = 1 + shift.d;
      const Dual<Real> u = {places.u[i], u0.dp / rate, u0.dq / rate};
      const Dual<Real> slide = chain(shift.f, shift.d, u);
      p.x = x - lie.c * slide;
      p.y = p.y - lie.s * slide;
      p.z = p.z * lie.relative_height(u, shift) + chain(mid.f, mid.d, u);
      put_point(p, b, i);
    });
  }

 private:
  /// How the ridges lie in the bar, in numbers of the lanes' width.
  template <class Real>
  struct Lie {
    Real c, s, e, per_e;
    explicit Lie(const RidgeMotion& m)
        : c(Real(m.cosine_)), s(Real(m.sine_)), e(Real(m.lengthening_)), per_e(Real(1 / m.lengthening_)) {}
    /// h / T = (1 + P') / E.
    Dual<Real> relative_height(Dual<Real> u, const Spline1::Jet<Real>& shift) const {
      return chain(per_e * (1 + shift.d), per_e * shift.dd, u);
    }
  };
  /// Places along the ridges, and what the tables hold about them, fetched a lane at a time by whole loads: gathered number
  /// by number in a loop over lanes they take several times as long.
  template <class Real>
  struct Places {
    alignas(64) Real u[kLanes], part[kLanes];
    alignas(64) int at[kLanes];
    alignas(64) Real rows[8 * kLanes];
    void set(int i, Real place, const Spline1::Frame<Real>& frame) {
      const auto spot = frame.spot(place);
      u[i] = place, part[i] = spot.part, at[i] = spot.at;
    }
    void fetch(const RidgeTables& tables) {
      const Real* from = tables.both().data<Real>();
      for (int i = 0; i < kLanes; ++i) __builtin_memcpy(rows + 8 * i, from + 2 * at[i], 8 * sizeof(Real));
    }
    Spline1::Jet<Real> shift(int i, const Spline1::Frame<Real>& frame) const {
      return frame.jet(part[i], [this, i](int k) { return rows[8 * i + 2 * k]; });
    }
    Spline1::Jet<Real> mid(int i, const Spline1::Frame<Real>& frame) const {
      return frame.jet(part[i], [this, i](int k) { return rows[8 * i + 2 * k + 1]; });
    }
  };
  /// Places after from those before, with what the tables hold there.
  template <class Real>
  void find(const Batch<Real>& b, const Lie<Real> lie, const Spline1::Frame<Real> frame, Places<Real>& places) const {
    alignas(64) Real u0[kLanes], starts[2 * kLanes];
    const Real first = Real(tables_->first_start()), per_step = Real(1 / tables_->start_step());
    const Real top = Real(int(tables_->starts().exact().size()) - 2);
    lane_by_lane([lie, first, per_step, top, &b, &u0, &places](int i) {
      u0[i] = lie.c * (lie.e * b.x[i]) + lie.s * b.y[i];
      const Real r = (u0[i] - first) * per_step, cell = clamped(std::floor(r), top);
      places.part[i] = r - cell, places.at[i] = int(cell);
    });
    const Real* from = tables_->starts().template data<Real>();
    for (int i = 0; i < kLanes; ++i) __builtin_memcpy(starts + 2 * i, from + places.at[i], 2 * sizeof(Real));
    lane_by_lane([frame, &u0, &starts, &places](int i) {
      const Real off = starts[2 * i];
      places.set(i, u0[i] + (off + places.part[i] * (starts[2 * i + 1] - off)), frame);
    });
    places.fetch(*tables_);
    for (int round = 0; round < tables_->template rounds<Real>(); ++round) {
      lane_by_lane([frame, &u0, &places](int i) {
        const auto shift = places.shift(i, frame);
        places.set(i, RidgeTables::nearer(places.u[i], u0[i], shift.f, shift.d), frame);
      });
      places.fetch(*tables_);
    }
  }
  double cosine_, sine_, lengthening_;
  std::shared_ptr<const RidgeTables> tables_;
};

}  // namespace etchcast
