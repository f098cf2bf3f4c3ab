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
#include "tape/flow_look.hpp"
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
    const Frame<Real> frame(*this);
    const Real m = frame.within(x);
    return frame.jet(x, c, table_->jet(m, c), table_->xcc(m, c));
  }
  /// What a loop over points needs of it.
  template <class Real>
  struct Frame {
    Real left, right, r, b;
    explicit Frame(const FadedTable& t)
        : left(Real(t.left_)), right(Real(t.right_)), r(Real(1 / t.table_->lengthening())), b(Real(t.table_->base())) {}
    /// The place of the table that x is told from.
    Real within(Real x) const {
      const Real m = x < left ? left : x;
      return m > right ? right : m;
    }
    /// `w`, `xcc`: of the table at within(x).
    Jet<Real> jet(Real x, Real c, const FlowTable::Jet<Real>& w, Real xcc) const {
      const Real d = x - within(x), side = d < 0 ? Real(-1) : Real(1), far = side * d * Real(1 / kReach);
      const Real t = far > 1 ? Real(1) : far, v = 1 - t, reach = Real(kReach);
      // g = reach t v^4 (1 + 4 t) and h = t^3 (10 - 15 t + 6 t^2) with their derivatives and integral over x.
      const Real g = side * reach * t * v * v * v * v * (1 + 4 * t), g1 = v * v * v * (1 + 3 * t - 24 * t * t),
                 g2 = side * Real(-60) * t * v * v * (1 - 2 * t) / reach;
      const Real h = t * t * t * (10 - t * (15 - 6 * t)), h1 = side * 30 * t * t * v * v / reach;
      const Real under = reach * (t * t * t * t * (Real(2.5) - t * (3 - t)) + (far - t));
      const Real wave = w.x - (c * r + b), wave_c = w.xc - r;
      Jet<Real> j;
      j.rate = r + (1 - r) * h;
      j.mean = within(x) * r + d * r + side * (1 - r) * under;
      j.x = c * j.rate + b * (1 - h) + wave * g1;
      j.slide = w.slide + wave_c * g;
      j.xx = w.xx + (c * (1 - r) - b) * h1 + wave * g2;
      j.xc = j.rate + wave_c * g1;
      j.cc = w.cc + xcc * g;
      return j;
    }
    /// Line that passes near (x, z), from the table's guess at within(x).
    Real near_line(Real x, Real z, Real guess) const {
      const Real far = std::abs(x - within(x)) * Real(1 / kReach), t = far > 1 ? Real(1) : far;
      return (1 - t) * guess + t * FlowTable::within(z);
    }
    /// x whose X is near `mean`.
    Real near_place(Real mean) const {
      const Real low = r * left, high = r * right;
      if (mean < low) return left + (mean - low);
      return mean > high ? right + (mean - high) : mean / r;
    }
  };

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
  void before_from_after(Batch<Real>& b) const {
    Places<Real> places(table_);
    const Lie<Real> lie(*this);
    const FlowTable& table = table_.table();
    lane_by_lane([lie, &table, &b, &places](int i) {
      const Point<Dual<Real>> p = point_of(b, i);
      places.x[i] = lie.along(p).v, places.height[i] = lie.height(p.z).v;
      places.set(i, table.guess_spot(places.faded.within(places.x[i]), places.height[i]));
    });
    places.fetch_guesses(table);
    lane_by_lane([&places](int i) {
      places.put(i, places.x[i], places.faded.near_line(places.x[i], places.height[i], places.guess(i)));
    });
    for (int round = 0; round < (sizeof(Real) > sizeof(float) ? 12 : 3); ++round) {
      places.fetch(table);
      lane_by_lane([&places](int i) {
        const auto w = places.faded_jet(i);
        places.put(i, places.x[i], FlowTable::within(places.c[i] + (places.height[i] - w.x) / least(w.xc)));
      });
    }
    places.fetch(table);
    lane_by_lane([lie, &b, &places](int i) {
      Point<Dual<Real>> p = point_of(b, i);
      const auto w = places.faded_jet(i);
      const Dual<Real> u = lie.along(p), z = lie.height(p.z);
      // What is left of the error goes along the tangent; so does metal outside the faces.
      const Real beyond = (z.v - w.x) / least(w.xc);
      const Dual<Real> line = {places.c[i] + beyond, (z.dp - w.xx * u.dp) / least(w.xc), (z.dq - w.xx * u.dq) / least(w.xc)};
      lie.move(p, w, u, line, beyond, lie.thickness);
      p.z = lie.thickness * (line - Real(0.5));
      put_point(p, b, i);
    });
  }

  template <class Real>
  void after_from_before(Batch<Real>& b) const {
    Places<Real> places(table_);
    const Lie<Real> lie(*this);
    lane_by_lane([lie, &b, &places](int i) {
      const Point<Dual<Real>> p = point_of(b, i);
      places.height[i] = lie.height(p.z).v;
      places.put(i, places.faded.near_place(lie.along(p).v + lie.anchor), FlowTable::within(places.height[i]));
    });
    for (int round = 0; round < 20; ++round) {
      places.fetch(table_.table());
      lane_by_lane([lie, &b, &places](int i) {
        const auto w = places.faded_jet(i);
        const Real u0 = lie.along(point_of(b, i)).v + lie.anchor, beyond = places.height[i] - places.c[i];
        Real step = (w.mean + w.slide + w.cc * beyond - u0) / least(w.xc);
        const Real most = Real(0.25);
        step = step > most ? most : step;
        places.put(i, places.x[i] - (step < -most ? -most : step), places.c[i]);
      });
    }
    places.fetch(table_.table());
    lane_by_lane([lie, &b, &places](int i) {
      Point<Dual<Real>> p = point_of(b, i);
      const auto w = places.faded_jet(i);
      const Dual<Real> u0 = lie.along(p) + lie.anchor, line = lie.height(p.z);
      const Real k = 1 / least(w.xc), beyond = line.v - places.c[i];
      const Dual<Real> u = {places.x[i], k * (u0.dp - w.cc * line.dp), k * (u0.dq - w.cc * line.dq)};
      lie.move(p, w, u, line, beyond, -lie.thickness);
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
  /// Places x, of which the table is asked at `u`.
  template <class Real>
  struct Places : FlowPlaces<Real> {
    explicit Places(const FadedTable& t) : frame(t.table()), faded(t) {}
    alignas(64) Real x[kLanes];
    FlowTable::Frame<Real> frame;
    FadedTable::Frame<Real> faded;
    void put(int i, Real place, Real line) {
      x[i] = place, this->u[i] = faded.within(place);
      this->set_line(i, line, frame);
    }
    FadedTable::Jet<Real> faded_jet(int i) const { return faded.jet(x[i], this->c[i], this->jet(i, frame), this->xcc(i, frame)); }
  };
  /// How the table lies in the bar, in numbers of the lanes' width.
  template <class Real>
  struct Lie {
    Real cosine, sine, per_cosine, scale, crest, anchor, thickness;
    explicit Lie(const FadedFlowMotion& m)
        : cosine(Real(m.cosine_)), sine(Real(m.sine_)), per_cosine(Real(1 / m.cosine_)), scale(Real(1 / m.thickness_)),
          crest(Real(m.crest_)), anchor(Real(m.anchor_)), thickness(Real(m.thickness_)) {}
    Dual<Real> along(const Point<Dual<Real>>& p) const { return scale * (cosine * p.x + sine * p.y - crest); }
    Dual<Real> height(Dual<Real> z) const { return scale * z + Real(0.5); }
    /// From where metal is to where it was along the bar and across, times `way`.
    void move(Point<Dual<Real>>& p, const FadedTable::Jet<Real>& w, Dual<Real> u, Dual<Real> line, Real beyond, Real way) const {
      const Real local = w.xc - w.rate;
      const Dual<Real> slide = {w.slide + w.cc * beyond, local * u.dp + w.cc * line.dp, local * u.dq + w.cc * line.dq};
      const Dual<Real> drawn = {w.mean - u.v - anchor, (w.rate - 1) * u.dp, (w.rate - 1) * u.dq};
      p.x = p.x + way * (per_cosine * drawn + cosine * slide);
      p.y = p.y + way * (sine * slide);
    }
  };
  double cosine_, sine_, thickness_, crest_;
  FadedTable table_;
  double anchor_ = 0;
};

}  // namespace etchcast
