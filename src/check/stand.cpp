// Where a smith looks at a blade, and the layers there.
#include "check/stand.hpp"

#include <algorithm>

#include "forging/layers.hpp"
#include "workpiece/relief.hpp"

namespace etchcast {
namespace {

std::vector<Stand> on_bar(const Bar& bar) {
  const double x = bar.length_mm / 2;
  // Of an uneven bar the floors: a grind that cleans the faces comes down to them.
  const bool flat = bar.even();
  const Point<double> top{x, 0, flat ? bar.top_at(x, 0) : bar.top->lowest()}, bottom{x, 0, flat ? bar.bottom_at(x, 0) : bar.bottom->highest()},
      middle{x, 0, (top.z + bottom.z) / 2};
  return {{"in the bar's middle", middle, middle}, {flat ? "at its face" : "at its floors", top, bottom}};
}

}  // namespace

std::vector<Stand> stands(const Scene& scene, size_t billet) {
  if (billet != scene.billet || !scene.blade_fits()) return on_bar(*scene.forging.billets[billet].bars.back());
  const Blade& blade = *scene.blade;
  const double x = blade.length() / 2, low = blade.edge_y(x), high = blade.spine_y(x);
  const std::vector<Eigen::Vector2d> points{{x, low}, {x, (low + high) / 2}, {x, high}};
  const auto right = bar_from_blade(scene.bar(), blade, scene.plan(), Side::right, points);
  const auto left = bar_from_blade(scene.bar(), blade, scene.plan(), Side::left, points);
  return {{"at the edge", right[0], left[0]}, {"half way up", right[1], left[1]}, {"at the spine", right[2], left[2]}};
}

std::array<double, 3> stations(const Blade& blade) {
  return {0.05 * blade.length(), blade.length() / 2, blade.length() - 10};
}

double layers_across(const Scene& scene, double x) {
  const Blade& blade = *scene.blade;
  int bands = 0;
  for (const BandList* list : scene.bar().leaves()) bands += list->size();
  constexpr int kLines = 5;
  std::vector<Eigen::Vector2d> points;
  for (int i = 0; i < kLines; ++i) {
    const double at = std::clamp(x + 2.5 * (i - kLines / 2), 0.0, blade.length() - 0.5);
    points.emplace_back(at, blade.spine_y(at) - 0.02 * (blade.spine_y(at) - blade.edge_y(at)));
  }
  const auto right = bar_from_blade(scene.bar(), blade, scene.plan(), Side::right, points);
  const auto left = bar_from_blade(scene.bar(), blade, scene.plan(), Side::left, points);
  double sum = 0;
  for (int i = 0; i < kLines; ++i)
    sum += double(runs_along(scene.bar(), left[i], right[i], std::clamp(bands * 16, 512, 8192)).size());
  return sum / kLines;
}

}  // namespace etchcast
