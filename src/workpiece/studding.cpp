// One round cell a stud, laid side by side, and what studs of both faces do to each other.
#include "workpiece/studding.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "metal/flow.hpp"
#include "metal/modes.hpp"
#include "metal/sheet.hpp"
#include "workpiece/cells.hpp"
#include "workpiece/layering.hpp"
#include "workpiece/tool_grid.hpp"

namespace etchcast {

namespace {

constexpr double kDeepest = 0.65;  ///< share of the thickness that both sets of studs together may take
constexpr int kLevels = LayerTarget::kLevels;
constexpr double kSheetNodes = 6000, kMostSheetNodes = 40000;  ///< what studs do to each other is smooth

metal::Tool tool_of(const StudDies& d, bool works, double thickness) {
  metal::Tool tool;
  if (!works) return tool;  // the anvil
  tool.kind = metal::Tool::Kind::ridge;
  tool.depth = d.depth_mm / thickness;
  tool.rise = [profile = d.profile, thickness](double r) { return profile.rise(r * thickness) / thickness; };
  return tool;
}

/// Radius of the cell, mm. Beyond some radii of the stud and a thickness of the bar nothing happens that a wider one would
/// show.
double edge_of(const StudDies& d, double thickness, double reach) {
  return std::min(d.pattern.cell_radius(), std::max(3.2 * reach, 1.25 * thickness));
}

RoundCell cell_of(const FlowTable& table, double thickness, bool alone) {
  std::array<RoundCell::Profile, kLevels> rises;
  const double edge = std::sqrt(2 * table.half_after());
  for (int l = 0; l < kLevels; ++l)
    for (int i = 0; i <= RoundCell::kSteps; ++i) {
      const double r = edge * i / RoundCell::kSteps, c = LayerTarget::level(l);
      rises[size_t(l)].push_back(table.jet(r * r / 2, c).x - c);
    }
  return RoundCell(edge * thickness, rises, alone);
}

/// Radius to which the metal lies on the stud, mm.
double touching(const FlowTable& table, const StudDies& d, double thickness) {
  const double depth = d.depth_mm / thickness, edge = std::sqrt(2 * table.half_after());
  double r = 0;
  while (r < edge && table.jet(r * r / 2, 1.0).x > 1 - depth + d.profile.rise(r * thickness) / thickness - 2e-3)
    r += edge / 1000;
  return r * thickness;
}

void refuse_misfits(const StudDies& dies, const Workpiece& w, double reach, const Arguments& arguments,
                    std::string_view key) {
  const Measures& say = w.say();
  const double taken = dies.depth_mm * ((dies.top ? 1 : 0) + (dies.bottom ? 1 : 0));
  if (taken > kDeepest * w.thickness())
    arguments.refuse(key,
                     fmt::format("the studs would take {} of {} at one press. The metal's flow is worked out up to {:.0f} % "
                                 "of the thickness",
                                 say.length(taken), say.length(w.thickness()), 100 * kDeepest),
                     "press less deep, or ask for flow = \"plane\"");
  if (reach > dies.pattern.cell_radius())
    arguments.refuse("spacing",
                     fmt::format("studs {} apart are {} wide where they enter the bar: nothing would be left between them",
                                 say.length(dies.pattern.spacing), say.length(2 * reach)),
                     fmt::format("set them at least {} apart, press less deep, or ask for flow = \"plane\"",
                                 say.length(2.1 * reach)));
}

metal::Problem problem_of(const StudDies& dies, double thickness, double edge) {
  metal::Problem p;
  p.round = true;
  p.half_repeat = edge / thickness;
  p.held = dies.held;
  p.sensitivity = dies.metal.sensitivity;
  p.friction = dies.metal.friction;
  p.top = tool_of(dies, true, thickness);
  p.bottom = tool_of(dies, dies.top && dies.bottom && !dies.offset, thickness);
  return p;
}

/// The studs of both faces as they stand over the rectangle.
struct Sets {
  Pattern top, bottom;
};

/// Where the studs of one face touch and how far they press there, in thicknesses.
void mark_studs(const Grid2& g, const Pattern& pattern, const StudDies& d, double touch, double thickness,
                std::vector<char>& touches, std::vector<double>& pressed) {
  touches.assign(g.size(), 0), pressed.assign(g.size(), 0);
  for (size_t i = 0; i < g.size(); ++i) {
    const double r = pattern.nearest(g.x(i), g.y(i));
    if (r < touch) touches[i] = 1, pressed[i] = (d.depth_mm - d.profile.rise(r)) / thickness;
  }
}

/// Staggered studs bend the bar between them, where a cell by itself lies on an anvil: to first order, the difference.
void add_staggering(LayerTarget& target, const Sets& sets, const StudDies& d, double touch, double thickness) {
  // Three nodes to the radius of what touches.
  const double asked = 9 * target.grid.wide * target.grid.high / (touch * touch);
  const Grid2 place = coarser(target.grid, std::clamp(asked, kSheetNodes, kMostSheetNodes));
  metal::SheetPress both{place, {}, {}, {}, false, d.held};
  std::vector<double>&up = both.wanted.bottom, &down = both.wanted.top;
  mark_studs(place, sets.bottom, d, touch, thickness, both.bottom_touches, up);
  mark_studs(place, sets.top, d, touch, thickness, both.top_touches, down);
  metal::SheetPress upper = both, lower = both;
  lower.top_touches = both.bottom_touches, lower.wanted.top = up;
  for (auto* press : {&both, &upper, &lower}) {
    press->grid.wide /= thickness, press->grid.high /= thickness;
    for (double& v : press->wanted.top) v = -v;
  }
  upper.anvil = lower.anvil = true;
  const auto together = press_sheet(both), above = press_sheet(upper), below = press_sheet(lower);
  std::vector<double> low(place.size()), high(place.size()), sigma;
  for (size_t i = 0; i < place.size(); ++i)
    high[i] = together.top[i] - above.top[i], low[i] = together.bottom[i] + below.top[i];
  for (int l = 0; l < kLevels; ++l) sigma.push_back(LayerTarget::level(l));
  Grid2 scaled = target.grid;
  scaled.wide /= thickness, scaled.high /= thickness;
  // A stud's rim would leave a crease where it holds the face with its edge: the metal's own has none. Between the
  // studs the faces are free.
  const auto smooth = [&](const std::vector<double>& face) {
    return told_at(target.grid, place, evened_out(place, face, 0.2 * touch));
  };
  const auto rise = metal::layers_under(scaled, smooth(low), smooth(high), sigma, 0);
  for (int l = 0; l < kLevels; ++l)
    for (size_t i = 0; i < target.grid.size(); ++i) target.rise[size_t(l)][i] += rise[size_t(l)][i];
}

/// For a first look: the faces are the studs' where they reach, else the old ones, and each wave of them dies out with
/// depth as small ones do.
void add_waves(LayerTarget& target, const Sets& sets, const StudDies& d, double thickness) {
  std::vector<double> low(target.grid.size(), 0.0), high = low, sigma;
  for (size_t i = 0; i < low.size(); ++i) {
    const double x = target.grid.x(i), y = target.grid.y(i);
    if (d.top) high[i] = -std::max(0.0, d.depth_mm - d.profile.rise(sets.top.nearest(x, y))) / thickness;
    if (d.bottom) low[i] = std::max(0.0, d.depth_mm - d.profile.rise(sets.bottom.nearest(x, y))) / thickness;
  }
  Grid2 scaled = target.grid;
  scaled.wide /= thickness, scaled.high /= thickness;
  for (int l = 0; l < kLevels; ++l) sigma.push_back(LayerTarget::level(l));
  const auto rise = metal::layers_under(scaled, low, high, sigma, d.metal.friction);
  for (int l = 0; l < kLevels; ++l) target.rise[size_t(l)] = rise[size_t(l)];
}

/// The cells of both faces, solved and laid side by side; returns the radius to which a stud touches.
double add_studs(LayerTarget& target, const Sets& sets, const StudDies& d, double edge, double thickness) {
  const FlowTable table = *metal::flow_of(problem_of(d, thickness, edge)).table;
  const RoundCell cell = cell_of(table, thickness, edge < d.pattern.cell_radius());
  const bool staggered = d.top && d.bottom && d.offset;
  if (d.top) add_cells(target, sets.top, cell);
  if (d.bottom && (staggered || !d.top)) add_cells(target, sets.bottom, cell.upside_down());
  const double touch = touching(table, d, thickness);
  if (staggered) add_staggering(target, sets, d, touch, thickness);
  return touch;
}

/// Share of a face that is free, over the grid: none where a stud touches, all half a radius beside it.
std::vector<double> free_of(const Grid2& g, const Pattern& pattern, bool works, double touch) {
  std::vector<double> free(g.size(), 1.0);
  for (size_t i = 0; i < g.size() && works; ++i) {
    const double t = std::clamp(2 * (pattern.nearest(g.x(i), g.y(i)) / touch - 1), 0.0, 1.0);
    free[i] = t * t * (3 - 2 * t);
  }
  return free;
}

/// All that the laid layers depend on.
std::string key_of(const StudDies& d, const Workpiece& w) {
  std::string key = "studs";
  for (const double v : {d.profile.radius, d.profile.flank_rad, d.pattern.spacing, d.pattern.stray, d.depth_mm,
                         d.metal.sensitivity, d.metal.friction, w.length(), w.width(), w.thickness()})
    key += fmt::format(" {:.17g}", v);
  for (const int v : {int(d.pattern.set), int(d.pattern.seed), int(d.top), int(d.bottom), int(d.offset), int(d.held), int(w.preview())})
    key += fmt::format(" {}", v);
  return key;
}

/// What the studs do to the bar, over the rectangle.
Layering layering_of(const StudDies& d, const Workpiece& w, const Grid2& grid, const Sets& sets, double reach) {
  const double thickness = w.thickness();
  Layering layering{LayerTarget(grid), thickness, d.held};
  double touch = reach;
  if (w.preview())
    add_waves(layering.target, sets, d, thickness);
  else
    touch = add_studs(layering.target, sets, d, edge_of(d, thickness, reach), thickness);
  if (d.held)
    settle_held(layering.target, free_of(grid, sets.bottom, d.bottom, touch), free_of(grid, sets.top, d.top, touch));
  return layering;
}

}  // namespace

void dimple_by_flow(Workpiece& w, const StudDies& dies, const Arguments& arguments, std::string_view key) {
  const double thickness = w.thickness(), reach = dies.profile.reach(dies.depth_mm), edge = edge_of(dies, thickness, reach);
  refuse_misfits(dies, w, reach, arguments, key);
  StudDies d = dies;
  keep_apart(d.pattern, 2 * reach);
  w.lay_wander();
  const bool alone = edge < d.pattern.cell_radius();
  const double least = std::min(reach, thickness), far = (alone ? RoundCell::kFade : 1) * edge;
  const GridNeed need{w.length(), w.width(), far, least / 10, least / 6.5, w.preview(), "studs"};
  Sets sets{d.pattern, d.pattern};
  const ToolGrid laid = or_refuse(arguments, "spacing", [&] { return grid_of(sets.top, need, w.say()); });
  sets.bottom = sets.top;
  sets.bottom.between = d.top && d.offset;
  const double before = w.length();
  or_refuse(arguments, key, [&] {
    take_layers(w, laid_layers(key_of(d, w), double(laid.grid.size()), [&] { return layering_of(d, w, laid.grid, sets, reach); }),
                d.held);
  });
  if (w.preview()) w.row().rough = "a closed form stands for the metal's flow (--preview)";
  if (!laid.comes_again.empty()) w.note(laid.comes_again);
  if (!dies.held) w.note(fmt::format("the bar grows by {:.1f} % in length", 100 * (w.length() / before - 1)));
}

}  // namespace etchcast
