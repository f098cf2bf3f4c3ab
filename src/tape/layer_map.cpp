// Two motions one after another, in single loops over the lanes: one a way for the table, one for the layer.
#include "tape/layer_map.hpp"

#include <algorithm>
#include <utility>

#include "tape/layer_look.hpp"

namespace etchcast {

namespace {

/// A depth function by the coefficients of its polynomial in u = 2c - 1. Between the stages layers may lie a little
/// outside 0 .. 1, where high polynomials run off: it goes on along its parabola for a fifth, and then along a straight
/// line. It stays one function, with one slope and one bend, so that the motion keeps volume there too.
template <class Real>
struct DepthFunction {
  static constexpr int kTerms = LayerTable::kDegree + 1;
  Real a[kTerms];
  struct Jet {
    Real f, d, dd;  ///< value and derivatives by c
  };
  Jet at(Real c) const {
    const Real inside = clamped(c, Real(1)), off = c - inside, u = 2 * inside - 1;
    Real f = a[kTerms - 1], d = 0, dd = 0;
#pragma GCC unroll 16
    for (int n = kTerms - 2; n >= 0; --n) dd = dd * u + d, d = d * u + f, f = f * u + a[n];
    d *= 2, dd *= 8;
    const Real bound = Real(0.2), bent = off > bound ? bound : off < -bound ? -bound : off, rest = off - bent;
    const Real slope = d + bent * dd;
    return {f + bent * (d + Real(0.5) * bent * dd) + rest * slope, slope, rest == 0 ? dd : Real(0)};
  }
};

/// Layers are never taken to be thinner than a fiftieth: so points far off the bar come to no harm.
template <class Real>
inline Real rate_of(Real slope) {
  return 1 + slope < Real(0.02) ? Real(0.02) : 1 + slope;
}

/// The sums over the ways that a lane needs at its layer.
template <int kWays, class Real>
struct Sums {
  Real slope = 0, push = 0, bend = 0, across = 0, rise_along = 0, rise_across = 0, rise = 0;
  Sums(const Jets<LayerTable::slots_of(kWays), Real>& jets, int lane, const Real* depth, Real c) {
    constexpr int kTerms = DepthFunction<Real>::kTerms;
#pragma GCC unroll 8
    for (int way = 0; way < kWays; ++way) {
      DepthFunction<Real> function;
#pragma GCC unroll 16
      for (int n = 0; n < kTerms; ++n) function.a[n] = depth[way * kTerms + n];
      const auto f = function.at(c);
      const Real a = jets.f[way][lane], d = jets.d[way][lane];
      rise += d * f.f;
      slope += d * f.d;
      push += a * f.d;
      bend += a * f.dd;
      across += jets.e[way][lane] * f.d;
      rise_along += jets.dd[way][lane] * f.f;
      rise_across += jets.de[way][lane] * f.f;
    }
  }
};

/// The depth functions weighed by the table's slopes and summed, at each lane.
template <class Real>
struct Rises {
  static constexpr int kTerms = DepthFunction<Real>::kTerms;
  alignas(64) Real a[kTerms][kLanes];
  DepthFunction<Real> at(int lane) const {
    DepthFunction<Real> f;
#pragma GCC unroll 16
    for (int n = 0; n < kTerms; ++n) f.a[n] = a[n][lane];
    return f;
  }
};

template <int kWays, class Real>
ETCHCAST_CLONES void sum_rises(const Jets<LayerTable::slots_of(kWays), Real>& jets, const Real* depth, Rises<Real>& out) {
  constexpr int kTerms = Rises<Real>::kTerms;
#pragma GCC ivdep
  for (int i = 0; i < kLanes; ++i) {
#pragma GCC unroll 16
    for (int n = 0; n < kTerms; ++n) {
      Real sum = 0;
#pragma GCC unroll 8
      for (int way = 0; way < kWays; ++way) sum += jets.d[way][i] * depth[way * kTerms + n];
      out.a[n][i] = sum;
    }
  }
}

/// The layers c with c + sum (dA/dx) f(c) = z, a loop a round: so the rounds of many points go on side by side.
template <class Real>
void find_layers(const Rises<Real>& rises, const Real* z, Real* c) {
  constexpr int kRounds = sizeof(Real) > sizeof(float) ? 10 : 3;
  std::copy_n(z, kLanes, c);
  for (int round = 0; round < kRounds; ++round)
    lane_by_lane([&rises, z, c](int i) {
      const auto f = rises.at(i).at(c[i]);
      Real step = (c[i] + f.f - z[i]) / rate_of(f.d);
      step = step > Real(0.25) ? Real(0.25) : step;
      step = step < Real(-0.25) ? Real(-0.25) : step;
      c[i] -= step;
    });
}

/// Names of one stage's coordinates in a batch: along it, across it.
template <bool kAlongY, class Real>
struct Stage {
  Real *a, *ap, *aq, *b, *bp, *bq;
  explicit Stage(Batch<Real>& p)
      : a(kAlongY ? p.y : p.x),
        ap(kAlongY ? p.yp : p.xp),
        aq(kAlongY ? p.yq : p.xq),
        b(kAlongY ? p.x : p.y),
        bp(kAlongY ? p.xp : p.yp),
        bq(kAlongY ? p.xq : p.yq) {}
};

template <int kWays, bool kAlongY, class Real>
ETCHCAST_CLONES void stage_back(Batch<Real>& p, const Real* layers, const Jets<LayerTable::slots_of(kWays), Real>& jets, const Real* depth) {
  const Stage<kAlongY, Real> s(p);
#pragma GCC ivdep
  for (int i = 0; i < kLanes; ++i) {
    const Real c = layers[i];
    const Sums<kWays, Real> t(jets, i, depth, c);
    const Real k = 1 / rate_of(t.slope);
    const Real cp = k * (p.zp[i] - t.rise_along * s.ap[i] - t.rise_across * s.bp[i]);
    const Real cq = k * (p.zq[i] - t.rise_along * s.aq[i] - t.rise_across * s.bq[i]);
    p.z[i] = c, p.zp[i] = cp, p.zq[i] = cq;
    s.a[i] += t.push;
    s.ap[i] += t.slope * s.ap[i] + t.across * s.bp[i] + t.bend * cp;
    s.aq[i] += t.slope * s.aq[i] + t.across * s.bq[i] + t.bend * cq;
  }
}

/// One round of Newton's method for the place a with a + sum A(a, b) f'(c) = a1; `tried` is the place, held to steps of
/// `most`.
template <int kWays, class Real>
ETCHCAST_CLONES void nearer(Real* tried, const Real* a1, const Real* c, const Jets<LayerTable::slots_of(kWays), Real>& jets, const Real* depth,
                            Real most) {
#pragma GCC ivdep
  for (int i = 0; i < kLanes; ++i) {
    const Sums<kWays, Real> t(jets, i, depth, c[i]);
    Real step = (tried[i] + t.push - a1[i]) / rate_of(t.slope);
    step = step > most ? most : step;
    step = step < -most ? -most : step;
    tried[i] -= step;
  }
}

template <int kWays, bool kAlongY, class Real>
ETCHCAST_CLONES void stage_forth(Batch<Real>& p, const Real* tried, const Jets<LayerTable::slots_of(kWays), Real>& jets, const Real* depth) {
  const Stage<kAlongY, Real> s(p);
#pragma GCC ivdep
  for (int i = 0; i < kLanes; ++i) {
    const Sums<kWays, Real> t(jets, i, depth, p.z[i]);
    const Real k = 1 / rate_of(t.slope);
    const Real ap = k * (s.ap[i] - t.across * s.bp[i] - t.bend * p.zp[i]);
    const Real aq = k * (s.aq[i] - t.across * s.bq[i] - t.bend * p.zq[i]);
    s.a[i] = tried[i], s.ap[i] = ap, s.aq[i] = aq;
    p.z[i] += t.rise;
    p.zp[i] += t.slope * p.zp[i] + t.rise_along * ap + t.rise_across * s.bp[i];
    p.zq[i] += t.slope * p.zq[i] + t.rise_along * aq + t.rise_across * s.bq[i];
  }
}

/// z = scale * z + shift, x = stretch * x.
template <class Real>
ETCHCAST_CLONES void rescale(Batch<Real>& p, Real scale, Real shift, Real stretch) {
  for (int i = 0; i < kLanes; ++i) {
    p.z[i] = scale * p.z[i] + shift, p.zp[i] *= scale, p.zq[i] *= scale;
    p.x[i] *= stretch, p.xp[i] *= stretch, p.xq[i] *= stretch;
  }
}

template <int kWays>
class LayerMap final : public Map {
 public:
  LayerMap(std::shared_ptr<const LayerTable> table, const LayerLevel& level)
      : table_(std::move(table)), level_(level) {}
  void before_from_after(Batch<float>& b) const override { back(b); }
  void before_from_after(Batch<double>& b) const override { back(b); }
  void after_from_before(Batch<float>& b) const override { forth(b); }
  void after_from_before(Batch<double>& b) const override { forth(b); }
  const char* name() const override { return "layers"; }

