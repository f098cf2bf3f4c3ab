// One round cell a stud, laid side by side; where cells meet they are blended.
#include "workpiece/studding.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "base/fourier.hpp"
#include "metal/flow.hpp"
#include "workpiece/layering.hpp"

namespace etchcast {

namespace {

constexpr double kDeepest = 0.65;  ///< share of the thickness that both sets of studs together may take
constexpr int kLevels = LayerTarget::kLevels;

metal::Tool tool_of(const StudDies& d, bool works, double thickness) {
  metal::Tool tool;
  if (!works) return tool;  // the anvil
  tool.kind = metal::Tool::Kind::ridge;
  tool.depth = d.depth_mm / thickness;
  tool.rise = [profile = d.profile, thickness](double r) { return profile.rise(r * thickness) / thickness; };
  return tool;
}

/// Distance from its axis at which a stud pressed home meets the level of the old face, mm.
double reach_of(const StudDies& d) {
  double low = 0, high = 1000;
  for (int round = 0; round < 60; ++round) {
    const double middle = (low + high) / 2;
    (d.profile.rise(middle) < d.depth_mm ? low : high) = middle;
  }
  return low;
}

/// Rise z - c of each layer over the distance from the axis, thicknesses; level beyond the cell.
class RoundCell {
 public:
  RoundCell(const FlowTable& table, double thickness, bool upside_down) : thickness_(thickness) {
    edge_ = std::sqrt(2 * table.half_after());
    const int count = 256;
    for (int l = 0; l < kLevels; ++l) {
      const double c = LayerTarget::level(l), own = upside_down ? 1 - c : c;
      std::vector<double> rise;
      for (int i = 0; i <= count; ++i) {
        const double r = edge_ * i / count, u = table.jet(r * r / 2, own).x - own;
        rise.push_back(upside_down ? -u : u);
      }
      over_r_[size_t(l)] = Spline1(0, edge_ / count, rise);
    }
  }
  double rise(int level, double r_mm) const { return over_r_[size_t(level)](std::min(r_mm / thickness_, edge_)); }

 private:
  double thickness_, edge_;
  std::array<Spline1, kLevels> over_r_;
};

/// A rectangle over which the pattern repeats: of a regular set its own, of a random one the bar with room around it, the
/// set being made to repeat outside.
Grid2 grid_of(Pattern& pattern, const Bar& bar, double step) {
  Grid2 g;
  const double row = pattern.row();
  if (pattern.set == Pattern::Set::random) {
    pattern.first_column = -2, pattern.columns = int(std::ceil(1.5 * bar.length_mm / pattern.spacing)) + 4;
    pattern.first_row = -2 * int(std::ceil(bar.width_mm / row / 4 + 1)), pattern.rows = -2 * pattern.first_row;
    g.x0 = pattern.first_column * pattern.spacing, g.y0 = pattern.first_row * row;
    g.wide = pattern.columns * pattern.spacing, g.high = pattern.rows * row;
  } else {
    g.wide = pattern.spacing, g.high = pattern.set == Pattern::Set::square ? row : 2 * row;
  }
  g.columns = smooth_size(std::max(12, int(std::ceil(g.wide / step))));
  g.rows = smooth_size(std::max(12, int(std::ceil(g.high / step))));
  return g;
}

/// Adds what the cells of one set do. Each place takes the cells around it in shares that fall off with the square of
/// the distance, so that under a stud its own cell has all but a hundredth of a per cent and borders leave no crease.
void add_cells(LayerTarget& target, const Pattern& pattern, const RoundCell& cell) {
  const double soft = 0.05 * pattern.spacing * pattern.spacing;
  double squares[Pattern::kNear];
  for (size_t node = 0; node < target.grid.size(); ++node) {
    const int count = pattern.near(target.grid.x(node), target.grid.y(node), squares);
    const double least = *std::min_element(squares, squares + count);
    double total = 0;
    for (int k = 0; k < count; ++k) total += std::exp((least - squares[k]) / soft);
    for (int k = 0; k < count; ++k) {
      const double part = std::exp((least - squares[k]) / soft) / total;
      if (part < 1e-6) continue;
      for (int l = 0; l < kLevels; ++l) target.rise[size_t(l)][node] += part * cell.rise(l, std::sqrt(squares[k]));
    }
  }
}

metal::Flow solved(const metal::Problem& problem, const Arguments& arguments, std::string_view key) {
  try {
    return metal::flow_of(problem);
  } catch (const Error& error) {
    const Diagnostic& d = error.diagnostics().front();
    arguments.refuse(key, d.message, d.hint);
  }
}

}  // namespace

void dimple_by_flow(Workpiece& w, const StudDies& dies, const Arguments& arguments, std::string_view key) {
  const double thickness = w.thickness(), taken = dies.depth_mm * ((dies.top ? 1 : 0) + (dies.bottom ? 1 : 0));
  if (taken > kDeepest * thickness)
    arguments.refuse(key, fmt::format("the studs would take {:.2f} mm of {:.2f} mm at one press; the metal's flow is worked out up to {:.0f} %",
                                      taken, thickness, 100 * kDeepest),
                     "press less deep, or ask for flow = \"plane\"");
  const double reach = reach_of(dies), radius = dies.pattern.cell_radius();
  if (reach > radius)
    arguments.refuse("spacing", fmt::format("studs {:.1f} mm apart are {:.1f} mm wide where they enter the bar: nothing would be left between them",
                                            dies.pattern.spacing, 2 * reach),
                     fmt::format("set them at least {:.1f} mm apart, press less deep, or ask for flow = \"plane\"", 2.2 * reach));
  w.lay_wander();
  metal::Problem p;
  p.round = true;
  p.half_repeat = std::min(radius, std::max(3.2 * reach, 1.25 * thickness)) / thickness;
  p.held = dies.held;
  p.sensitivity = dies.metal.sensitivity;
  p.friction = dies.metal.friction;
  p.top = tool_of(dies, true, thickness);
  const bool aligned = dies.top && dies.bottom && !dies.offset;
  p.bottom = tool_of(dies, aligned, thickness);
  const metal::Flow flow = solved(p, arguments, key);

  Pattern pattern = dies.pattern;
  Layering layering{LayerTarget(grid_of(pattern, w.bar(), std::min(reach / 10, thickness / 10))), thickness, dies.held};
  pattern.between = false;
  if (dies.top) add_cells(layering.target, pattern, RoundCell(*flow.table, thickness, false));
  pattern.between = dies.top && dies.offset;
  if (dies.bottom && !aligned) add_cells(layering.target, pattern, RoundCell(*flow.table, thickness, true));
  try {
    lay_layers(w, layering);
  } catch (const Error& error) {
    const Diagnostic& d = error.diagnostics().front();
    arguments.refuse(key, d.message, d.hint);
  }
}

}  // namespace etchcast
