#pragma once
/// \file flow_map.hpp — metal as it flowed under ridge dies: the pull-back of a table that a flow solver made.
///
/// The table's W(x, c) (see base/flow_table.hpp) works on a section across the ridges. Ridges at an angle a: with
/// u = x cos a + y sin a and E the lengthening of the bar, metal moves along the normal of the ridges and the whole is
/// then drawn out along the bar,
///   E x0 = x + P cos a,  y0 = y + P sin a,  P = thickness * E * (W_c - u / E) - anchor,  z0 = thickness * (c - 1/2),
/// with c from W_x(u, c) = z. |det J| = 1 exactly, whatever the table. The anchor keeps the metal at u = 0 at half the
/// height where it is; unless a mirror stands there, the ends of the bar bulge by what the flow differs over the
/// height.
///
/// Drawn out so, metal also stretches along the ridges, and an earlier pattern at the angle a lies at another one after. A die
/// set into that pattern holds it: with `Draw::along_ridges_none` lines along the ridges only shift along the bar,
///   x0 = (x + P cos a) / E - (1 - 1/E) tan(a) y,  y0 = y + P sin(a) / E,  so that u0 = (u + P) / E.
/// Flat dies do not: with `Draw::old_pattern` it turns as it must in a bar that stays straight,
///   u = x cos a + E y sin a,  x0 = (x + P cos a) / E,  y0 = y + P sin(a) / E,  so that u0 = (u + P) / E too;
/// that is the motion before, then the bar sheared straight again.

#include <memory>

#include "base/flow_table.hpp"
#include "tape/flow_look.hpp"
#include "tape/map.hpp"

namespace etchcast {

class FlowMotion {
 public:
  static constexpr const char* kName = "flow";
  enum class Draw { along_bar, along_ridges_none, old_pattern };
  /// `thickness`: the even bar's before, mm; its mid-plane is z = 0, and the pressed bar's heights are measured from
  /// the same level. `crest`: place u of a mirror x = 0 of the table, mm. `angle_rad`: of the ridges; old ones' before.
  FlowMotion(double angle_rad, double thickness, double crest, std::shared_ptr<const FlowTable> table,
             Draw draw = Draw::along_bar)
      : cosine_(std::cos(angle_rad)),
        sine_(std::sin(angle_rad)),
        thickness_(thickness),
        crest_(crest),
        table_(std::move(table)),
        anchor_(anchor_of(*table_, thickness, crest)) {
    const double e = table_->lengthening();
    if (draw == Draw::along_bar) return;
    across_ = sine_ / e, weight_ = sine_ * e;
    if (draw == Draw::along_ridges_none) lean_ = (1 - 1 / e) * sine_ / cosine_;
    if (draw == Draw::old_pattern) lines_ = sine_ * e;
  }
  static double anchor_of(const FlowTable& table, double thickness, double crest) {
    return thickness * table.lengthening() * table.jet(-crest / thickness, 0.5).slide;
  }

  template <class Real>
  void before_from_after(Batch<Real>& b) const {
    FlowPlaces<Real> places;
    const Lie<Real> lie(*this);
    const FlowTable& table = *table_;
    lane_by_lane([lie, &table, &b, &places](int i) {
      const Point<Dual<Real>> p = point_of(b, i);
      places.u[i] = lie.across(p).v, places.height[i] = lie.height(p.z).v;
      places.set(i, table.guess_spot(places.u[i], places.height[i]));
    });
    places.fetch_guesses(table);
    const FlowTable::Frame<Real> frame(table);
    lane_by_lane([frame, &places](int i) { places.set_line(i, places.guess(i), frame); });
    constexpr int kRounds = sizeof(Real) > sizeof(float) ? 5 : 1;  // one round and the tangent reach rounding in float
    for (int round = 0; round < kRounds; ++round) {  // Newton's method on W_x(u, c) = height
      places.fetch(table);
      lane_by_lane([frame, &places](int i) {
        const auto w = places.jet(i, frame);
        places.set_line(i, FlowTable::within(places.c[i] + (places.height[i] - w.x) / least(w.xc)), frame);
      });
    }
    places.fetch(table);
    lane_by_lane([lie, frame, &b, &places](int i) {
      Point<Dual<Real>> p = point_of(b, i);
      const auto w = places.jet(i, frame);
      const Dual<Real> u = lie.across(p), z = lie.height(p.z);
      // What is left of the error goes along the tangent; so does metal outside the faces.
      const Real beyond = (z.v - w.x) / least(w.xc);
      const Dual<Real> line = {places.c[i] + beyond, (z.dp - w.xx * u.dp) / least(w.xc), (z.dq - w.xx * u.dq) / least(w.xc)};
      const Dual<Real> slide = lie.slid(w, u, line, beyond);
      p.x = lie.per_e * (p.x + lie.a * slide) - lie.lean * p.y;
      p.y = p.y + lie.across_y * slide;
      p.z = lie.thickness * (line - Real(0.5));
      put_point(p, b, i);
    });
  }

