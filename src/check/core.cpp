// Rules of clad blades: where the core's line runs, whether the sides match, whether the edge is core all along.
#include "check/core.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "base/measures.hpp"
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

/// Layers from face to face of the bar half way up the blade at x, bottom to top.
std::vector<Run> section(const Scene& scene, double x, int samples) {
  const Blade& blade = *scene.blade;
  const double y = (blade.edge_y(x) + blade.spine_y(x)) / 2;
  const Point<double> at = bar_from_blade(scene.bar(), blade, scene.plan(), Side::right, {{x, y}})[0];
  const double low = scene.bar().bottom_at(at.x, at.y), high = scene.bar().top_at(at.x, at.y);
  std::vector<Point<double>> points(static_cast<size_t>(samples));
  for (int i = 0; i < samples; ++i) points[size_t(i)] = {at.x, at.y, low + (high - low) * (i + 0.5) / samples};
  std::vector<Run> runs;
  double z = low;
  for (const Pick& pick : scene.bar().picks(points)) {
    if (runs.empty() || runs.back().steel != pick.steel) runs.push_back({pick.steel, z, z});
    runs.back().to = z += (high - low) / samples;
  }
  return runs;
}

/// How far the core's middle lies from the blade's mid-plane on average over the blade, mm, right of it positive: what
/// the stack and the grinding did. What is left is the wander of an uneven hand.
double off_middle(const Scene& scene, const Core& core) {
  constexpr int kStations = 24, kSamples = 1024;
  double sum = 0;
  int found = 0;
  for (int i = 0; i < kStations; ++i) {
    const Run* thickest = nullptr;
    const auto runs = section(scene, scene.blade->length() * (i + 0.5) / (kStations + 1), kSamples);
    for (const Run& run : runs)
      if (run.steel == core.steel && (!thickest || run.to - run.from > thickest->to - thickest->from)) thickest = &run;
    if (!thickest) continue;
    sum += (thickest->from + thickest->to) / 2 - scene.fit.z_mm, ++found;
  }
  return found ? (scene.plan().flip ? -1 : 1) * sum / found : 0;
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

/// The smith's word and the steel, without the word "core" itself.
std::string name_of(const Scene& scene, const Core& core) {
  const Steel& steel = scene.recipe.steels[size_t(core.steel)];
  return steel.name == "core" && steel.sheet ? designation(steel) : named(steel);
}

/// Why the lines of the two sides lie apart, and what to do: a core off the middle, or one in the middle that wanders.
std::string why_apart(const Scene& scene, const Core& core, double apart, const Measures& say) {
  const double off = off_middle(scene, core), height = scene.blade->height();
  const double taper = scene.blade->spine_thickness(0) - scene.blade->edge_thickness();
  // A line stands at 2 d H / (S - e) for d from the mid-plane: off the middle by `off`, the two are twice that apart.
  if (4 * std::abs(off) * height / std::max(0.1, taper) < apart / 2)
    return "The core lies in the middle on average, and the uneven hand moves it from side to side ([hand] wander). "
           "Count "
           "the blows on each side, and etch an end-crop often while you draw";
  return fmt::format(
      "The core lies {} nearer to the {} side. Make the jackets equal and grind both sides alike, or move the "
      "blade by z",
      say.length(std::abs(off)), off > 0 ? "right" : "left");
}

void note_lines(const Scene& scene, const Core& core, const Measures& say, Findings& findings) {
  const auto at = stations(*scene.blade);
  const auto heel = core_line(scene, core, at[0]), middle = core_line(scene, core, at[1]);
  const std::string text = fmt::format(
      "the core, {}, is {} thick. Its line runs above the edge by {} at the heel and {} in the middle on the right "
      "side, {} "
      "and {} on the left",
      name_of(scene, core), say.length(core.thickness_mm), say.length(heel[0]), say.length(middle[0]),
      say.length(heel[1]), say.length(middle[1]));
  const double apart = std::max(std::abs(heel[0] - heel[1]), std::abs(middle[0] - middle[1]));
  if (apart < kUnlike) return findings.note(scene.plan().place, "blade", text);
  findings.warn(scene.plan().place, "blade",
                fmt::format("{}: up to {} apart. {}", text, say.length(apart), why_apart(scene, core, apart, say)));
}

/// Where along the edge, or a little above it on both faces, there is no core.
void check_edge(const Scene& scene, const Core& core, const Measures& say, Findings& findings) {
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
    findings.warn(
        scene.plan().place, "blade",
        fmt::format("the edge is not core ({}) all along: {:.0f} % of it is jacket, between {} and {} from the "
                    "heel. Take a thicker core, or bring the core to the blade's middle",
                    name, 100.0 * missing / double(points.size()), say.length(first), say.length(last)));
}

/// From where on to the tip the jackets are ground away up to the spine.
void note_bare_tip(const Scene& scene, const Core& core, const Measures& say, Findings& findings) {
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
  findings.note(
      scene.plan().place, "blade",
      fmt::format("the last {} before the tip are bare core: the blade is thinner than its core there. Take a "
                  "thinner core or a thicker tip",
                  say.length(bare)));
}

}  // namespace

std::optional<Core> core_of(const Scene& scene) {
  if (!scene.blade_fits()) return {};
  const std::vector<Run> runs = section(scene, scene.blade->length() / 2, 4096);
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
  const Measures say(scene.recipe.units);
  note_lines(scene, *core, say, findings);
  check_edge(scene, *core, say, findings);
  note_bare_tip(scene, *core, say, findings);
}

}  // namespace etchcast
