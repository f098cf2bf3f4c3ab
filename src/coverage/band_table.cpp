// Integrals of a band list.
#include "coverage/band_table.hpp"

#include <algorithm>
#include <cmath>

#include "base/clones.hpp"

namespace etchcast {

namespace {

constexpr int kMostCells = 1 << 18;

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

/// Value of the parabola in a cell: value * t^2 / 2 up to the edge, then with the other value.
template <class Real>
inline Real second_at(Real second, Real first, Real edge, Real mean, Real t) {
  const Real before = edge > 0 ? 1 - mean : -mean, step = edge > 0 ? Real(-1) : Real(1);
  const Real past = t - (edge > 0 ? edge : -edge), over = past > 0 ? past : Real(0);
  return second + t * (first + Real(0.5) * before * t) + Real(0.5) * step * over * over;
}

template <class Real>
struct Frame {
  Real per_mm, cell_mm, top, floor, mean;
};

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

/// Up to 256 footprints on their way through the table. Loads from it are done one by one between two vector loops: a
/// record is one cache line away, and the gather instructions of several processors are slower than the loads they replace.
template <class Real>
struct Footprints {
  static constexpr int kPoints = 6;  ///< the four corners of the trapezoid, the cell of its middle, and the next one
  alignas(64) Real wide[kLanes], narrow[kLanes];
  alignas(64) Real t[kPoints][kLanes];
  alignas(64) int cell[kPoints][kLanes];
  alignas(64) Real second[4][kLanes], first[4][kLanes], edge[kPoints][kLanes];
};

template <class Real>
ETCHCAST_CLONES void place(Footprints<Real>& p, const Frame<Real> f, const float* s, const float* a, const float* b) {
#pragma GCC ivdep
  for (int i = 0; i < kLanes; ++i) {
    const Real wide = std::max(std::max(Real(a[i]), Real(b[i])), f.floor), narrow = std::max(std::min(Real(a[i]), Real(b[i])), Real(0.02) * wide);
    p.wide[i] = wide, p.narrow[i] = narrow;
#pragma GCC unroll 4
    for (int k = 0; k < 4; ++k) {
      const Real x = (Real(s[i]) + (k & 2 ? -wide : wide) + (k & 1 ? -narrow : narrow)) * f.per_mm;
      Real cell = std::floor(x);
      cell = cell < 0 ? Real(0) : (cell > f.top ? f.top : cell);
      p.cell[k][i] = int(cell), p.t[k][i] = (x - cell) * f.cell_mm;
    }
    const Real x = Real(s[i]) * f.per_mm;
    Real own = std::floor(x);
    own = own < 0 ? Real(0) : (own > f.top ? f.top : own);
    const Real t = x - own;
    Real other = own + (t > Real(0.5) ? Real(1) : Real(-1));
    other = other < 0 ? Real(0) : (other > f.top ? f.top : other);
    p.cell[4][i] = int(own), p.t[4][i] = t * f.cell_mm;
    p.cell[5][i] = int(other), p.t[5][i] = (x - other) * f.cell_mm;
  }
}

template <class Real>
void fetch(Footprints<Real>& p, const Real* cells) {
  for (int k = 0; k < 4; ++k)
    for (int i = 0; i < kLanes; ++i) {
      const Real* record = cells + 3 * size_t(p.cell[k][i]);
      p.second[k][i] = record[0], p.first[k][i] = record[1], p.edge[k][i] = record[2];
    }
  for (int k = 4; k < 6; ++k)
    for (int i = 0; i < kLanes; ++i) p.edge[k][i] = cells[3 * size_t(p.cell[k][i]) + 2];
}

/// Footprints that reach less than half a cell meet one edge at most, and are measured from it: there the second
/// difference would lose its digits.
template <class Real>
ETCHCAST_CLONES void weigh(const Footprints<Real>& p, const Frame<Real> f, float* out) {
#pragma GCC ivdep
  for (int i = 0; i < kLanes; ++i) {
    const Real wide = p.wide[i], narrow = p.narrow[i];
    Real sum = 0;
#pragma GCC unroll 4
    for (int k = 0; k < 4; ++k) {
      const Real q = second_at(p.second[k][i], p.first[k][i], p.edge[k][i], f.mean, p.t[k][i]);
      sum += k == 0 || k == 3 ? q : -q;
    }
    const Real large = f.mean + sum / (4 * wide * narrow);
    const Real over = p.t[4][i] - std::abs(p.edge[4][i]), over_there = p.t[5][i] - std::abs(p.edge[5][i]);
    const bool here = std::abs(over) <= std::abs(over_there);
    const Real past = share_past(here ? over : over_there, wide, narrow);
    const Real small = (here ? p.edge[4][i] : p.edge[5][i]) > 0 ? 1 - past : past;
    const Real share = wide + narrow < Real(0.49) * f.cell_mm ? small : large;
    out[i] = float(share < 0 ? Real(0) : (share > 1 ? Real(1) : share));
  }
}

/// n footprints, a batch at a time; the last batch is padded with copies.
template <class Real>
void filter_row(const Real* cells, Frame<Real> f, const float* s, const float* a, const float* b, int n, float* out) {
  Footprints<Real> p;
  for (int first = 0; first < n; first += kLanes) {
    const int some = std::min(kLanes, n - first);
    if (some == kLanes) {
      place(p, f, s + first, a + first, b + first);
      fetch(p, cells);
      weigh(p, f, out + first);
      continue;
    }
    float padded[4][kLanes];
    for (int i = 0; i < kLanes; ++i) {
      const int at = first + std::min(i, some - 1);
      padded[0][i] = s[at], padded[1][i] = a[at], padded[2][i] = b[at];
    }
    place(p, f, padded[0], padded[1], padded[2]);
    fetch(p, cells);
    weigh(p, f, padded[3]);
    std::copy(padded[3], padded[3] + some, out + first);
  }
}

}  // namespace

BandTable::BandTable(const BandList& list, int steels) : steels_(steels), mean_band_(list.total() / list.size()), total_(list.total()) {
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
    steel.exact[c] = {second, first, inside ? edge : -edge};
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
    Cell<double>& cell = steel.exact[c];
    cell.second -= slope * c * cell_mm_;
    cell.first -= slope;
    largest = std::max(largest, std::abs(cell.second));
  }
  // Float keeps 24 bits: four values of that size, over the smallest footprint whose second difference is taken.
  const double smallest = 4 * 0.02 * std::pow(0.48 * cell_mm_, 2);
  if (4 * largest * 6e-8 > 4e-3 * smallest) precise_ = true;
  for (const Cell<double>& cell : steel.exact) steel.quick.push_back({float(cell.second), float(cell.first), float(cell.edge)});
}

