// Counting layers along lines.
#include "forging/layers.hpp"

#include <algorithm>
#include <cmath>

#include "tape/map.hpp"

namespace etchcast {

namespace {

/// Points along a line, asked where they came from. Each fourth is asked first, and the ones between only where those
/// ends lie in different layers: a layer is many points thick.
class Line {
 public:
  Line(const Bar& bar, const Point<double>& a, const Point<double>& b, int n)
      : bar_(bar), a_(a), b_(b), picks_(size_t(n)) {}

  const std::vector<Pick>& ask() {
    const int n = int(picks_.size());
    std::vector<int> which;
    for (int i = 0; i < n; i += 4) which.push_back(i);
    if (n > 0 && which.back() != n - 1) which.push_back(n - 1);
    std::vector<int> ends = which;
    ask(which);
    while (!ends.empty()) ends = halve(ends);
    return picks_;
  }

 private:
  /// Stretches from one end to the next: where both lie in one layer all between does; else the middle is asked.
  /// Returns ends once more where points are left between them.
  std::vector<int> halve(const std::vector<int>& ends) {
    std::vector<int> middles, next;
    for (size_t k = 0; k + 1 < ends.size(); ++k) {
      const int from = ends[k], to = ends[k + 1];
      if (to <= from + 1) continue;
      const Pick &first = picks_[size_t(from)], &last = picks_[size_t(to)];
      if (first.leaf == last.leaf && first.layer == last.layer) {
        std::fill(picks_.begin() + from + 1, picks_.begin() + to, first);
        continue;
      }
      const int middle = (from + to) / 2;
      middles.push_back(middle);
      next.insert(next.end(), {from, middle, to});  // between these threes all is one layer, and filled
    }
    ask(middles);
    return next;
  }
  void ask(const std::vector<int>& which) {
    std::vector<Point<double>> points;
    for (const int i : which) {
      const double t = (i + 0.5) / double(picks_.size());
      points.push_back({a_.x + t * (b_.x - a_.x), a_.y + t * (b_.y - a_.y), a_.z + t * (b_.z - a_.z)});
    }
    const std::vector<Pick> found = bar_.picks(points);
    for (size_t k = 0; k < which.size(); ++k) picks_[size_t(which[k])] = found[k];
  }

  const Bar& bar_;
  Point<double> a_, b_;
  std::vector<Pick> picks_;
};

}  // namespace

std::vector<double> runs_along(const Bar& bar, const Point<double>& a, const Point<double>& b, int n) {
  const double length = std::hypot(b.x - a.x, b.y - a.y, b.z - a.z);
  std::vector<double> runs;
  int last = -1;
  Line line(bar, a, b, n);
  for (const Pick& pick : line.ask()) {
    if (pick.steel != last || runs.empty()) runs.push_back(0);  // like steels that touch are one layer
    runs.back() += length / n;
    last = pick.steel;
  }
  return runs;
}

namespace {

LayerCount of_flat(const BandList& list) {
  LayerCount c;
  c.least = c.most = list.size();
  c.mean_mm = list.total() / list.size();
  c.thinnest_mm = 1e9;
  for (int i = 0; i < list.size(); ++i) {
    const double t = list.edges[i + 1] - list.edges[i];
    c.thinnest_mm = std::min(c.thinnest_mm, t);
    c.thickest_mm = std::max(c.thickest_mm, t);
  }
  return c;
}

}  // namespace

LayerCount count_layers(const Bar& bar) {
  if (bar.flat_layers()) return of_flat(bar.bands);
  int bands = 0;
  for (const BandList* list : bar.leaves()) bands += list->size();
  const int n = std::clamp(bands * 16, 512, 8192);
  LayerCount c;
  c.least = 1 << 30;
  c.thinnest_mm = 1e9;
  double total = 0;
  int runs_total = 0;
  for (int i = 0; i < 5; ++i)
    for (int j = -1; j <= 1; ++j) {
      const double x = bar.length_mm * (0.13 + 0.185 * i), y = bar.width_mm * 0.29 * j;
      const double from = bar.bottom_at(x, y), to = bar.top_at(x, y);
      const auto runs = runs_along(bar, {x, y, from}, {x, y, to}, n);
      c.least = std::min(c.least, int(runs.size()));
      c.most = std::max(c.most, int(runs.size()));
      const size_t skin = runs.size() > 2 ? 1 : 0;  // skin layers are cut into: they say nothing of how thin a layer is
      for (size_t k = 0; k < runs.size(); ++k) {
        c.thickest_mm = std::max(c.thickest_mm, runs[k]);
        if (k < skin || k + skin >= runs.size()) continue;
        c.thinnest_mm = std::min(c.thinnest_mm, runs[k]);
      }
      total += to - from;
      runs_total += int(runs.size());
    }
  c.mean_mm = total / runs_total;
  return c;
}

std::optional<Point<double>> traced_back(const Bar& last, const Bar& then, const Point<double>& point) {
  if (then.maps.size() > last.maps.size() || !std::equal(then.maps.begin(), then.maps.end(), last.maps.begin()))
    return {};
  Batch<double> batch{};
  std::fill_n(batch.x, kLanes, point.x), std::fill_n(batch.y, kLanes, point.y), std::fill_n(batch.z, kLanes, point.z);
  for (size_t i = last.maps.size(); i-- > then.maps.size();) last.maps[i]->before_from_after(batch);
  return Point<double>{batch.x[0], batch.y[0], batch.z[0]};
}

}  // namespace etchcast
