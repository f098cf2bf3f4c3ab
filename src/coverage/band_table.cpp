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

/// Half of the shortest distance between edges, so that no cell holds two; a floor keeps slivers from asking for millions.
double cell_width(const BandList& list) {
  double least = list.total();
  for (int i = 0; i < list.size(); ++i) least = std::min(least, list.edges[i + 1] - list.edges[i]);
  return std::max(0.99 * least, list.total() / kMostCells);
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

template <class Real>
inline Real positive_square(Real x) { return x > 0 ? x * x : Real(0); }

/// Share of a trapezoid of half widths a, b that lies past an edge `over` mm behind its middle.
template <class Real>
inline Real share_past(Real over, Real a, Real b) {
  const Real reach = a + b;  // clamped to it, else squares of a long way would cancel
  over = over > reach ? reach : (over < -reach ? -reach : over);
  return (positive_square(over + a + b) - positive_square(over + a - b) - positive_square(over - a + b) +
          positive_square(over - a - b)) / (8 * a * b);
}

/// Footprints that reach less than this, in cells, meet one edge at most, and are measured from it: there the second
/// difference of the integral would lose its digits.
constexpr double kSmall = 0.24;

/// A batch of footprints on their way through the table. Loads from it are done one by one between two vector loops: a record is
/// one load away, and the gather instructions of several processors are slower than the loads they replace. Small enough
/// to stay in the first cache beside the table.
template <class Real>
struct Footprints {
  alignas(64) Real wide[kLanes], narrow[kLanes];
  alignas(64) Real t[kLanes], sum[kLanes], edge[kLanes];
  alignas(64) int cell[kLanes];
  alignas(64) BandTable::Record<Real> record[kLanes];
};

/// Sorts half widths and blurs them as diffusion blurred the seams; returns how many footprints are small.
template <class Real>
ETCHCAST_CLONES int place(Footprints<Real>& p, const Frame<Real> f, const float* a, const float* b) {
  int small = 0;
#pragma GCC ivdep
  for (int i = 0; i < kLanes; ++i) {
    const Real large = std::max(Real(a[i]), Real(b[i])), less = std::min(Real(a[i]), Real(b[i]));
    const Real wide = std::max(std::sqrt(large * large + f.soft2), f.floor), narrow = std::max(std::sqrt(less * less + f.soft2), Real(kNarrow) * wide);
    p.wide[i] = wide, p.narrow[i] = narrow, p.sum[i] = 0;
    small += wide + narrow < Real(kSmall) * f.cell_mm;
  }
  return small;
}

/// Cells of one corner of every trapezoid: of the four sums and differences of its half widths.
template <class Real>
ETCHCAST_CLONES void place_corner(Footprints<Real>& p, const Frame<Real> f, const float* s, Real wide_sign, Real narrow_sign) {
#pragma GCC ivdep
  for (int i = 0; i < kLanes; ++i) {
    const Real x = (Real(s[i]) + wide_sign * p.wide[i] + narrow_sign * p.narrow[i]) * f.per_mm;
    Real cell = std::floor(x);
    cell = cell > 0 ? (cell < f.top ? cell : f.top) : Real(0);  // so that what is not a number is 0
    p.cell[i] = int(cell), p.t[i] = (x - cell) * f.cell_mm;
  }
}

template <class Real>
ETCHCAST_CLONES void add_corner(Footprints<Real>& p, const Frame<Real> f, Real sign) {
#pragma GCC ivdep
  for (int i = 0; i < kLanes; ++i) p.sum[i] += sign * second_at(p.record[i].second, p.record[i].first, p.record[i].edge, f.mean, p.t[i]);
}

template <class Real>
ETCHCAST_CLONES void weigh_large(const Footprints<Real>& p, const Frame<Real> f, float* out) {
#pragma GCC ivdep
  for (int i = 0; i < kLanes; ++i) {
    const Real share = f.mean + p.sum[i] / (4 * p.wide[i] * p.narrow[i]);
    out[i] = float(share < 0 ? Real(0) : (share > 1 ? Real(1) : share));
  }
}

/// The middles, in halves of a cell; from the lower end of their half cells, a cell added.
template <class Real>
ETCHCAST_CLONES void place_middles(Footprints<Real>& p, const Frame<Real> f, const float* s) {
  const Real last = 2 * f.top + 1;
#pragma GCC ivdep
  for (int i = 0; i < kLanes; ++i) {
    Real half = std::floor(Real(s[i]) * (2 * f.per_mm));
    half = half > 0 ? (half < last ? half : last) : Real(0);
    p.cell[i] = int(half), p.t[i] = Real(s[i]) - half * (Real(0.5) * f.cell_mm) + f.cell_mm;
  }
}

template <class Real>
ETCHCAST_CLONES void weigh_small(const Footprints<Real>& p, const Frame<Real> f, float* out, bool all) {
#pragma GCC ivdep
  for (int i = 0; i < kLanes; ++i) {
    const Real wide = p.wide[i], narrow = p.narrow[i], past = share_past(p.t[i] - std::abs(p.edge[i]), wide, narrow);
    const Real share = p.edge[i] > 0 ? 1 - past : past;
    const float own = float(share < 0 ? Real(0) : (share > 1 ? Real(1) : share)), had = out[i];
    out[i] = all || wide + narrow < Real(kSmall) * f.cell_mm ? own : had;
  }
}

/// A batch of footprints. Neighbouring pixels have like footprints, so most batches need but one of the two ways.
template <class Real>
void filter_batch(Footprints<Real>& p, const BandTable::Record<Real>* cells, const Real* edges, const Frame<Real>& f, const float* s, const float* a,
                  const float* b, float* out) {
  const int small = place(p, f, a, b);
  if (small < kLanes) {
    for (const Real wide_sign : {1, -1})
      for (const Real narrow_sign : {1, -1}) {
        place_corner(p, f, s, wide_sign, narrow_sign);
        for (int i = 0; i < kLanes; ++i) p.record[i] = cells[p.cell[i]];
        add_corner(p, f, wide_sign * narrow_sign);
      }
    weigh_large(p, f, out);
  }
  if (small > 0) {
    place_middles(p, f, s);
    for (int i = 0; i < kLanes; ++i) p.edge[i] = edges[p.cell[i]];
    weigh_small(p, f, out, small == kLanes);
  }
}

/// n footprints, a batch at a time; the last batch is padded with copies.
template <class Real>
void filter_row(const BandTable::Record<Real>* cells, const Real* edges, const Frame<Real>& f, const float* s, const float* a, const float* b, int n, float* out) {
  Footprints<Real> p;
  for (int first = 0; first < n; first += kLanes) {
    const int some = std::min(kLanes, n - first);
    if (some == kLanes) {
      filter_batch(p, cells, edges, f, s + first, a + first, b + first, out + first);
      continue;
    }
    float padded[4][kLanes];
    for (int i = 0; i < kLanes; ++i) {
      const int at = first + std::min(i, some - 1);
      padded[0][i] = s[at], padded[1][i] = a[at], padded[2][i] = b[at];
    }
    filter_batch(p, cells, edges, f, padded[0], padded[1], padded[2], padded[3]);
    std::copy(padded[3], padded[3] + some, out + first);
  }
}

}  // namespace

