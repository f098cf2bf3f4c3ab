// Integrals of a band list.
#include "coverage/band_table.hpp"

#include <algorithm>
#include <cmath>

#include "base/clones.hpp"

namespace etchcast {

namespace {

constexpr int kMostCells = 1 << 18;
/// A trapezoid's shorter half width is at least this share of the longer: what that blurs is far below a level.
constexpr double kNarrow = 0.02;
/// Added to the square of either half width, in variances of the blur: at 1.4 two boxes are within 0.012 of the error function.
constexpr double kSoft = 1.4;

/// Stretches of one steel: from, to, from, to …
std::vector<double> runs_of(const BandList& list, int steel) {
  std::vector<double> runs;
  for (int i = 0; i < list.size(); ++i)
    if (list.what[i] == steel) runs.insert(runs.end(), {list.edges[i], list.edges[i + 1]});
  return runs;
}

/// The shortest stretch from an edge to the one that follows so many later; the whole list if there are not so many.
double shortest(const std::vector<double>& edges, size_t later, double total) {
  double least = total;
  for (size_t i = 0; i + later < edges.size(); ++i) least = std::min(least, edges[i + later] - edges[i]);
  return least;
}

template <class Real>
struct Frame {
  Real per_mm, cell_mm, top, floor, mean, soft2;
};

/// Value of the parabola in a cell: value * t^2 / 2 up to the edge, then with the other value.
template <class Real>
inline Real second_at(Real second, Real first, Real edge, Real mean, Real t) {
  const Real before = edge > 0 ? 1 - mean : -mean, step = edge > 0 ? Real(-1) : Real(1);
  const Real past = t - (edge > 0 ? edge : -edge), over = past > 0 ? past : Real(0);
  return second + t * (first + Real(0.5) * before * t) + Real(0.5) * step * over * over;
}

/// Distance of what is not there: beyond the reach of any footprint, in cells.
constexpr double kFar = 1e6;

/// What lies past an edge: the share of a trapezoid of half widths a and b, times 8 a b, from `over` mm behind the edge on.
inline float past_edge(float over, float sum, float difference) {
  const auto square = [](float x) { return x > 0 ? x * x : 0.0f; };
  over = over < sum ? over : sum;  // else squares of a long way would cancel
  return square(over + sum) - square(over + difference) - square(over - difference) + square(over - sum);
}

/// A batch of footprints on their way through the table. Records are loaded one by one between two vector loops: the gather
/// instructions of several processors are slower than the loads they replace. Small enough to stay in the first cache
/// beside the table.
struct Footprints {
  alignas(64) float wide[kLanes], narrow[kLanes];
  alignas(64) float low[kLanes];  ///< of the footprint's lower end in its cell, a cell added
  alignas(64) int cell[kLanes];
  alignas(64) BandTable::Ahead ahead[kLanes];
};

/// Shortest stretches that hold one edge more than two, three, four and eight.
struct Spans {
  float two, three, four, eight;
};

/// How many of those stretches the shortest and the longest footprint of a batch reach.
struct Classes {
  int least, most;
};

/// Sorts half widths, blurs them as diffusion blurred the seams, and finds the cells of the lower ends.
ETCHCAST_CLONES Classes place(Footprints& f, const Frame<float> frame, const Spans spans, const float* s, const float* p, const float* q) {
  int most = 0, least = 4;
#pragma GCC ivdep
  for (int i = 0; i < kLanes; ++i) {
    const float a = 0.5f * std::abs(p[i]), b = 0.5f * std::abs(q[i]), large = std::max(a, b), less = std::min(a, b);
    const float wide = std::max(std::sqrt(large * large + frame.soft2), frame.floor), narrow = std::max(std::sqrt(less * less + frame.soft2), float(kNarrow) * wide);
    const float low = s[i] - (wide + narrow);
    float cell = std::floor(low * frame.per_mm);
    cell = cell > 0 ? (cell < frame.top ? cell : frame.top) : 0.0f;  // so that what is not a number is 0
    f.wide[i] = wide, f.narrow[i] = narrow;
    f.cell[i] = int(cell), f.low[i] = low - cell * frame.cell_mm + frame.cell_mm;
    const float reach = f.low[i] - frame.cell_mm + 2 * (wide + narrow);
    const int reached = int(reach >= spans.two) + int(reach >= spans.three) + int(reach >= spans.four) + int(reach >= spans.eight);
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
    out[i] = share < 0 ? 0.0f : (share > 1 ? 1.0f : share);
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
    out[i] = share < 0 ? 0.0f : (share > 1 ? 1.0f : share);
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

/// Takes the integral's word where a footprint may hold more than four edges: where it reaches `few` mm beyond its cell's start.
template <class Real>
ETCHCAST_CLONES void weigh_corners(const Corners<Real>& c, const Footprints& f, const Frame<Real> frame, float few, float* out) {
#pragma GCC ivdep
  for (int i = 0; i < kLanes; ++i) {
    const Real share = frame.mean + c.sum[i] / (4 * Real(f.wide[i]) * Real(f.narrow[i]));
    const float own = float(share < 0 ? Real(0) : (share > 1 ? Real(1) : share)), had = out[i];
    out[i] = f.low[i] + 2 * (f.wide[i] + f.narrow[i]) > few ? own : had;
  }
}

template <class Real>
void filter_long(const Footprints& f, const BandTable::Record<Real>* cells, const Frame<Real>& frame, float few, const float* s, float* out) {
  Corners<Real> c;
  std::fill_n(c.sum, kLanes, Real(0));
  for (const Real wide_sign : {1, -1})
    for (const Real narrow_sign : {1, -1}) {
      place_corner(c, f, frame, s, wide_sign, narrow_sign);
      for (int i = 0; i < kLanes; ++i) c.record[i] = cells[c.cell[i]];
      add_corner(c, frame, wide_sign * narrow_sign);
    }
  weigh_corners(c, f, frame, few, out);
}

/// What the loops need of a steel's tables.
template <class Real>
struct Tables {
  const BandTable::Ahead *ahead, *beyond;
  const BandTable::Record<Real>* cells;
  Spans spans;
  Frame<float> near;
  Frame<Real> far;
};

/// A batch of footprints. Neighbouring pixels have like footprints, so most batches need few edges, and hardly one the integral.
template <class Real>
void filter_batch(const Tables<Real>& tables, const float* s, const float* p, const float* q, float* out) {
  Footprints f;
  const Classes reached = place(f, tables.near, tables.spans, s, p, q);
  for (int i = 0; i < kLanes; ++i) f.ahead[i] = tables.ahead[f.cell[i]];
  if (reached.least < 3 || reached.most < 4) reached.most == 0 ? weigh_edges<2>(f, out) : reached.most == 1 ? weigh_edges<3>(f, out) : weigh_edges<4>(f, out);
  if (reached.most < 3) return;
  if (reached.most == 4) return filter_long(f, tables.cells, tables.far, tables.near.cell_mm + tables.spans.four, s, out);
  BandTable::Ahead beyond[kLanes];
  for (int i = 0; i < kLanes; ++i) beyond[i] = tables.beyond[f.cell[i]];
  weigh_beyond(f, beyond, out);
}

/// n footprints, a batch at a time; the last batch is filled up with copies.
template <class Real>
void filter_row(const Tables<Real>& tables, const float* s, const float* p, const float* q, int n, float* out) {
  int first = 0;
  for (; first + kLanes <= n; first += kLanes) filter_batch(tables, s + first, p + first, q + first, out + first);
  if (first == n) return;
  float filled[4][kLanes];
  int to = 0;
  for (const float* from : {s, p, q}) std::fill(std::copy(from + first, from + n, filled[to]), filled[to] + kLanes, from[n - 1]), ++to;
  filter_batch(tables, filled[0], filled[1], filled[2], filled[3]);
  std::copy_n(filled[3], n - first, out + first);
}

/// What a steel leaves of the whole, or of what others left.
ETCHCAST_CLONES void leave(const float* took, int n, bool whole, float* rest) {
#pragma GCC ivdep
  for (int i = 0; i < n; ++i) rest[i] = std::max(0.0f, (whole ? 1.0f : rest[i]) - took[i]);
}

}  // namespace

BandTable::BandTable(const BandList& list, int steels) : steels_(steels), mean_band_(list.total() / list.size()), total_(list.total()), soft_mm_(list.soft_mm) {
  // No cell holds two edges; a floor keeps slivers from asking for millions.
  cell_mm_ = std::max(0.99 * shortest(list.edges, 1, total_), total_ / kMostCells);
  count_ = std::max(1, int(std::ceil(total_ / cell_mm_)));
  std::vector<int> present;
  for (int k = 0; k < steels; ++k)
    if (std::find(list.what.begin(), list.what.end(), k) != list.what.end()) present.push_back(k);
  for (int k = 0; k < steels; ++k)
    if (std::find(present.begin(), present.end(), k) == present.end()) absent_.push_back(k);
  rest_ = present.empty() ? 0 : present.back();
  for (size_t i = 0; i + 1 < present.size(); ++i) {
    Steel steel;
    steel.steel = present[i];
    const std::vector<double> runs = runs_of(list, steel.steel);
    lay_ahead(runs, steel);
    lay_cells(runs, steel);
    tabled_.push_back(std::move(steel));
  }
  for (int i = 0; i < list.size(); ++i)
    if (list.what[i] < 0) edges_.insert(edges_.end(), {list.edges[i], list.edges[i + 1]});
}

BandTable::Ahead BandTable::ahead_of(const std::vector<double>& runs, size_t next, double from) const {
  Ahead ahead;
  for (size_t k = 0; k < 4; ++k) {
    const bool has = next + k < runs.size() && runs[next + k] < total_ - 1e-12;  // the list's end is no edge
    ahead.edge[k] = float((has ? runs[next + k] - from : kFar * cell_mm_) + cell_mm_);
  }
  return ahead;
}

/// Every edge from a cell's lower end on ends or begins the steel, in turns.
void BandTable::lay_ahead(const std::vector<double>& runs, Steel& steel) const {
  const size_t edges[] = {2, 3, 4, 8};
  for (int k = 0; k < 4; ++k) steel.spans[k] = float(shortest(runs, edges[k], 2 * total_) * (1 - 1e-5));
  size_t next = 0;
  for (int c = 0; c < count_; ++c) {
    const double from = c * cell_mm_;
    while (next < runs.size() && (runs[next] < from || runs[next] <= 0)) ++next;
    steel.ahead.push_back(ahead_of(runs, next, from));
    steel.beyond.push_back(ahead_of(runs, next + 4, from));
    if (next % 2 == 1) steel.ahead.back().edge[0] *= -1;  // an odd edge ends a run
  }
}

void BandTable::lay_cells(const std::vector<double>& runs, Steel& steel) {
  for (size_t i = 0; i < runs.size(); i += 2) steel.mean += (runs[i + 1] - runs[i]) / total_;
  steel.exact.resize(count_);
  double first = 0, second = 0, first_sum = 0, largest = 0;
  size_t next = 0;  // the next edge of a run
  bool inside = !runs.empty() && runs[0] <= 0;
  if (inside) next = 1;
  for (int c = 0; c < count_; ++c) {
    const double from = c * cell_mm_;
    const bool has = next < runs.size() && runs[next] < from + cell_mm_ && runs[next] < total_ - 1e-12;
    const double edge = has ? std::max(runs[next] - from, 1e-12 * cell_mm_) : kFar * cell_mm_;
    steel.exact[c] = {second, first, inside ? edge : -edge, 0};
    const double value = (inside ? 1 : 0) - steel.mean, t = cell_mm_;
    const double step = has ? (inside ? -1 : 1) : 0, over = has ? t - edge : 0;
    first_sum += first * t + value * t * t / 2 + step * over * over / 2;
    second += first * t + value * t * t / 2 + step * over * over / 2;
    first += value * t + step * over;
    // Slivers below the least cell: edges passed over within one cell are taken at its end.
    while (next < runs.size() && runs[next] < from + cell_mm_) inside = !inside, ++next;
  }
  // A slope common to all cells cancels in the second difference; without it the integral stays small.
  const double slope = first_sum / (count_ * cell_mm_);
  for (int c = 0; c < count_; ++c) {
    Record<double>& cell = steel.exact[c];
    cell.second -= slope * c * cell_mm_;
    cell.first -= slope;
    largest = std::max(largest, std::abs(cell.second));
  }
  // Float keeps 24 bits: four values of that size, over the smallest footprint that is left to them.
  const double smallest = 4 * kNarrow * std::pow((steel.spans[2] - cell_mm_) / 2 / (1 + kNarrow), 2);
  if (4 * largest * 6e-8 > 2e-3 * smallest) precise_ = true;
  for (const Record<double>& cell : steel.exact) steel.quick.push_back({float(cell.second), float(cell.first), float(cell.edge), 0});
}

template <class Real>
void BandTable::filter(const Steel& steel, const std::vector<Record<Real>>& cells, const float* s, const float* p, const float* q, int n, float* out) const {
  const auto frame = [&]<class R>(R) {
    // Below a ten-thousandth of a band a footprint is a point; the floor keeps from dividing nothing by nothing.
    return Frame<R>{R(1 / cell_mm_), R(cell_mm_), R(count_ - 1), R(1e-4 * mean_band_), R(steel.mean), R(kSoft * soft_mm_ * soft_mm_)};
  };
  filter_row(Tables<Real>{steel.ahead.data(), steel.beyond.data(), cells.data(), Spans{steel.spans[0], steel.spans[1], steel.spans[2], steel.spans[3]}, frame(0.0f), frame(Real(0))}, s, p, q, n, out);
}

void BandTable::shares(const float* s, const float* p, const float* q, int n, float* shares, size_t stride) const {
  float* rest = shares + size_t(rest_) * stride;
  for (const int k : absent_) std::fill_n(shares + k * stride, n, 0.0f);
  if (tabled_.empty()) std::fill_n(rest, n, 1.0f);
  for (const Steel& steel : tabled_) {
    float* out = shares + size_t(steel.steel) * stride;
    precise_ ? filter(steel, steel.exact, s, p, q, n, out) : filter(steel, steel.quick, s, p, q, n, out);
    leave(out, n, &steel == tabled_.data(), rest);
  }
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

void BandTable::edges_within(const float* s, const float* reach, int n, int* within) const {
  Places p;
  std::fill_n(within, n, 0);
  place(p, float(cell_mm_), float(count_ - 1), s, reach, n);
  for (const Steel& steel : tabled_) {
    for (int i = 0; i < n; ++i) p.ahead[i] = steel.ahead[size_t(p.cell[i])];
    meet(p, float(cell_mm_), reach, n, within);
  }
}

bool BandTable::edge_within(float s, float reach) const {
  const float cell_mm = float(cell_mm_), low = s - reach;
  if (!(reach < cell_mm)) return !tabled_.empty();  // four edges ahead say nothing about more than three cells
  const float cell = std::clamp(std::floor(low / cell_mm), 0.0f, float(count_ - 1)), from = low - cell * cell_mm + cell_mm;
  for (const Steel& steel : tabled_)
    for (const float edge : steel.ahead[size_t(cell)].edge)
      if (std::abs(edge) >= from && std::abs(edge) <= from + 2 * reach) return true;
  return false;
}

bool BandTable::touches_inset(double s, double reach) const {
  for (size_t i = 0; i < edges_.size(); i += 2)
    if (s + reach >= edges_[i] && s - reach <= edges_[i + 1]) return true;
  return false;
}

}  // namespace etchcast
