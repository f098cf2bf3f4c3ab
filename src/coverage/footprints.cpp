// Footprints and tables: short loops over lanes, loads of records between them.
#include "coverage/footprints.hpp"

#include <algorithm>
#include <cmath>

#include "base/clones.hpp"

namespace etchcast {

namespace {

/// Value of the parabola in a cell: value * t^2 / 2 up to the edge, then with the other value.
template <class Real>
inline Real second_at(Real second, Real first, Real edge, Real mean, Real t) {
  const Real before = edge > 0 ? 1 - mean : -mean, step = edge > 0 ? Real(-1) : Real(1);
  const Real past = t - (edge > 0 ? edge : -edge), over = past > 0 ? past : Real(0);
  return second + t * (first + Real(0.5) * before * t) + Real(0.5) * step * over * over;
}

/// What lies past an edge: the share of a trapezoid of half widths a and b, times 8 a b, from `over` mm behind the edge on.
inline float past_edge(float over, float sum, float difference) {
  const auto square = [](float x) { return x > 0 ? x * x : 0.0f; };
  over = over < sum ? over : sum;  // else squares of a long way would cancel
  return square(over + sum) - square(over + difference) - square(over - difference) + square(over - sum);
}

/// A share, whatever rounding did; 0 of what is not a number.
inline float within_one(float share) { return share > 0 ? (share < 1 ? share : 1.0f) : 0.0f; }

/// A footprint that reaches so many of the spans may hold more than four edges, or more than eight.
constexpr int kReachedFour = 3, kReachedEight = 4;

/// A batch of footprints on their way through the table. Records are loaded one by one between two vector loops: the gather
/// instructions of several processors are slower than the loads they replace. Small enough to stay in the first cache
/// beside the table.
struct Footprints {
  alignas(64) float wide[kLanes], narrow[kLanes];
  alignas(64) float low[kLanes];    ///< of the footprint's lower end in its cell, a cell added
  alignas(64) int cell[kLanes];
  alignas(64) int reached[kLanes];  ///< how many of the spans its upper end reaches, from the cell's start on
  alignas(64) BandTable::Ahead ahead[kLanes];
};

/// How many of the spans the shortest and the longest footprint of a batch reach.
struct Classes {
  int least, most;
};

/// Sorts half widths, blurs them as diffusion blurred the seams, and finds the cells of the lower ends.
ETCHCAST_CLONES Classes place(Footprints& f, const Frame<float> frame, const Spans spans, const float* s, const float* p, const float* q) {
  int most = 0, least = kReachedEight;
#pragma GCC ivdep
  for (int i = 0; i < kLanes; ++i) {
    const float a = 0.5f * std::abs(p[i]), b = 0.5f * std::abs(q[i]), large = std::max(a, b), less = std::min(a, b);
    const float wide = std::max(std::sqrt(large * large + frame.soft2), frame.floor), narrow = std::max(std::sqrt(less * less + frame.soft2), float(kNarrowest) * wide);
    const float low = s[i] - (wide + narrow);
    float cell = std::floor(low * frame.per_mm);
    cell = cell > 0 ? (cell < frame.top ? cell : frame.top) : 0.0f;  // so that what is not a number is 0
    f.wide[i] = wide, f.narrow[i] = narrow;
    f.cell[i] = int(cell), f.low[i] = low - cell * frame.cell_mm + frame.cell_mm;
    const float reach = f.low[i] - frame.cell_mm + 2 * (wide + narrow);
    const int reached = int(reach >= spans.two) + int(reach >= spans.three) + int(reach >= spans.four) + int(reach >= spans.eight);
    f.reached[i] = reached;
    most = std::max(most, reached), least = std::min(least, reached);
  }
  return {least, most};
}

/// The shares by the first so many edges.
template <int kEdges>
ETCHCAST_CLONES void weigh_edges(const Footprints& f, float* out) {
#pragma GCC ivdep
  for (int i = 0; i < kLanes; ++i) {
    const float wide = f.wide[i], narrow = f.narrow[i], sum = wide + narrow, difference = wide - narrow, middle = f.low[i] + sum;
    const float first = f.ahead[i].edge[0];
    float past = past_edge(middle - std::abs(first), sum, difference) - past_edge(middle - f.ahead[i].edge[1], sum, difference);
    if (kEdges > 2) past += past_edge(middle - f.ahead[i].edge[2], sum, difference);
    if (kEdges > 3) past -= past_edge(middle - f.ahead[i].edge[3], sum, difference);
    const float gained = past / (8 * wide * narrow), share = first > 0 ? gained : 1 - gained;
    out[i] = within_one(share);
  }
}

/// Adds what the next four edges say. The first four ended where they began: with the steel, or without it.
ETCHCAST_CLONES void weigh_beyond(const Footprints& f, const BandTable::Ahead* beyond, float* out) {
#pragma GCC ivdep
  for (int i = 0; i < kLanes; ++i) {
    const float wide = f.wide[i], narrow = f.narrow[i], sum = wide + narrow, difference = wide - narrow, middle = f.low[i] + sum;
    const float past = past_edge(middle - beyond[i].edge[0], sum, difference) - past_edge(middle - beyond[i].edge[1], sum, difference) +
                       past_edge(middle - beyond[i].edge[2], sum, difference) - past_edge(middle - beyond[i].edge[3], sum, difference);
    const float gained = past / (8 * wide * narrow), share = out[i] + (f.ahead[i].edge[0] > 0 ? gained : -gained);
    out[i] = within_one(share);
  }
}

/// The same footprints by the integral.
template <class Real>
struct Corners {
  alignas(64) Real t[kLanes], sum[kLanes];
  alignas(64) int cell[kLanes];
  alignas(64) BandTable::Record<Real> record[kLanes];
};

/// Cells of one corner of every trapezoid: of the four sums and differences of its half widths.
template <class Real>
ETCHCAST_CLONES void place_corner(Corners<Real>& c, const Footprints& f, const Frame<Real> frame, const float* s, Real wide_sign, Real narrow_sign) {
#pragma GCC ivdep
  for (int i = 0; i < kLanes; ++i) {
    const Real x = (Real(s[i]) + wide_sign * f.wide[i] + narrow_sign * f.narrow[i]) * frame.per_mm;
    Real cell = std::floor(x);
    cell = cell > 0 ? (cell < frame.top ? cell : frame.top) : Real(0);
    c.cell[i] = int(cell), c.t[i] = (x - cell) * frame.cell_mm;
  }
}

template <class Real>
ETCHCAST_CLONES void add_corner(Corners<Real>& c, const Frame<Real> frame, Real sign) {
#pragma GCC ivdep
  for (int i = 0; i < kLanes; ++i) c.sum[i] += sign * second_at(c.record[i].second, c.record[i].first, c.record[i].edge, frame.mean, c.t[i]);
}

/// Takes the integral's word where a footprint may hold more than four edges.
template <class Real>
ETCHCAST_CLONES void weigh_corners(const Corners<Real>& c, const Footprints& f, const Frame<Real> frame, float* out) {
#pragma GCC ivdep
  for (int i = 0; i < kLanes; ++i) {
    const Real share = frame.mean + c.sum[i] / (4 * Real(f.wide[i]) * Real(f.narrow[i]));
    const float own = within_one(float(share)), had = out[i];
    out[i] = f.reached[i] >= kReachedFour ? own : had;
  }
}

template <class Real>
void filter_long(const Footprints& f, const BandTable::Record<Real>* cells, const Frame<Real>& frame, const float* s, float* out) {
  Corners<Real> c;
  std::fill_n(c.sum, kLanes, Real(0));
  for (const Real wide_sign : {1, -1})
    for (const Real narrow_sign : {1, -1}) {
      place_corner(c, f, frame, s, wide_sign, narrow_sign);
      for (int i = 0; i < kLanes; ++i) c.record[i] = cells[c.cell[i]];
      add_corner(c, frame, wide_sign * narrow_sign);
    }
  weigh_corners(c, f, frame, out);
}

/// A batch of footprints. Neighbouring pixels have like footprints, so most batches need few edges, and hardly one the integral.
template <class Real>
void filter_batch(const Tables<Real>& tables, const float* s, const float* p, const float* q, float* out) {
  Footprints f;
  const Classes reached = place(f, tables.near, tables.spans, s, p, q);
  for (int i = 0; i < kLanes; ++i) f.ahead[i] = tables.ahead[f.cell[i]];
  if (reached.least < kReachedFour || reached.most < kReachedEight) reached.most == 0 ? weigh_edges<2>(f, out) : reached.most == 1 ? weigh_edges<3>(f, out) : weigh_edges<4>(f, out);
  if (reached.most < kReachedFour) return;
  if (reached.most == kReachedEight) return filter_long(f, tables.cells, tables.far, s, out);
  BandTable::Ahead beyond[kLanes];
  for (int i = 0; i < kLanes; ++i) beyond[i] = tables.beyond[f.cell[i]];
  weigh_beyond(f, beyond, out);
}

}  // namespace

/// A batch at a time; the last one is filled up with copies.
template <class Real>
void weigh(const Tables<Real>& tables, const float* s, const float* p, const float* q, int n, float* out) {
  int first = 0;
  for (; first + kLanes <= n; first += kLanes) filter_batch(tables, s + first, p + first, q + first, out + first);
  if (first == n) return;
  float filled[4][kLanes];
  int to = 0;
  for (const float* from : {s, p, q}) std::fill(std::copy(from + first, from + n, filled[to]), filled[to] + kLanes, from[n - 1]), ++to;
  filter_batch(tables, filled[0], filled[1], filled[2], filled[3]);
  std::copy_n(filled[3], n - first, out + first);
}

template void weigh(const Tables<float>& tables, const float* s, const float* p, const float* q, int n, float* out);
template void weigh(const Tables<double>& tables, const float* s, const float* p, const float* q, int n, float* out);

ETCHCAST_CLONES void leave(const float* took, int n, bool whole, float* rest) {
#pragma GCC ivdep
  for (int i = 0; i < n; ++i) rest[i] = std::max(0.0f, (whole ? 1.0f : rest[i]) - took[i]);
}

namespace {

/// Places on their way through a table: where they lie, told from a cell's lower end, a cell added.
struct Places {
  alignas(64) float from[kLanes], to[kLanes];
  alignas(64) int cell[kLanes];
  alignas(64) BandTable::Ahead ahead[kLanes];
};

ETCHCAST_CLONES void place(Places& p, float cell_mm, float top, const float* s, const float* reach, int n) {
  const float per_mm = 1 / cell_mm;
#pragma GCC ivdep
  for (int i = 0; i < n; ++i) {
    const float low = s[i] - reach[i];
    float cell = std::floor(low * per_mm);
    cell = cell > 0 ? (cell < top ? cell : top) : 0.0f;
    p.cell[i] = int(cell), p.from[i] = low - cell * cell_mm + cell_mm, p.to[i] = p.from[i] + 2 * reach[i];
  }
}

ETCHCAST_CLONES void meet(const Places& p, float cell_mm, const float* reach, int n, int* within) {
#pragma GCC ivdep
  for (int i = 0; i < n; ++i) {
    const float from = p.from[i], to = p.to[i];
    const auto in = [from, to](float edge) { return int(edge >= from) & int(edge <= to); };
    const auto& edge = p.ahead[i].edge;
    // Four edges ahead say nothing about more than three cells.
    within[i] |= in(std::abs(edge[0])) | in(edge[1]) | in(edge[2]) | in(edge[3]) | int(!(reach[i] < cell_mm));
  }
}

}  // namespace

void meet_edges(const BandTable::Ahead* ahead, const Frame<float>& frame, const float* s, const float* reach, int n, int* within) {
  Places p;
  place(p, frame.cell_mm, frame.top, s, reach, n);
  for (int i = 0; i < n; ++i) p.ahead[i] = ahead[p.cell[i]];
  meet(p, frame.cell_mm, reach, n, within);
}

}  // namespace etchcast
