// One hole in its round cell, closed; its layers told at the heights they had in the bar before it was drilled.
#include "workpiece/closing.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "metal/flow.hpp"
#include "tape/plan_map.hpp"
#include "workpiece/cells.hpp"
#include "workpiece/layering.hpp"

namespace etchcast {

namespace {

constexpr int kLevels = LayerTarget::kLevels;
constexpr int kFine = 4000;  ///< steps of the radius for sums of volume

/// A hole, or two opposite ones, in the cell that falls to it; mm.
struct Cell {
  double radius, full;                           ///< of the cell; thickness of the undrilled bar
  std::function<double(double)> floor, ceiling;  ///< heights of the faces over the lower land, over the distance
  double mean = 1;
};

Cell cell_of(const Holes& holes, double full, bool below) {
  Cell c;
  c.radius = holes.pattern.cell_radius(), c.full = full;
  c.ceiling = [&holes, full](double r) { return full - std::max(0.0, holes.reach(r)); };
  if (below)
    c.floor = [&holes](double r) { return std::max(0.0, holes.reach(r)); };
  else
    c.floor = [](double) { return 0.0; };
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
void warn_of_folds(Workpiece& w, const Holes& holes, const Arguments& arguments) {
  const double wall = holes.reach(0.99 * holes.radius_mm), wide = 2 * holes.radius_mm;
  if (wall > wide / 4)
    w.warn(
        arguments.call().place,
        fmt::format(
            "the walls of the holes stand upright for {:.1f} mm of a width of {:.1f} mm: they may fold in and stay as "
            "cold shuts. Drill shallower, wider or with a sharper point",
            wall, wide));
}

/// The drilled bar, told from an even one of its mean height.
void make_even(Workpiece& w, const Holes& holes, const Grid2& grid, const Pattern& top, const Pattern& bottom,
               double full) {
  const Bar old = w.bar();
  std::vector<double> tall(grid.size()), mid(grid.size());
  double mean = 0;
  for (size_t i = 0; i < grid.size(); ++i) {
    const double x = grid.x(i), y = grid.y(i);
    const double above = holes.top ? std::max(0.0, holes.reach(top.nearest(x, y))) : 0;
    const double below = holes.bottom ? std::max(0.0, holes.reach(bottom.nearest(x, y))) : 0;
    tall[i] = full - above - below, mid[i] = (below - above) / 2;
    mean += tall[i] / double(grid.size());
  }
  // Rims and walls are sharper than the grid: rounded off over a node, they do not ring.
  w.bend(plan_map(grid, evened_out(grid, tall, grid.dx()), evened_out(grid, mid, grid.dx())));
  w.set_faces(Relief::flat(-mean / 2), Relief::flat(mean / 2));
  w.set_size(old.volume_mm3 / (old.width_mm * mean), old.width_mm, mean);
}

}  // namespace

void close_holes_by_flow(Workpiece& w, double thickness, const MetalKeys& metal, const Arguments& arguments) {
  const Holes holes = *w.holes();
  const double full = w.bar().top->highest() - w.bar().bottom->lowest();
  const bool opposite = holes.top && holes.bottom && !holes.offset;
  const Cell cell = cell_of(holes, full, opposite);
  const metal::Flow flow = solved(problem_of(cell, thickness, metal), arguments);
  warn_of_folds(w, holes, arguments);
  const Closed shut = closed(cell, *flow.table, thickness);

  Pattern top = holes.pattern;
  Grid2 grid = grid_of(top, 1.02 * w.length(), w.width(), std::min(holes.radius_mm, full) / 8);
  Pattern bottom = top;
  bottom.between = holes.top && holes.offset;
  make_even(w, holes, grid, top, bottom, full);
  const double even = w.thickness(), left = thickness - shut.hollow * (holes.top && holes.bottom ? 2 : 1);
  // The bar grows in length alone, a cell all round.
  const double growth = even / left;
  grid.x0 *= growth, grid.wide *= growth;
  LayerTarget off(grid);
  const CellLie lie{1 / growth, std::sqrt(growth)};
  const RoundCell round = RoundCell(shut.edge, shut.off).evened_out(grid.dy());
  if (holes.top || opposite) add_cells(off, top, round, lie);
  if (holes.bottom && !opposite) add_cells(off, bottom, round.upside_down(), lie);
  Layering layering{std::move(off), even, false};
  for (int l = 0; l < kLevels; ++l)
    for (double& v : layering.target.rise[size_t(l)])
      v = ((even - thickness) / 2 + LayerTarget::level(l) * thickness + v) / even - LayerTarget::level(l);
  or_refuse(arguments, "thickness", [&] { return lay_layers(w, layering); });
}

}  // namespace etchcast
