#pragma once
/// \file faded_flow.hpp — metal as it flowed under dies shorter than the bar: beyond their last mirror the flow of the repeat
/// fades, and about a thickness further on the bar is as it was.
///
/// Inside, W(x, c) is the table's (see base/flow_table.hpp). Q vanishes at a mirror x = m, so beyond it, d = x - m,
///   W = c X(x) + B(x) + Q_x(m, c) g(d)
/// goes on smoothly with g = d for small d, and g, g', g'' zero from d = reach on; X' leads from 1 / E to 1 and B' from the
/// mean height of the lower face to 0. Volume is kept as by any W; the shape of the fade is a guess.
///
/// Ridges at an angle a: lines along the ridges only shift along the bar, by (X(u) - u) / cos a, so that both ends of the bar
/// stay as they are.

#include <memory>

#include "base/flow_table.hpp"
#include "tape/map.hpp"

namespace etchcast {

/// The table with one or both ends faded. Lengths in thicknesses, x from the table's own zero.
class FadedTable {
 public:
  static constexpr double kReach = 1;
  /// `left`, `right`: mirrors of the table where it fades, or far off where the dies go on.
  FadedTable(std::shared_ptr<const FlowTable> table, double left, double right)
      : table_(std::move(table)), left_(left), right_(right) {}
  const FlowTable& table() const { return *table_; }

  template <class Real>
  struct Jet {
    Real x, slide, xx, xc, cc;  ///< W_x; W_c - X; second derivatives
    Real mean, rate;            ///< X, X'
  };
  template <class Real>
  Jet<Real> jet(Real x, Real c) const {
    Real m = x < Real(left_) ? Real(left_) : x;
    m = m > Real(right_) ? Real(right_) : m;
    const Real d = x - m, side = d < 0 ? Real(-1) : Real(1), far = side * d * Real(1 / kReach);
    const Real t = far > 1 ? Real(1) : far, v = 1 - t, reach = Real(kReach);
    // g = reach t v^4 (1 + 4 t) and h = t^3 (10 - 15 t + 6 t^2) with their derivatives and integral over x.
    const Real g = side * reach * t * v * v * v * v * (1 + 4 * t), g1 = v * v * v * (1 + 3 * t - 24 * t * t),
               g2 = side * Real(-60) * t * v * v * (1 - 2 * t) / reach;
    const Real h = t * t * t * (10 - t * (15 - 6 * t)), h1 = side * 30 * t * t * v * v / reach;
    const Real under = reach * (t * t * t * t * (Real(2.5) - t * (3 - t)) + (far - t));
    const auto w = table_->jet(m, c);
    const Real r = Real(1 / table_->lengthening()), b = Real(table_->base());
    const Real wave = w.x - (c * r + b), wave_c = w.xc - r;
    Jet<Real> j;
    j.rate = r + (1 - r) * h;
    j.mean = m * r + d * r + side * (1 - r) * under;
    j.x = c * j.rate + b * (1 - h) + wave * g1;
    j.slide = w.slide + wave_c * g;
    j.xx = w.xx + (c * (1 - r) - b) * h1 + wave * g2;
    j.xc = j.rate + wave_c * g1;
    j.cc = w.cc + table_->xcc(m, c) * g;
    return j;
  }
  /// Line that passes near (x, z).
  template <class Real>
  Real near_line(Real x, Real z) const {
    Real m = x < Real(left_) ? Real(left_) : x;
    m = m > Real(right_) ? Real(right_) : m;
    const Real far = std::abs(x - m) * Real(1 / kReach), t = far > 1 ? Real(1) : far;
    return (1 - t) * table_->near_line(m, z) + t * FlowTable::within(z);
  }
  /// x whose X is near `mean`.
  template <class Real>
  Real near_place(Real mean) const {
    const Real r = Real(1 / table_->lengthening()), low = r * Real(left_), high = r * Real(right_);
    if (mean < low) return Real(left_) + (mean - low);
    return mean > high ? Real(right_) + (mean - high) : mean / r;
  }

