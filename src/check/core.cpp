// Rules of clad blades: where the core's line runs, whether the sides match, whether the edge is core all along.
#include "check/core.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "check/stand.hpp"

namespace etchcast {
namespace {

constexpr double kStands = 2;    // times as thick as the mean of the others: a core, not a layer (the project's choice)
constexpr double kShare = 0.15;  // of the spine at least; thinner is a bold line
constexpr double kUnlike = 5;    // mm between the lines of the two sides that anyone sees (common practice: a few mm)
constexpr double kStep = 0.1;    // mm, up a face
constexpr double kAlong = 1;     // mm, along the edge

struct Run {
  int steel = -1;
  double from = 0, to = 0;
};

/// Layers from face to face of the bar where the blade's middle is, bottom to top.
std::vector<Run> section(const Scene& scene) {
  const Blade& blade = *scene.blade;
  const double x = blade.length() / 2, y = (blade.edge_y(x) + blade.spine_y(x)) / 2;
  const Point<double> at = bar_from_blade(scene.bar(), blade, scene.plan(), Side::right, {{x, y}})[0];
  const double low = scene.bar().bottom_at(at.x, at.y), high = scene.bar().top_at(at.x, at.y);
  constexpr int kPoints = 4096;
  std::vector<Point<double>> points(kPoints);
  for (int i = 0; i < kPoints; ++i) points[size_t(i)] = {at.x, at.y, low + (high - low) * (i + 0.5) / kPoints};
  std::vector<Run> runs;
  double z = low;
  for (const Pick& pick : scene.bar().picks(points)) {
    if (runs.empty() || runs.back().steel != pick.steel) runs.push_back({pick.steel, z, z});
    runs.back().to = z += (high - low) / kPoints;
  }
  return runs;
}

/// The steel of the blade's faces at each of the points, and of its mid-plane there.
struct Seen {
  std::vector<int> right, left, middle;
};

std::vector<int> steels_at(const Bar& bar, const std::vector<Point<double>>& points) {
  std::vector<int> steels;
  for (const Pick& pick : bar.picks(points)) steels.push_back(pick.steel);
  return steels;
}

Seen look_at(const Scene& scene, const std::vector<Eigen::Vector2d>& points) {
  const auto right = bar_from_blade(scene.bar(), *scene.blade, scene.plan(), Side::right, points);
  const auto left = bar_from_blade(scene.bar(), *scene.blade, scene.plan(), Side::left, points);
  std::vector<Point<double>> middle = right;
  for (size_t i = 0; i < middle.size(); ++i) middle[i].z = (right[i].z + left[i].z) / 2;
  return {steels_at(scene.bar(), right), steels_at(scene.bar(), left), steels_at(scene.bar(), middle)};
}

/// The smith's word for the steel, unless it is the word "core" itself.
std::string name_of(const Scene& scene, const Core& core) {
  const Steel& steel = scene.recipe.steels[size_t(core.steel)];
  return steel.name == "core" ? steel.grade : steel.name;
}

void note_lines(const Scene& scene, const Core& core, Findings& findings) {
  const auto at = stations(*scene.blade);
  const auto heel = core_line(scene, core, at[0]), middle = core_line(scene, core, at[1]);
  const std::string name = name_of(scene, core);
  const std::string text = fmt::format(
      "the core ({}, {:.2f} mm thick) comes out {:.1f} mm up at the heel and {:.1f} mm in the middle on the right "
      "side, "
      "{:.1f} mm and {:.1f} mm on the left",
      name, core.thickness_mm, heel[0], middle[0], heel[1], middle[1]);
  const double apart = std::max(std::abs(heel[0] - heel[1]), std::abs(middle[0] - middle[1]));
  if (apart < kUnlike) return findings.note(scene.plan().place, "blade", text);
  findings.warn(scene.plan().place, "blade",
                fmt::format("{}: the two lines are up to {:.1f} mm apart. Keep the core in the bar's middle (equal "
                            "jackets, the same blows and the same grinding on both sides), or move the blade by z",
                            text, apart));
}

/// Where along the edge, or a little above it on both faces, there is no core.
void check_edge(const Scene& scene, const Core& core, Findings& findings) {
  const Blade& blade = *scene.blade;
  std::vector<Eigen::Vector2d> points;
  for (double x = 0; x < blade.length() - 1; x += kAlong) points.emplace_back(x, blade.edge_y(x) + kStep);
  const Seen seen = look_at(scene, points);
  int missing = 0;
  double first = -1, last = 0;
  for (size_t i = 0; i < points.size(); ++i) {
    if (seen.middle[i] == core.steel && seen.right[i] == core.steel && seen.left[i] == core.steel) continue;
    ++missing, last = points[i].x();
    if (first < 0) first = points[i].x();
  }
  const std::string name = name_of(scene, core);
  if (missing == 0)
    findings.note(scene.plan().place, "blade", fmt::format("the edge is core ({}) from heel to tip", name));
  else
    findings.warn(scene.plan().place, "blade",
                  fmt::format("the edge is not core ({}) all along: {:.0f} % of it, between {:.0f} and {:.0f} mm from "
                              "the heel, is jacket. Take a thicker core or bring it to the blade's middle",
                              name, 100.0 * missing / double(points.size()), first, last));
}

/// From where on to the tip the jackets are ground away up to the spine.
void note_bare_tip(const Scene& scene, const Core& core, Findings& findings) {
  const Blade& blade = *scene.blade;
  std::vector<Eigen::Vector2d> points;
  for (double x = 0; x < blade.length() - 1; x += kAlong) {
    const double low = blade.edge_y(x), high = blade.spine_y(x);
    points.emplace_back(x, high - std::min(0.5, 0.05 * (high - low)));
  }
  const Seen seen = look_at(scene, points);
  size_t from = points.size();
  while (from > 0 && seen.right[from - 1] == core.steel && seen.left[from - 1] == core.steel) --from;
  const double bare = blade.length() - (from < points.size() ? points[from].x() : blade.length());
  if (bare < 3) return;
  findings.note(scene.plan().place, "blade",
                fmt::format("over the last {:.0f} mm before the tip the blade is thinner than its core and shows no "
                            "jacket: a thinner core or a thicker tip carries the pattern further",
                            bare));
}

}  // namespace

std::optional<Core> core_of(const Scene& scene) {
  if (!scene.blade_fits()) return {};
  const std::vector<Run> runs = section(scene);
  if (runs.size() < 3) return {};
  const double spine = scene.blade->spine_thickness(scene.blade->length() / 2), z = scene.fit.z_mm;
  const double whole = runs.back().to - runs.front().from;
  const Run* core = nullptr;
  for (size_t i = 1; i + 1 < runs.size(); ++i) {
    const Run& run = runs[i];
    const double thick = run.to - run.from, others = (whole - thick) / double(runs.size() - 1);
    const auto alike = std::count_if(runs.begin(), runs.end(), [&](const Run& one) { return one.steel == run.steel; });
    const bool in_middle = run.from <= z && z <= run.to, stout = thick > kStands * others && runs.size() >= 5;
    const bool is_core = thick >= kShare * spine && (alike == 1 ? in_middle || stout : in_middle && stout);
    if (is_core && (!core || thick > core->to - core->from)) core = &run;
  }
  return core ? std::optional(Core{core->steel, core->to - core->from}) : std::nullopt;
}

std::array<double, 2> core_line(const Scene& scene, const Core& core, double x) {
  const double low = scene.blade->edge_y(x), high = scene.blade->spine_y(x);
  std::vector<Eigen::Vector2d> points;
  for (double y = low; y < high; y += kStep) points.emplace_back(x, y);
  const Seen seen = look_at(scene, points);
  const auto height = [&](const std::vector<int>& face) {
    const auto end = std::find_if(face.begin(), face.end(), [&](int steel) { return steel != core.steel; });
    return end == face.end() ? high - low : kStep * double(end - face.begin());
  };
  return {height(seen.right), height(seen.left)};
}

void check_core(const Scene& scene, Findings& findings) {
  const auto core = core_of(scene);
  if (!core) return;
  note_lines(scene, *core, findings);
  check_edge(scene, *core, findings);
  note_bare_tip(scene, *core, findings);
}

}  // namespace etchcast
