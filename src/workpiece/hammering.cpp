// Dents of both faces over a repeating rectangle, their waves carried inwards.
#include "workpiece/hammering.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "base/fourier.hpp"
#include "metal/modes.hpp"
#include "workpiece/layering.hpp"

namespace etchcast {

namespace {

/// The bar with some dents' room around it, outside of which the blows repeat.
Grid2 grid_about(Blows& b, const Bar& bar) {
  b.first_column = -3, b.columns = int(std::ceil(1.4 * bar.length_mm / b.spacing)) + 6;
  b.first_row = -int(std::ceil(bar.width_mm / 2 / b.spacing)) - 3, b.rows = -2 * b.first_row;
  Grid2 g;
  g.x0 = b.first_column * b.spacing, g.y0 = b.first_row * b.spacing;
  g.wide = b.columns * b.spacing, g.high = b.rows * b.spacing;
  const double step = std::clamp(std::min(std::sqrt(2 * b.crown * b.depth), b.spacing) / 8, 0.3, 2.0);
  g.columns = smooth_size(int(std::ceil(g.wide / step))), g.rows = smooth_size(int(std::ceil(g.high / step)));
  return g;
}

}  // namespace

void hammer_by_flow(Workpiece& w, Blows top, bool on_top, Blows bottom, bool on_bottom, double friction,
                    const Arguments& arguments, std::string_view key) {
  const double thickness = w.thickness();
  if (top.depth * ((on_top ? 1 : 0) + (on_bottom ? 1 : 0)) > 0.5 * thickness)
    arguments.refuse(key, fmt::format("dents {:.2f} mm deep are too deep for a bar of {:.2f} mm", top.depth, thickness),
                     fmt::format("stay below {:.2f} mm a side", thickness * (on_top && on_bottom ? 0.25 : 0.5)));
  w.lay_wander();
  Layering layering{LayerTarget(grid_about(top, w.bar())), thickness, false};
  grid_about(bottom, w.bar());
  // Lengths in thicknesses, as the shapes of the waves take them.
  Grid2 grid = layering.target.grid;
  grid.wide /= thickness, grid.high /= thickness;
  std::vector<double> low(grid.size(), 0.0), high(grid.size(), 0.0), sigma;
  for (size_t i = 0; i < grid.size(); ++i) {
    const double x = layering.target.grid.x(i), y = layering.target.grid.y(i);
    if (on_bottom) low[i] = std::max(0.0, bottom.reach(x, y)) / thickness;
    if (on_top) high[i] = -std::max(0.0, top.reach(x, y)) / thickness;
  }
  for (int l = 0; l < LayerTarget::kLevels; ++l) sigma.push_back(LayerTarget::level(l));
  auto rise = metal::layers_under(grid, low, high, sigma, friction);
  for (int l = 0; l < LayerTarget::kLevels; ++l) layering.target.rise[size_t(l)] = std::move(rise[size_t(l)]);
  or_refuse(arguments, key, [&] { return lay_layers(w, layering); });
}

}  // namespace etchcast