  template <class Real>
  void after_from_before(Batch<Real>& b) const {
    FlowPlaces<Real> places;
    const Lie<Real> lie(*this);
    const FlowTable::Frame<Real> frame(*table_);
    lane_by_lane([lie, frame, &b, &places](int i) {
      const Point<Dual<Real>> p = point_of(b, i);
      places.height[i] = lie.height(p.z).v, places.u[i] = lie.across_before(p).v;
      places.set_line(i, FlowTable::within(places.height[i]), frame);
    });
    const Real most = Real(0.25 * table_->half_after());
    for (int round = 0; round < 12; ++round) {  // u + slide = u0, Newton held inside a quarter of the half repeat
      places.fetch(*table_);
      lane_by_lane([lie, frame, most, &b, &places](int i) {
        const auto w = places.jet(i, frame);
        const Real beyond = places.height[i] - places.c[i], u0 = lie.across_before(point_of(b, i)).v;
        Real step = (places.u[i] + lie.e * (w.slide + w.cc * beyond) - u0) / (lie.e * least(w.xc));
        step = step > most ? most : step;
        places.u[i] -= step < -most ? -most : step;
        places.set_line(i, places.c[i], frame);
      });
    }
    places.fetch(*table_);
    lane_by_lane([lie, frame, &b, &places](int i) {
      Point<Dual<Real>> p = point_of(b, i);
      const auto w = places.jet(i, frame);
      const Dual<Real> u0 = lie.across_before(p), line = lie.height(p.z);
      const Real beyond = line.v - places.c[i], k = 1 / (lie.e * least(w.xc));
      const Dual<Real> u = {places.u[i], k * (u0.dp - lie.e * w.cc * line.dp), k * (u0.dq - lie.e * w.cc * line.dq)};
      const Dual<Real> slide = lie.slid(w, u, line, beyond);
      p.x = lie.e * (p.x + lie.lean * (p.y - lie.across_y * slide)) - lie.a * slide;
      p.y = p.y - lie.across_y * slide;
      p.z = lie.thickness *
            (Dual<Real>{w.x + w.xc * beyond, w.xx * u.dp + w.xc * line.dp, w.xx * u.dq + w.xc * line.dq} - Real(0.5));
      put_point(p, b, i);
    });
  }

 private:
  template <class Real>
  static Real least(Real xc) {
    return xc < Real(1e-3) ? Real(1e-3) : xc;
  }
  /// How the table lies in the bar, in numbers of the lanes' width.
  template <class Real>
  struct Lie {
    Real a, b, scale, crest, e, per_e, weight, anchor, lean, across_y, thickness, slide_mm;
    explicit Lie(const FlowMotion& m)
        : a(Real(m.cosine_)), b(Real(m.lines_)), scale(Real(1 / m.thickness_)), crest(Real(m.crest_)),
          e(Real(m.table_->lengthening())), per_e(Real(1 / m.table_->lengthening())), weight(Real(m.weight_)),
          anchor(Real(m.anchor_)), lean(Real(m.lean_)), across_y(Real(m.across_)), thickness(Real(m.thickness_)),
          slide_mm(Real(m.thickness_ * m.table_->lengthening())) {}
    Dual<Real> across(const Point<Dual<Real>>& p) const { return scale * (a * p.x + b * p.y - crest); }
    Dual<Real> across_before(const Point<Dual<Real>>& p) const { return scale * (a * e * p.x + weight * p.y + (anchor - crest)); }
    Dual<Real> height(Dual<Real> z) const { return scale * z + Real(0.5); }
    /// P in mm, with its derivatives.
    Dual<Real> slid(const FlowTable::Jet<Real>& w, Dual<Real> u, Dual<Real> line, Real beyond) const {
      const Real along = w.xc - per_e;
      return {slide_mm * (w.slide + w.cc * beyond) - anchor, slide_mm * (along * u.dp + w.cc * line.dp),
              slide_mm * (along * u.dq + w.cc * line.dq)};
    }
  };
  double cosine_, sine_, thickness_, crest_;
  std::shared_ptr<const FlowTable> table_;
  double anchor_;
  double lines_ = sine_, across_ = sine_, weight_ = sine_, lean_ = 0;
};

}  // namespace etchcast
