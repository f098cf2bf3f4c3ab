// What the edge is ground out of: one steel, a core, or the mix.

#include "steels/edge.hpp"

#include <algorithm>
#include <map>

#include "etchcast/render.hpp"

namespace etchcast {
namespace {

constexpr double kAll = 0.95;   // of the edge: the rest is a slip of the hand or of the count
constexpr double kCore = 0.60;  // of the edge in one layer: a laminate's middle layer does not come near that

std::vector<Point<double>> about_mid_plane(const Recipe& recipe, const Bar& bar) {
  const double z = recipe.blade ? recipe.blade->z_mm : 0;
  const double reach =
      std::min(bar.thickness_mm / 2, 0.25);  // mm: a layer must be thicker than the edge to be all of it
  std::vector<Point<double>> points;
  for (int i = 0; i < 12; ++i)
    for (int j = 0; j < 9; ++j)
      for (const double dz : {-reach, 0.0, reach})
        points.push_back({bar.length_mm * (0.12 + 0.07 * i), bar.width_mm * (-0.36 + 0.09 * j), z + dz});
  return points;
}

std::vector<Point<double>> along_edge(const Bar& bar, const Blade& blade, const BladePlan& plan) {
  std::vector<Eigen::Vector2d> places;
  for (double x = 1; x < blade.length() - 2; x += 1)
    for (const double up : {0.1, 0.4, 1.0}) places.emplace_back(x, blade.edge_y(x) + up);  // mm: a few sharpenings
  std::vector<Point<double>> points = bar_from_blade(bar, blade, plan, Side::right, places);
  const auto left = bar_from_blade(bar, blade, plan, Side::left, places);
  for (size_t i = 0; i < left.size(); ++i) {
    Point<double> middle = points[i];
    middle.z = (points[i].z + left[i].z) / 2;
    points.push_back(left[i]), points.push_back(middle);
  }
  return points;
}

std::vector<Point<double>> places(const Recipe& recipe, const Bar& bar) try {
  if (!recipe.blade) return about_mid_plane(recipe, bar);
  const Blade blade(*recipe.blade);
  if (!fit_blade(bar, blade, *recipe.blade).problems.empty()) return about_mid_plane(recipe, bar);
  return along_edge(bar, blade, *recipe.blade);
} catch (const Error&) {
  return about_mid_plane(recipe, bar);  // sizes that contradict each other are told elsewhere
}

}  // namespace

Edge edge_of(const Recipe& recipe, const Bar& bar) {
  Edge edge;
  edge.shares.assign(recipe.steels.size(), 0);
  const std::vector<Point<double>> points = places(recipe, bar);
  std::map<std::pair<int, int>, double> layers;
  std::map<std::pair<int, int>, int> steels;
  for (const Pick& pick : bar.picks(points)) {
    edge.shares[size_t(pick.steel)] += 1 / double(points.size());
    layers[{pick.leaf, pick.layer}] += 1 / double(points.size());
    steels[{pick.leaf, pick.layer}] = pick.steel;
  }
  for (size_t i = 0; i < edge.shares.size(); ++i)
    if (edge.shares[i] >= kAll) edge.cutting = int(i);
  const auto most =
      std::max_element(layers.begin(), layers.end(), [](auto& a, auto& b) { return a.second < b.second; });
  if (most == layers.end() || most->second < kCore) return edge;
  const int steel = steels.at(most->first);
  edge.strayed = edge.shares[size_t(steel)] < kAll;
  edge.cutting = steel;
  edge.leaf = most->first.first, edge.layer = most->first.second;
  return edge;
}

}  // namespace etchcast