template <class Real>
void BandTable::filter(const Steel& steel, const std::vector<Cell<Real>>& cells, const float* s, const float* a, const float* b, int n, float* out) const {
  static_assert(sizeof(Cell<Real>) == 3 * sizeof(Real));
  // Below a ten-thousandth of a band a footprint is a point; the floor keeps from dividing nothing by nothing.
  const Frame<Real> frame{Real(1 / cell_mm_), Real(cell_mm_), Real(count_ - 1), Real(1e-4 * mean_band_), Real(steel.mean)};
  filter_row(&cells[0].second, frame, s, a, b, n, out);
}

void BandTable::shares(const float* s, const float* a, const float* b, int n, float* shares, size_t stride) const {
  float* rest = shares + size_t(rest_) * stride;
  for (int k = 0; k < steels_; ++k) std::fill_n(shares + k * stride, n, 0.0f);
  std::fill_n(rest, n, 1.0f);
  for (const Steel& steel : tabled_) {
    float* out = shares + size_t(steel.steel) * stride;
    if (precise_)
      filter(steel, steel.exact, s, a, b, n, out);
    else
      filter(steel, steel.quick, s, a, b, n, out);
    for (int i = 0; i < n; ++i) rest[i] = std::max(0.0f, rest[i] - out[i]);
  }
}

bool BandTable::touches_inset(double s, double reach) const {
  for (size_t i = 0; i < edges_.size(); i += 2)
    if (s + reach >= edges_[i] && s - reach <= edges_[i + 1]) return true;
  return false;
}

}  // namespace etchcast
