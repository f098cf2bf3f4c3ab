// Counting layers along lines.
#include "forging/layers.hpp"

#include <algorithm>
#include <cmath>

namespace etchcast {

std::vector<double> runs_along(const Bar& bar, const Point<double>& a, const Point<double>& b, int n) {
  std::vector<Point<double>> points(n);
  for (int i = 0; i < n; ++i) {
    const double t = (i + 0.5) / n;
    points[i] = {a.x + t * (b.x - a.x), a.y + t * (b.y - a.y), a.z + t * (b.z - a.z)};
  }
  const double length = std::hypot(b.x - a.x, b.y - a.y, b.z - a.z);
  std::vector<double> runs;
  int last = -1;
  for (const Pick& pick : bar.picks(points)) {
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

}  // namespace etchcast
