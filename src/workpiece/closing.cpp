// One hole in its round cell, closed; its layers told at the heights they had in the bar before it was drilled.
#include "workpiece/closing.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "metal/flow.hpp"
#include "tape/plan_map.hpp"
#include "workpiece/cells.hpp"
#include "workpiece/drilling.hpp"
#include "workpiece/layering.hpp"

namespace etchcast {

namespace {

constexpr int kLevels = LayerTarget::kLevels;
constexpr int kFine = 4000;  ///< steps of the radius for sums of volume
/// Layer lines begin at shares of the local height, so that a point, a rim or a wall stands in them at every depth, where
/// the metal has none, and must go out again between the even bar and the closed one. So solver and map see the same hole,
/// evened out over that share of its radius; what solver or table could not hold would stay as a ripple.
constexpr double kEvened = 1.0 / 16;

/// A hole, or two opposite ones, in its cell; mm.
struct Cell {
  double radius, full;                           ///< of the cell; thickness of the undrilled bar
  bool alone;                                    ///< more plan falls to the hole than the cell
  std::function<double(double)> floor, ceiling;  ///< heights of the faces over the lower land, over the distance
  double mean = 1;
};

Cell cell_of(const Holes& holes, const EvenedHole& hole, double full, bool below) {
  Cell c;
  // Beyond some radii of the hole and a thickness of the bar nothing happens that a wider cell would show.
  const double falls = holes.top_set.cell_radius(), enough = std::max(3.2 * holes.hole.radius, 1.25 * full);
  c.radius = std::min(falls, enough), c.alone = enough < falls, c.full = full;
  c.ceiling = [&hole, full](double r) { return full - hole.depth(r); };
  c.floor = [&hole, below](double r) { return below ? hole.depth(r) : 0; };
  double sum = 0;
  for (int i = 0; i < kFine; ++i) {
    const double r = c.radius * std::sqrt((i + 0.5) / kFine);
    sum += (c.ceiling(r) - c.floor(r)) / kFine;
  }
  c.mean = sum;
  return c;
}

metal::Problem problem_of(const Cell& c, double thickness, const MetalKeys& keys) {
  metal::Problem p;
  p.round = true;
  p.half_repeat = c.radius / c.mean;
  p.repeat_before = true;
  p.sensitivity = keys.sensitivity, p.friction = keys.friction;
  p.bottom_before = [c](double share) { return c.floor(share * c.radius) / c.mean; };
  p.top_before = [c](double share) { return c.ceiling(share * c.radius) / c.mean; };
  p.top.depth = p.bottom.depth = (c.full - thickness) / 2 / c.mean;
  return p;
}

/// How far each line lies over the straight share of the lands' heights, mm over the radius: 0 at a flat face, less
/// where a floor stays hollow.
struct Closed {
  double edge, hollow = 0;  ///< mm; mean depth to which the upper face stays hollow
  std::array<RoundCell::Profile, kLevels> off;
};

Closed closed(const Cell& c, const FlowTable& t, double thickness) {
  Closed result;
  const double low = t.jet(t.half_after(), 0.0).x, tall = thickness / c.mean;
  result.edge = std::sqrt(2 * t.half_after()) * c.mean;
  for (int l = 0; l < kLevels; ++l)
    for (int i = 0; i <= RoundCell::kSteps; ++i) {
      const double r = double(i) / RoundCell::kSteps, line = LayerTarget::level(l);
      result.off[size_t(l)].push_back((t.jet(r * r * t.half_after(), line).x - low - tall * line) * c.mean);
    }
  const auto& top = result.off[kLevels - 1];
  for (int i = 0; i < RoundCell::kSteps; ++i)
    result.hollow -=
        0.5 * (top[size_t(i)] + top[size_t(i) + 1]) * (2 * i + 1) / double(RoundCell::kSteps * RoundCell::kSteps);
  return result;
}

metal::Flow solved(const metal::Problem& problem, const Arguments& arguments) {
  try {
    return metal::flow_of(problem);
  } catch (const Error& error) {
    arguments.refuse("thickness", "the holes do not close cleanly: " + error.diagnostics().front().message,
                     "drill shallower, wider or with a sharper point, forge less far, or ask for flow = \"plane\"");
  }
}

/// Upright walls taller than a quarter of the hole's width meet before its floor comes up. The share is a guess; common
/// practice asks for wide, shallow holes.
void warn_of_folds(Workpiece& w, const Hole& hole, const Arguments& arguments) {
  const double wall = hole.wall_height(), wide = 2 * hole.radius;
  if (wall > wide / 4)
    w.warn(arguments.call().place,
           fmt::format("the holes' upright walls are {} high, and the holes {} wide. Such walls may fold in and stay as "
                       "cold shuts. Drill shallower, wider or with a sharper point",
                       w.say().length(wall), w.say().length(wide)));
}

/// The drilled bar, told from an even one of its mean height.
void make_even(Workpiece& w, const Holes& holes, const EvenedHole& hole, double full) {
  const Bar old = w.bar();
  const Grid2& grid = holes.grid;
  std::vector<double> tall(grid.size()), mid(grid.size());
  double mean = 0;
  for (size_t i = 0; i < grid.size(); ++i) {
    const double x = grid.x(i), y = grid.y(i);
    const double above = holes.top ? hole.depth(holes.top_set.nearest(x, y)) : 0;
    const double below = holes.bottom ? hole.depth(holes.bottom_set.nearest(x, y)) : 0;
    tall[i] = full - above - below, mid[i] = (below - above) / 2;
    mean += tall[i] / double(grid.size());
  }
  w.bend(plan_map(grid, tall, mid));
  w.set_faces(Relief::flat(-mean / 2), Relief::flat(mean / 2));
  w.set_size(old.volume_mm3 / (old.width_mm * mean), old.width_mm, mean);
}

/// All that the laid layers depend on, besides the bar.
std::string key_of(const Holes& h, const Workpiece& w, double full, double thickness, const MetalKeys& metal) {
  std::string key = "holes";
  const Grid2& g = h.grid;
  for (const double v : {h.hole.radius, h.hole.depth, h.hole.point_rad, h.top_set.spacing, h.top_set.stray, full, thickness,
                         metal.sensitivity, metal.friction, w.length(), w.width(), w.thickness(), g.x0, g.y0, g.wide, g.high})
    key += fmt::format(" {:.17g}", v);
  for (const int v : {int(h.hole.ball), int(h.top_set.set), int(h.top_set.seed), int(h.top), int(h.bottom), int(h.offset),
                      h.top_set.columns, h.top_set.rows, g.columns, g.rows})
    key += fmt::format(" {}", v);
  return key;
}

/// The layers of the closed bar, from those of an even one of the same mean height.
Layering layering_of(const Holes& holes, const Cell& cell, const Closed& shut, double even, double thickness) {
  // Each set leaves its own hollows; beyond the cell there are none.
  const double falls = holes.top_set.cell_radius(), share = cell.radius * cell.radius / (falls * falls);
  const double left = thickness - shut.hollow * share * (holes.top && holes.bottom ? 2 : 1);
  // The bar grows in length alone, a cell all round.
  const double growth = even / left;
  Grid2 grid = holes.grid;
  grid.x0 *= growth, grid.wide *= growth;
  LayerTarget off(grid);
  const CellLie lie{1 / growth, std::sqrt(growth)};
  const RoundCell round(shut.edge, shut.off, cell.alone);
  const bool opposite = holes.top && holes.bottom && !holes.offset;
  if (holes.top || opposite) add_cells(off, holes.top_set, round, lie);
  if (holes.bottom && !opposite) add_cells(off, holes.bottom_set, round.upside_down(), lie);
  Layering layering{std::move(off), even, false};
  for (int l = 0; l < kLevels; ++l)
    for (double& v : layering.target.rise[size_t(l)])
      v = ((even - thickness) / 2 + LayerTarget::level(l) * thickness + v) / even - LayerTarget::level(l);
  return layering;
}

}  // namespace

void close_holes_by_flow(Workpiece& w, double thickness, const MetalKeys& metal, const Arguments& arguments) {
  const Holes holes = *w.holes();
  const double full = w.bar().top->highest() - w.bar().bottom->lowest();
  if (thickness >= full)
    arguments.refuse("thickness", fmt::format("the bar is {} thick here: dies stopped at {} do not touch it",
                                              w.say().length(full), w.say().length(thickness)));
  const double finest = std::max(holes.grid.dx(), holes.grid.dy());
  const EvenedHole hole(holes.hole, std::max(kEvened * holes.hole.radius, finest));
  const Cell cell = cell_of(holes, hole, full, holes.top && holes.bottom && !holes.offset);
  const metal::Flow flow = solved(problem_of(cell, thickness, metal), arguments);
  warn_of_folds(w, holes.hole, arguments);
  const Closed shut = closed(cell, *flow.table, thickness);
  make_even(w, holes, hole, full);
  const double even = w.thickness();
  or_refuse(arguments, "thickness", [&] {
    const auto make = [&] { return layering_of(holes, cell, shut, even, thickness); };
    take_layers(w, laid_layers(key_of(holes, w, full, thickness, metal), double(holes.grid.size()), make), false);
  });
}

}  // namespace etchcast
