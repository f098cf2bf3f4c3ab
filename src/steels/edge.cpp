// What the edge is ground out of: one steel, a core, or the mix.

#include "steels/edge.hpp"

#include <algorithm>
#include <map>

#include "etchcast/render.hpp"

namespace etchcast {
namespace {

constexpr double kAll = 0.95;   // of the edge: the rest is a slip of the hand or of the count
constexpr double kCore = 0.60;  // of the edge in a core: less, and the core is beside the edge (the project's choice)
constexpr double kStands = 2;   // times as thick as the mean of the others: a core, not a layer (the project's choice)

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

/// Whether a layer is a core and not one layer among others: the only one of its steel in the bar, between others; or
/// at least twice as thick as the mean of the rest.
bool stands_out(const Bar& bar, int leaf, int layer) {
  const auto leaves = bar.leaves();
  const BandList& own = *leaves[size_t(leaf)];
  const size_t band = size_t(layer) - 1;
  if (layer <= 1 || layer >= own.size()) return false;
  long alike = 0;
  for (const BandList* list : leaves) alike += std::count(list->what.begin(), list->what.end(), own.what[band]);
  const double thick = own.edges[band + 1] - own.edges[band], others = (own.total() - thick) / (own.size() - 1);
  return alike == 1 || (own.size() >= 5 && thick > kStands * others);
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
  const auto [leaf, layer] = most->first;
  edge.core = stands_out(bar, leaf, layer);
  const int steel = steels.at(most->first);
  if (!edge.core && edge.cutting != steel) return edge;
  edge.strayed = edge.shares[size_t(steel)] < kAll;
  edge.cutting = steel;
  edge.leaf = leaf, edge.layer = layer;
  return edge;
}

}  // namespace etchcast
