// A band list's tables.
#include "coverage/band_table.hpp"

#include <algorithm>
#include <cmath>

#include "coverage/footprints.hpp"

namespace etchcast {

namespace {

constexpr int kMostCells = 1 << 18;
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

/// The list without bands that no picture can show, left by a grind within a hair of a seam: their neighbours take their place.
/// None is worth tables of millions of cells.
BandList without_slivers(const BandList& list) {
  const double least = std::min(list.total() / kMostCells, 0.01 * list.total() / list.size());
  BandList kept;
  kept.edges = {0};
  kept.soft_mm = list.soft_mm;
  for (int i = 0; i < list.size(); ++i) {
    if (list.edges[i + 1] - list.edges[i] < least) continue;
    if (!kept.what.empty() && kept.what.back() == list.what[i] && list.what[i] >= 0) kept.what.pop_back(), kept.edges.pop_back();
    kept.what.push_back(list.what[i]), kept.edges.push_back(list.edges[i + 1]);
  }
  kept.edges.back() = list.total();
  return kept;
}

}  // namespace

BandTable::BandTable(const BandList& whole, int steels) : steels_(steels), mean_band_(whole.total() / whole.size()), total_(whole.total()), soft_mm_(whole.soft_mm) {
  const BandList list = without_slivers(whole);
  // No cell holds two edges; a floor keeps lists of very many bands from asking for millions.
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
  const double smallest = 4 * kNarrowest * std::pow(std::max(0.0, steel.spans[2] - cell_mm_) / 2 / (1 + kNarrowest), 2);
  if (4 * largest * 6e-8 > 2e-3 * smallest) precise_ = true;
  for (const Record<double>& cell : steel.exact) steel.quick.push_back({float(cell.second), float(cell.first), float(cell.edge), 0});
}

template <class Real>
Frame<Real> BandTable::frame(const Steel& steel) const {
  // Below a ten-thousandth of a band a footprint is a point; the floor keeps from dividing nothing by nothing.
  return {Real(1 / cell_mm_), Real(cell_mm_), Real(count_ - 1), Real(1e-4 * mean_band_), Real(steel.mean), Real(kSoft * soft_mm_ * soft_mm_)};
}

template <class Real>
void BandTable::filter(const Steel& steel, const std::vector<Record<Real>>& cells, const float* s, const float* p, const float* q, int n, float* out) const {
  const Spans spans{steel.spans[0], steel.spans[1], steel.spans[2], steel.spans[3]};
  weigh(Tables<Real>{steel.ahead.data(), steel.beyond.data(), cells.data(), spans, frame<float>(steel), frame<Real>(steel)}, s, p, q, n, out);
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

void BandTable::edges_within(const float* s, const float* reach, int n, int* within) const {
  std::fill_n(within, n, 0);
  for (const Steel& steel : tabled_) meet_edges(steel.ahead.data(), frame<float>(steel), s, reach, n, within);
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
