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

/// What a table's look-up needs to know of its place.
template <class Real>
struct Place {
  Real x0, y0, kx, ky, columns, rows;
  int ways, stride;
  explicit Place(const LayerTable& t)
      : x0(Real(t.grid().x0)), y0(Real(t.grid().y0)), kx(Real(1 / t.grid().dx())), ky(Real(1 / t.grid().dy())),
        columns(Real(t.grid().columns)), rows(Real(t.grid().rows)), ways(t.ways()),
        stride(t.ways() * (t.grid().columns + 3)) {}
};

template <class Real>
inline Real wrapped(Real f, Real count) {
  return f - count * std::floor(f * (1 / count));
}

template <class Real>
inline Real last_cell(Real cell, Real count) {
  return cell > count - 1 ? count - 1 : cell < 0 ? Real(0) : cell;
}

template <class Real>
struct RowSums {
  Real v, d, dd;
  RowSums(const Real* q, int at, int ways, const SplineWeights<Real>& s) {
    const Real q0 = q[at], q1 = q[at + ways], q2 = q[at + 2 * ways], q3 = q[at + 3 * ways];
    v = s.w[0] * q0 + s.w[1] * q1 + s.w[2] * q2 + s.w[3] * q3;
    d = s.d[0] * q0 + s.d[1] * q1 + s.d[2] * q2 + s.d[3] * q3;
    dd = s.e[0] * q0 + s.e[1] * q1 + s.e[2] * q2 + s.e[3] * q3;
  }
};

template <class Real>
inline Real blend(const Real* w, Real a, Real b, Real c, Real d) {
  return w[0] * a + w[1] * b + w[2] * c + w[3] * d;
}

template <bool kAlongY, class Real>
ETCHCAST_CLONES void look_up(const Real* q, Place<Real> place, const Real* x, const Real* y, Jets<Real>& out) {
#pragma GCC ivdep
  for (int lane = 0; lane < kLanes; ++lane) {
    const Real fx = wrapped((x[lane] - place.x0) * place.kx, place.columns);
    const Real fy = wrapped((y[lane] - place.y0) * place.ky, place.rows);
    const Real i = last_cell(std::floor(fx), place.columns), j = last_cell(std::floor(fy), place.rows);
    const SplineWeights<Real> sx(fx - i), sy(fy - j);
    const int at = int(j) * place.stride + int(i) * place.ways;
    const RowSums<Real> a(q, at, place.ways, sx), b(q, at + place.stride, place.ways, sx);
    const RowSums<Real> c(q, at + 2 * place.stride, place.ways, sx), d(q, at + 3 * place.stride, place.ways, sx);
    const Real along_x = place.kx * blend(sy.w, a.d, b.d, c.d, d.d), along_y = place.ky * blend(sy.d, a.v, b.v, c.v, d.v);
    out.f[lane] = blend(sy.w, a.v, b.v, c.v, d.v);
    out.d[lane] = kAlongY ? along_y : along_x;
    out.e[lane] = kAlongY ? along_x : along_y;
    out.dd[lane] = kAlongY ? place.ky * place.ky * blend(sy.e, a.v, b.v, c.v, d.v)
                           : place.kx * place.kx * blend(sy.w, a.dd, b.dd, c.dd, d.dd);
    out.de[lane] = place.kx * place.ky * blend(sy.d, a.d, b.d, c.d, d.d);
  }
}

/// Coefficients of a polynomial in u = 2c - 1, and its value with two derivatives by c.
template <class Real>
struct Polynomial {
  static constexpr int kTerms = LayerTable::kDegree + 1;
  Real a[kTerms];
  void at(Real c, Real& f, Real& d) const {
    const Real u = 2 * c - 1;
    f = a[kTerms - 1], d = 0;
#pragma GCC unroll 16
    for (int n = kTerms - 2; n >= 0; --n) d = d * u + f, f = f * u + a[n];
    d *= 2;
  }
  void at(Real c, Real& f, Real& d, Real& dd) const {
    const Real u = 2 * c - 1;
    f = a[kTerms - 1], d = 0, dd = 0;
#pragma GCC unroll 16
    for (int n = kTerms - 2; n >= 0; --n) dd = dd * u + d, d = d * u + f, f = f * u + a[n];
    d *= 2, dd *= 8;
  }
};

template <class Real>
inline Real within(Real c) {
  c = c < 0 ? Real(0) : c;
  return c > 1 ? Real(1) : c;
}

/// Layers are never taken to be thinner than a thousandth.
template <class Real>
inline Real rate_of(Real slope) {
  return 1 + slope < Real(1e-3) ? Real(1e-3) : 1 + slope;
}

/// The sums over the ways that a lane needs at its layer.
template <int kWays, class Real>
struct Sums {
  Real slope = 0, push = 0, bend = 0, across = 0, rise_along = 0, rise_across = 0, rise = 0;
  /// `beyond`: how far the point lies outside 0 .. 1; there everything goes on along its tangent.
  Sums(const Jets<Real>* jets, int lane, const Real* depth, Real c) {
    const Real inside = within(c), beyond = c - inside;
#pragma GCC unroll 8
    for (int way = 0; way < kWays; ++way) {
      Polynomial<Real> f;
#pragma GCC unroll 16
      for (int n = 0; n < Polynomial<Real>::kTerms; ++n) f.a[n] = depth[way * Polynomial<Real>::kTerms + n];
      Real v, d, dd;
      f.at(inside, v, d, dd);
      v += beyond * d;
      const Real slide = d + beyond * dd;
      const Jets<Real>& j = jets[way];
      rise += j.d[lane] * v;
      slope += j.d[lane] * d;
      push += j.f[lane] * slide;
      bend += j.f[lane] * dd;
      across += j.e[lane] * slide;
      rise_along += j.dd[lane] * v;
      rise_across += j.de[lane] * v;
    }
  }
};

/// The layer c with c + sum (dA/dx) f(c) = z.
template <int kWays, class Real>
inline Real layer_at(const Jets<Real>* jets, int lane, const Real* depth, Real z) {
  constexpr int kTerms = Polynomial<Real>::kTerms;
  Polynomial<Real> p;
#pragma GCC unroll 16
  for (int n = 0; n < kTerms; ++n) {
    p.a[n] = 0;
#pragma GCC unroll 8
    for (int way = 0; way < kWays; ++way) p.a[n] += jets[way].d[lane] * depth[way * kTerms + n];
  }
  Real c = within(z);
  constexpr int kRounds = sizeof(Real) > sizeof(float) ? 8 : 4;
#pragma GCC unroll 8
  for (int round = 0; round < kRounds; ++round) {
    const Real inside = within(c);
    Real f, d;
    p.at(inside, f, d);
    c = c - (c + f + (c - inside) * d - z) / rate_of(d);
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
    for (int way = 0; way < kWays; ++way)
      look_up<kAlongY>(table_->coefficients<Real>(kAlongY) + way, place, kAlongY || !tried ? p.x : tried,
                       kAlongY && tried ? tried : p.y, jets[way]);
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
