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
/// Drawn out so, metal also stretches along the ridges, and an earlier pattern at the angle a would lie at another one
/// after. `Draw::along_ridges_none` keeps it: lines along the ridges only shift along the bar,
///   x0 = (x + P cos a) / E - (1 - 1/E) tan(a) y,  y0 = y + P sin(a) / E,  so that u0 = (u + P) / E.

#include <memory>

#include "base/flow_table.hpp"
#include "tape/map.hpp"

namespace etchcast {

class FlowMotion {
 public:
  static constexpr const char* kName = "flow";
  enum class Draw { along_bar, along_ridges_none };
  /// `thickness`: the even bar's before, mm; its mid-plane is z = 0, and the pressed bar's heights are measured from
  /// the same level. `crest`: place u of a mirror x = 0 of the table, mm.
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
    across_ = sine_ / e, lean_ = (1 - 1 / e) * sine_ / cosine_, weight_ = sine_ * e;
  }
  static double anchor_of(const FlowTable& table, double thickness, double crest) {
    return thickness * table.lengthening() * table.jet(-crest / thickness, 0.5).slide;
  }

  template <class Real>
  void before_from_after(Point<Dual<Real>>& p) const {
    const Real a = Real(cosine_), b = Real(sine_), scale = Real(1 / thickness_);
    const Dual<Real> u = scale * (a * p.x + b * p.y - Real(crest_)), z = scale * p.z + Real(0.5);
    Real c = table_->near_line(u.v, z.v);
    c = nearer(u.v, z.v, c);
    if constexpr (sizeof(Real) > sizeof(float))  // in single precision one round and the tangent reach rounding
      for (int round = 0; round < 4; ++round) c = nearer(u.v, z.v, c);
    const auto w = table_->jet(u.v, c);
    // What is left of the error goes along the tangent; so does metal outside the faces.
    const Real beyond = (z.v - w.x) / rate(w.xc);
    const Dual<Real> line = {c + beyond, (z.dp - w.xx * u.dp) / rate(w.xc), (z.dq - w.xx * u.dq) / rate(w.xc)};
    const Dual<Real> slide = slid(w, u, line, beyond);
    p.x = Real(1 / table_->lengthening()) * (p.x + a * slide) - Real(lean_) * p.y;
    p.y = p.y + Real(across_) * slide;
    p.z = Real(thickness_) * (line - Real(0.5));
  }

  template <class Real>
  void after_from_before(Point<Dual<Real>>& p) const {
    const Real a = Real(cosine_), scale = Real(1 / thickness_), e = Real(table_->lengthening());
    const Dual<Real> u0 = scale * (a * e * p.x + Real(weight_) * p.y + Real(anchor_ - crest_)),
                     line = scale * p.z + Real(0.5);
    const Real c = FlowTable::within(line.v), beyond = line.v - c;
    Real u = u0.v;
    for (int round = 0; round < 12; ++round) {  // u + slide = u0, Newton held inside a quarter of the half repeat
      const auto w = table_->jet(u, c);
      const Real most = Real(0.25 * table_->half_after());
      Real step = (u + e * (w.slide + w.cc * beyond) - u0.v) / (e * rate(w.xc));
      step = step > most ? most : step;
      step = step < -most ? -most : step;
      u = u - step;
    }
    const auto w = table_->jet(u, c);
    const Real k = 1 / (e * rate(w.xc));
    const Dual<Real> u1 = {u, k * (u0.dp - e * w.cc * line.dp), k * (u0.dq - e * w.cc * line.dq)};
    const Dual<Real> slide = slid(w, u1, line, beyond);
    p.x = e * (p.x + Real(lean_) * (p.y - Real(across_) * slide)) - a * slide;
    p.y = p.y - Real(across_) * slide;
    p.z = Real(thickness_) *
          (Dual<Real>{w.x + w.xc * beyond, w.xx * u1.dp + w.xc * line.dp, w.xx * u1.dq + w.xc * line.dq} - Real(0.5));
  }

 private:
  /// A round of Newton's method on W_x(u, c) = z.
  template <class Real>
  Real nearer(Real u, Real z, Real c) const {
    const auto w = table_->jet(u, c);
    return FlowTable::within(c + (z - w.x) / rate(w.xc));
  }
  template <class Real>
  static Real rate(Real xc) {
    return xc < Real(1e-3) ? Real(1e-3) : xc;
  }
  /// P in mm, with its derivatives.
  template <class Real>
  Dual<Real> slid(const FlowTable::Jet<Real>& w, Dual<Real> u, Dual<Real> line, Real beyond) const {
    const Real k = Real(thickness_ * table_->lengthening()), along = w.xc - Real(1 / table_->lengthening());
    return {k * (w.slide + w.cc * beyond) - Real(anchor_), k * (along * u.dp + w.cc * line.dp),
            k * (along * u.dq + w.cc * line.dq)};
  }
  double cosine_, sine_, thickness_, crest_;
  std::shared_ptr<const FlowTable> table_;
  double anchor_;
  double across_ = sine_, weight_ = sine_, lean_ = 0;
};

}  // namespace etchcast
