// Two motions one after another, in single loops over the lanes: one a way for the table, one for the layer.
#include "tape/layer_map.hpp"

#include <cmath>
#include <type_traits>
#include <utility>

#include "base/spline.hpp"

namespace etchcast {

namespace {

/// A or B and derivatives at each lane: along the stage's own direction (d, dd), across it (e, de).
template <class Real>
struct Jets {
  alignas(64) Real f[kLanes], d[kLanes], e[kLanes], dd[kLanes], de[kLanes];
};

/// Where each lane lies in the table, and the weights of its four nodes each way.
template <class Real>
struct Weights {
  alignas(64) int at[kLanes];
  alignas(64) Real x[12][kLanes], y[12][kLanes];  ///< four of the value, four of each derivative
};

/// What a look-up needs to know of its table.
template <class Real>
struct Place {
  Real x0, y0, kx, ky, columns, rows;
  int slots, stride;
  explicit Place(const LayerTable& t)
      : x0(Real(t.grid().x0)), y0(Real(t.grid().y0)), kx(Real(1 / t.grid().dx())), ky(Real(1 / t.grid().dy())),
        columns(Real(t.grid().columns)), rows(Real(t.grid().rows)), slots(t.slots()),
        stride(t.slots() * (t.grid().columns + 3)) {}
};

template <class Real>
inline Real wrapped(Real f, Real count) {
  return f - count * std::floor(f * (1 / count));
}

template <class Real>
inline Real cell_of(Real f, Real count) {
  const Real cell = std::floor(f);
  return cell > count - 1 ? count - 1 : cell < 0 ? Real(0) : cell;
}

template <class Real>
ETCHCAST_CLONES void weigh(Place<Real> place, const Real* x, const Real* y, Weights<Real>& out) {
#pragma GCC ivdep
  for (int lane = 0; lane < kLanes; ++lane) {
    const Real fx = wrapped((x[lane] - place.x0) * place.kx, place.columns);
    const Real fy = wrapped((y[lane] - place.y0) * place.ky, place.rows);
    const Real i = cell_of(fx, place.columns), j = cell_of(fy, place.rows);
    const SplineWeights<Real> sx(fx - i), sy(fy - j);
    out.at[lane] = int(j) * place.stride + int(i) * place.slots;
#pragma GCC unroll 4
    for (int k = 0; k < 4; ++k) {
      out.x[k][lane] = sx.w[k], out.x[4 + k][lane] = place.kx * sx.d[k];
      out.x[8 + k][lane] = place.kx * place.kx * sx.e[k];
      out.y[k][lane] = sy.w[k], out.y[4 + k][lane] = place.ky * sy.d[k];
      out.y[8 + k][lane] = place.ky * place.ky * sy.e[k];
    }
  }
}

/// All ways of a node stand side by side, so a lane takes them in one load each. With lanes side by side instead every
/// number would be fetched by itself: measured three times as slow.
template <int kSlots, class Real>
using Slots __attribute__((vector_size(kSlots * sizeof(Real)))) = Real;

template <class Vector, class Real>
inline Vector load(const Real* from) {
  Vector v;
  __builtin_memcpy(&v, from, sizeof v);
  return v;
}

template <int kWays, bool kAlongY, class Real>
ETCHCAST_CLONES void look_up(const Real* q, int stride, const Weights<Real>& weights, Jets<Real>* out) {
  constexpr int kSlots = kWays > 4 ? 8 : 4;
  using Vector = Slots<kSlots, Real>;
  for (int lane = 0; lane < kLanes; ++lane) {
    Vector f{}, along_x{}, along_y{}, twice{}, both{};
    const Real* row = q + weights.at[lane];
    const auto wx = [&](int k) { return weights.x[k][lane]; };
    const auto wy = [&](int k) { return weights.y[k][lane]; };
#pragma GCC unroll 4
    for (int r = 0; r < 4; ++r, row += stride) {
      const Vector a = load<Vector>(row), b = load<Vector>(row + kSlots), c = load<Vector>(row + 2 * kSlots),
                   d = load<Vector>(row + 3 * kSlots);
      const Vector value = (wx(0) * a + wx(1) * b) + (wx(2) * c + wx(3) * d);
      const Vector slope = (wx(4) * a + wx(5) * b) + (wx(6) * c + wx(7) * d);
      f += wy(r) * value, along_x += wy(r) * slope, along_y += wy(4 + r) * value, both += wy(4 + r) * slope;
      twice += kAlongY ? wy(8 + r) * value : wy(r) * ((wx(8) * a + wx(9) * b) + (wx(10) * c + wx(11) * d));
    }
#pragma GCC unroll 8
    for (int way = 0; way < kWays; ++way) {
      Jets<Real>& j = out[way];
      j.f[lane] = f[way], j.dd[lane] = twice[way], j.de[lane] = both[way];
      j.d[lane] = kAlongY ? along_y[way] : along_x[way], j.e[lane] = kAlongY ? along_x[way] : along_y[way];
    }
  }
}

template <class Real>
inline Real within(Real c) {
  c = c < 0 ? Real(0) : c;
  return c > 1 ? Real(1) : c;
}

/// A depth function by the coefficients of its polynomial in u = 2c - 1. Between the stages layers may lie a little outside
/// 0 .. 1, where high polynomials run off: it goes on along its parabola for a fifth, and then along a straight line. It
/// stays one function, with one slope and one bend, so that the motion keeps volume there too.
template <class Real>
struct DepthFunction {
  static constexpr int kTerms = LayerTable::kDegree + 1;
  Real a[kTerms];
  struct Jet {
    Real f, d, dd;  ///< value and derivatives by c
  };
  Jet at(Real c) const {
    const Real inside = within(c), off = c - inside, u = 2 * inside - 1;
    Real f = a[kTerms - 1], d = 0, dd = 0;
#pragma GCC unroll 16
    for (int n = kTerms - 2; n >= 0; --n) dd = dd * u + d, d = d * u + f, f = f * u + a[n];
    d *= 2, dd *= 8;
    const Real bound = Real(0.2), bent = off > bound ? bound : off < -bound ? -bound : off, rest = off - bent;
    const Real slope = d + bent * dd;
    return {f + bent * (d + Real(0.5) * bent * dd) + rest * slope, slope, rest == 0 ? dd : Real(0)};
  }
};

/// Layers are never taken to be thinner than a thousandth.
template <class Real>
inline Real rate_of(Real slope) {
  return 1 + slope < Real(1e-3) ? Real(1e-3) : 1 + slope;
}

/// The sums over the ways that a lane needs at its layer.
template <int kWays, class Real>
struct Sums {
  Real slope = 0, push = 0, bend = 0, across = 0, rise_along = 0, rise_across = 0, rise = 0;
  Sums(const Jets<Real>* jets, int lane, const Real* depth, Real c) {
    constexpr int kTerms = DepthFunction<Real>::kTerms;
#pragma GCC unroll 8
    for (int way = 0; way < kWays; ++way) {
      DepthFunction<Real> function;
#pragma GCC unroll 16
      for (int n = 0; n < kTerms; ++n) function.a[n] = depth[way * kTerms + n];
      const auto f = function.at(c);
      const Jets<Real>& j = jets[way];
      rise += j.d[lane] * f.f;
      slope += j.d[lane] * f.d;
      push += j.f[lane] * f.d;
      bend += j.f[lane] * f.dd;
      across += j.e[lane] * f.d;
      rise_along += j.dd[lane] * f.f;
      rise_across += j.de[lane] * f.f;
    }
  }
};

/// The layer c with c + sum (dA/dx) f(c) = z.
template <int kWays, class Real>
inline Real layer_at(const Jets<Real>* jets, int lane, const Real* depth, Real z) {
  constexpr int kTerms = DepthFunction<Real>::kTerms;
  DepthFunction<Real> sum;
#pragma GCC unroll 16
  for (int n = 0; n < kTerms; ++n) {
    sum.a[n] = 0;
#pragma GCC unroll 8
    for (int way = 0; way < kWays; ++way) sum.a[n] += jets[way].d[lane] * depth[way * kTerms + n];
  }
  Real c = within(z);
  constexpr int kRounds = sizeof(Real) > sizeof(float) ? 10 : 3;
#pragma GCC unroll 16
  for (int round = 0; round < kRounds; ++round) {
    const auto f = sum.at(c);
    c = c - (c + f.f - z) / rate_of(f.d);
  }
  return c;
}

/// Names of one stage's coordinates in a batch: along it, across it.
template <bool kAlongY, class Real>
struct Stage {
  Real *a, *ap, *aq, *b, *bp, *bq;
  explicit Stage(Batch<Real>& p)
      : a(kAlongY ? p.y : p.x), ap(kAlongY ? p.yp : p.xp), aq(kAlongY ? p.yq : p.xq), b(kAlongY ? p.x : p.y),
        bp(kAlongY ? p.xp : p.yp), bq(kAlongY ? p.xq : p.yq) {}
};

template <int kWays, bool kAlongY, class Real>
ETCHCAST_CLONES void stage_back(Batch<Real>& p, const Jets<Real>* jets, const Real* depth) {
  const Stage<kAlongY, Real> s(p);
#pragma GCC ivdep
  for (int i = 0; i < kLanes; ++i) {
    const Real c = layer_at<kWays>(jets, i, depth, p.z[i]);
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
ETCHCAST_CLONES void nearer(Real* tried, const Real* a1, const Real* c, const Jets<Real>* jets, const Real* depth, Real most) {
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
ETCHCAST_CLONES void stage_forth(Batch<Real>& p, const Real* tried, const Jets<Real>* jets, const Real* depth) {
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
  LayerMap(std::shared_ptr<const LayerTable> table, const LayerLevel& level) : table_(std::move(table)), level_(level) {}
  void before_from_after(Batch<float>& b) const override { back(b); }
  void before_from_after(Batch<double>& b) const override { back(b); }
  void after_from_before(Batch<float>& b) const override { forth(b); }
  void after_from_before(Batch<double>& b) const override { forth(b); }
  const char* name() const override { return "layers"; }

 private:
  template <bool kAlongY, class Real>
  void look(const Batch<Real>& p, const Real* tried, Jets<Real>* jets) const {
    const Place<Real> place(*table_);
    Weights<Real> weights;
    weigh(place, kAlongY || !tried ? p.x : tried, kAlongY && tried ? tried : p.y, weights);
    look_up<kWays, kAlongY>(table_->coefficients<Real>(kAlongY), place.stride, weights, jets);
  }
  template <class Real>
  void back(Batch<Real>& p) const {
    Jets<Real> jets[kWays];
    const Real* depth = table_->depth<Real>();
    const double tall = level_.thickness * level_.share;
    rescale(p, Real(1 / tall), Real((level_.thickness / 2 - level_.base * level_.thickness) / tall), Real(1));
    look<false>(p, static_cast<const Real*>(nullptr), jets);
    stage_back<kWays, false>(p, jets, depth);
    look<true>(p, static_cast<const Real*>(nullptr), jets);
    stage_back<kWays, true>(p, jets, depth);
    rescale(p, Real(level_.thickness), Real(-level_.thickness / 2), Real(level_.share));
  }
  template <bool kAlongY, class Real>
  void undo(Batch<Real>& p) const {
    Jets<Real> jets[kWays];
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
    case 1: return std::make_shared<LayerMap<1>>(std::move(table), level);
    case 2: return std::make_shared<LayerMap<2>>(std::move(table), level);
    case 3: return std::make_shared<LayerMap<3>>(std::move(table), level);
    case 4: return std::make_shared<LayerMap<4>>(std::move(table), level);
    case 5: return std::make_shared<LayerMap<5>>(std::move(table), level);
    default: return std::make_shared<LayerMap<6>>(std::move(table), level);
  }
}

}  // namespace etchcast