 private:
  template <class Real>
  using Looked = Jets<LayerTable::slots_of(kWays), Real>;
  template <bool kAlongY, class Real>
  void look(const Batch<Real>& p, const Real* tried, Looked<Real>& jets) const {
    const Place<Real> place(*table_);
    Weights<Real> weights;
    weigh(place, kAlongY || !tried ? p.x : tried, kAlongY && tried ? tried : p.y, weights);
    look_up<kAlongY>(table_->coefficients<Real>(kAlongY), place.stride, weights, jets);
  }
  template <bool kAlongY, class Real>
  void stage(Batch<Real>& p) const {
    Looked<Real> jets;
    Rises<Real> rises;
    alignas(64) Real layers[kLanes];
    const Real* depth = table_->depth<Real>();
    look<kAlongY>(p, static_cast<const Real*>(nullptr), jets);
    sum_rises<kWays>(jets, depth, rises);
    find_layers(rises, p.z, layers);
    stage_back<kWays, kAlongY>(p, layers, jets, depth);
  }
  template <class Real>
  void back(Batch<Real>& p) const {
    const double tall = level_.thickness * level_.share;
    rescale(p, Real(1 / tall), Real((level_.thickness / 2 - level_.base * level_.thickness) / tall), Real(1));
    stage<false>(p);
    stage<true>(p);
    rescale(p, Real(level_.thickness), Real(-level_.thickness / 2), Real(level_.share));
  }
  template <bool kAlongY, class Real>
  void undo(Batch<Real>& p) const {
    Looked<Real> jets;
    const Real* depth = table_->depth<Real>();
    alignas(64) Real tried[kLanes];
    const Real* a1 = kAlongY ? p.y : p.x;
    for (int i = 0; i < kLanes; ++i) tried[i] = a1[i];
    const Grid2& g = table_->grid();
    const Real most = Real(8 * (kAlongY ? g.dy() : g.dx()));
    for (int round = 0; round < 24; ++round) {
      look<kAlongY>(p, tried, jets);
      nearer<kWays>(tried, a1, p.z, jets, depth, most);
    }
    look<kAlongY>(p, tried, jets);
    stage_forth<kWays, kAlongY>(p, tried, jets, depth);
  }
  template <class Real>
  void forth(Batch<Real>& p) const {
    const double tall = level_.thickness * level_.share;
    rescale(p, Real(1 / level_.thickness), Real(0.5), Real(1 / level_.share));
    undo<true>(p);
    undo<false>(p);
    rescale(p, Real(tall), Real(level_.base * level_.thickness - level_.thickness / 2), Real(1));
  }
  std::shared_ptr<const LayerTable> table_;
  LayerLevel level_;
};

}  // namespace

MapPtr layer_map(std::shared_ptr<const LayerTable> table, const LayerLevel& level) {
  switch (table->ways()) {
    case 1:
      return std::make_shared<LayerMap<1>>(std::move(table), level);
    case 2:
      return std::make_shared<LayerMap<2>>(std::move(table), level);
    case 3:
      return std::make_shared<LayerMap<3>>(std::move(table), level);
    case 4:
      return std::make_shared<LayerMap<4>>(std::move(table), level);
    case 5:
      return std::make_shared<LayerMap<5>>(std::move(table), level);
    default:
      return std::make_shared<LayerMap<6>>(std::move(table), level);
  }
}

}  // namespace etchcast