 private:
  std::shared_ptr<const FlowTable> table_;
  double left_, right_;
};

class FadedFlowMotion {
 public:
  static constexpr const char* kName = "flow of a part";
  /// As FlowMotion's. The heel end's middle stays where it is.
  FadedFlowMotion(double angle_rad, double thickness, double crest, FadedTable table)
      : cosine_(std::cos(angle_rad)), sine_(std::sin(angle_rad)), thickness_(thickness), crest_(crest), table_(std::move(table)) {
    const double heel = -crest / thickness;
    const auto w = table_.jet(heel, 0.5);
    anchor_ = w.mean - heel + w.slide;
  }

  template <class Real>
  void before_from_after(Point<Dual<Real>>& p) const {
    const Real scale = Real(1 / thickness_);
    const Dual<Real> u = scale * (Real(cosine_) * p.x + Real(sine_) * p.y - Real(crest_)), z = scale * p.z + Real(0.5);
    Real c = table_.near_line(u.v, z.v);
    for (int round = 0; round < (sizeof(Real) > sizeof(float) ? 12 : 3); ++round) {
      const auto w = table_.jet(u.v, c);
      c = FlowTable::within(c + (z.v - w.x) / least(w.xc));
    }
    const auto w = table_.jet(u.v, c);
    // What is left of the error goes along the tangent; so does metal outside the faces.
    const Real beyond = (z.v - w.x) / least(w.xc);
    const Dual<Real> line = {c + beyond, (z.dp - w.xx * u.dp) / least(w.xc), (z.dq - w.xx * u.dq) / least(w.xc)};
    move(p, w, u, line, beyond, Real(thickness_));
    p.z = Real(thickness_) * (line - Real(0.5));
  }

  template <class Real>
  void after_from_before(Point<Dual<Real>>& p) const {
    const Real scale = Real(1 / thickness_);
    const Dual<Real> u0 = scale * (Real(cosine_) * p.x + Real(sine_) * p.y - Real(crest_)) + Real(anchor_),
                     line = scale * p.z + Real(0.5);
    const Real c = FlowTable::within(line.v), beyond = line.v - c;
    Real u = table_.near_place(u0.v);
    for (int round = 0; round < 20; ++round) {
      const auto w = table_.jet(u, c);
      Real step = (w.mean + w.slide + w.cc * beyond - u0.v) / least(w.xc);
      const Real most = Real(0.25);
      step = step > most ? most : step;
      u = u - (step < -most ? -most : step);
    }
    const auto w = table_.jet(u, c);
    const Real k = 1 / least(w.xc);
    const Dual<Real> u1 = {u, k * (u0.dp - w.cc * line.dp), k * (u0.dq - w.cc * line.dq)};
    move(p, w, u1, line, beyond, -Real(thickness_));
    p.z = Real(thickness_) *
          (Dual<Real>{w.x + w.xc * beyond, w.xx * u1.dp + w.xc * line.dp, w.xx * u1.dq + w.xc * line.dq} - Real(0.5));
  }

 private:
  template <class Real>
  static Real least(Real xc) {
    return xc < Real(1e-3) ? Real(1e-3) : xc;
  }
  /// From where metal is to where it was along the bar and across, times `way`.
  template <class Real>
  void move(Point<Dual<Real>>& p, const FadedTable::Jet<Real>& w, Dual<Real> u, Dual<Real> line, Real beyond, Real way) const {
    const Real local = w.xc - w.rate;
    const Dual<Real> slide = {w.slide + w.cc * beyond, local * u.dp + w.cc * line.dp, local * u.dq + w.cc * line.dq};
    const Dual<Real> drawn = {w.mean - u.v - Real(anchor_), (w.rate - 1) * u.dp, (w.rate - 1) * u.dq};
    p.x = p.x + way * (Real(1 / cosine_) * drawn + Real(cosine_) * slide);
    p.y = p.y + way * (Real(sine_) * slide);
  }
  double cosine_, sine_, thickness_, crest_;
  FadedTable table_;
  double anchor_ = 0;
};

}  // namespace etchcast