BandTable::BandTable(const BandList& list, int steels) : steels_(steels), mean_band_(list.total() / list.size()), total_(list.total()), soft_mm_(list.soft_mm) {
  cell_mm_ = cell_width(list);
  count_ = std::max(1, int(std::ceil(total_ / cell_mm_)));
  std::vector<int> present;
  for (int k = 0; k < steels; ++k)
    if (std::find(list.what.begin(), list.what.end(), k) != list.what.end()) present.push_back(k);
  rest_ = present.empty() ? 0 : present.back();
  for (size_t i = 0; i + 1 < present.size(); ++i) {
    Steel steel;
    steel.steel = present[i];
    lay_cells(list, steel);
    tabled_.push_back(std::move(steel));
  }
  for (int i = 0; i < list.size(); ++i)
    if (list.what[i] < 0) edges_.insert(edges_.end(), {list.edges[i], list.edges[i + 1]});
}

void BandTable::lay_cells(const BandList& list, Steel& steel) {
  const std::vector<double> runs = runs_of(list, steel.steel);
  for (size_t i = 0; i < runs.size(); i += 2) steel.mean += (runs[i + 1] - runs[i]) / total_;
  steel.exact.resize(count_);
  double first = 0, second = 0, first_sum = 0, largest = 0;
  size_t next = 0;  // the next edge of a run
  bool inside = !runs.empty() && runs[0] <= 0;
  if (inside) next = 1;
  for (int c = 0; c < count_; ++c) {
    const double from = c * cell_mm_;
    const bool has = next < runs.size() && runs[next] < from + cell_mm_ && runs[next] < total_ - 1e-12;
    const double edge = has ? std::max(runs[next] - from, 1e-12 * cell_mm_) : 1e6 * cell_mm_;  // none: beyond the reach of any footprint
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
  // Float keeps 24 bits: four values of that size, over the smallest footprint whose second difference is taken.
  const double smallest = 4 * kNarrow * std::pow(kSmall / (1 + kNarrow) * cell_mm_, 2);
  if (4 * largest * 6e-8 > 2e-3 * smallest) precise_ = true;
  for (const Record<double>& cell : steel.exact) steel.quick.push_back({float(cell.second), float(cell.first), float(cell.edge), 0});
  lay_halves(runs, steel);
}

/// For every half cell the edge that lies within reach of a small footprint about any of its points, if there is one: it
/// is told from the half cell's lower end, a cell added, so that its sign is free to say whether the steel ends or begins.
void BandTable::lay_halves(const std::vector<double>& runs, Steel& steel) {
  const double half = cell_mm_ / 2, reach = kSmall * cell_mm_;
  size_t next = 0;
  for (int h = 0; h < 2 * count_; ++h) {
    const double from = h * half - reach, to = (h + 1) * half + reach;
    while (next < runs.size() && (runs[next] < from || runs[next] <= 0)) ++next;  // a run's odd edges end it
    const bool has = next < runs.size() && runs[next] < to && runs[next] < total_ - 1e-12;
    const double edge = has ? runs[next] - h * half + cell_mm_ : 1e6 * cell_mm_;
    steel.exact_halves.push_back(next % 2 == 1 ? edge : -edge);
    steel.quick_halves.push_back(float(steel.exact_halves.back()));
  }
}

template <class Real>
void BandTable::filter(const Steel& steel, const std::vector<Record<Real>>& cells, const std::vector<Real>& halves, const float* s, const float* a,
                       const float* b, int n, float* out) const {
  // Below a ten-thousandth of a band a footprint is a point; the floor keeps from dividing nothing by nothing.
  const Frame<Real> frame{Real(1 / cell_mm_), Real(cell_mm_), Real(count_ - 1), Real(1e-4 * mean_band_), Real(steel.mean), Real(kSoft * soft_mm_ * soft_mm_)};
  filter_row(cells.data(), halves.data(), frame, s, a, b, n, out);
}

void BandTable::shares(const float* s, const float* a, const float* b, int n, float* shares, size_t stride) const {
  float* rest = shares + size_t(rest_) * stride;
  for (int k = 0; k < steels_; ++k) std::fill_n(shares + k * stride, n, 0.0f);
  std::fill_n(rest, n, 1.0f);
  for (const Steel& steel : tabled_) {
    float* out = shares + size_t(steel.steel) * stride;
    if (precise_)
      filter(steel, steel.exact, steel.exact_halves, s, a, b, n, out);
    else
      filter(steel, steel.quick, steel.quick_halves, s, a, b, n, out);
    for (int i = 0; i < n; ++i) rest[i] = std::max(0.0f, rest[i] - out[i]);
  }
}

bool BandTable::touches_inset(double s, double reach) const {
  for (size_t i = 0; i < edges_.size(); i += 2)
    if (s + reach >= edges_[i] && s - reach <= edges_[i + 1]) return true;
  return false;
}

}  // namespace etchcast
