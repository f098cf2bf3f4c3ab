// Dents of both faces over a repeating rectangle, their waves carried inwards.
#include "workpiece/hammering.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "metal/modes.hpp"
#include "workpiece/layering.hpp"
#include "workpiece/tool_grid.hpp"

namespace etchcast {

namespace {

/// All that the laid layers depend on.
std::string key_of(const Workpiece& w, const Blows& top, bool on_top, const Blows& bottom, bool on_bottom, double friction) {
  std::string key = "blows";
  for (const double v : {top.crown, top.spacing, top.depth, friction, w.length(), w.width(), w.thickness()})
    key += fmt::format(" {:.17g}", v);
  for (const int v : {int(top.seed), int(bottom.seed), int(on_top), int(on_bottom), int(w.preview())})
    key += fmt::format(" {}", v);
  return key;
}

Layering layering_of(const Grid2& place, double thickness, const Blows& top, bool on_top, const Blows& bottom,
                     bool on_bottom, double friction) {
  Layering layering{LayerTarget(place), thickness, false};
  std::vector<double> low(place.size(), 0.0), high(place.size(), 0.0), sigma;
  for (size_t i = 0; i < place.size(); ++i) {
    const double x = place.x(i), y = place.y(i);
    if (on_bottom) low[i] = std::max(0.0, bottom.reach(x, y)) / thickness;
    if (on_top) high[i] = -std::max(0.0, top.reach(x, y)) / thickness;
  }
  for (int l = 0; l < LayerTarget::kLevels; ++l) sigma.push_back(LayerTarget::level(l));
  Grid2 grid = place;  // lengths in thicknesses, as the shapes of the waves take them
  grid.wide /= thickness, grid.high /= thickness;
  auto rise = metal::layers_under(grid, low, high, sigma, friction);
  for (int l = 0; l < LayerTarget::kLevels; ++l) layering.target.rise[size_t(l)] = std::move(rise[size_t(l)]);
  return layering;
}

void refuse_misfits(const Workpiece& w, const Blows& blows, int faces, const Arguments& arguments, std::string_view key) {
  const Measures& say = w.say();
  if (blows.depth * faces > 0.5 * w.thickness())
    arguments.refuse(key,
                     fmt::format("dents {} deep are too deep for a bar of {}", say.length(blows.depth), say.length(w.thickness())),
                     fmt::format("stay below {} a side", say.length(w.thickness() * 0.5 / faces)));
  refuse_crowding(w, blows, arguments);
}

}  // namespace

void refuse_crowding(const Workpiece& w, const Blows& blows, const Arguments& arguments) {
  if (blows.squares_around() <= Blows::kMostAround) return;
  const Measures& say = w.say();
  arguments.refuse("spacing",
                   fmt::format("blows {} apart fall too close. A dent of this crown and depth is {} wide, and each place would be "
                               "struck dozens of times",
                               say.length(blows.spacing), say.length(2 * blows.radius())),
                   fmt::format("set the blows at least {} apart, or strike less deep or with a rounder crown",
                               say.length(std::ceil(10 * blows.least_spacing()) / 10)));
}

void hammer_by_flow(Workpiece& w, Blows top, bool on_top, Blows bottom, bool on_bottom, double friction,
                    const Arguments& arguments, std::string_view key) {
  refuse_misfits(w, top, (on_top ? 1 : 0) + (on_bottom ? 1 : 0), arguments, key);
  w.lay_wander();
  const double least = std::min({top.radius(), top.spacing, 16.0});
  const GridNeed need{w.length(), w.width(), top.radius(), least / 8, least / 6, w.preview(), "dents"};
  const ToolGrid laid = or_refuse(arguments, "spacing", [&] {
    grid_of(bottom, need, w.say());
    return grid_of(top, need, w.say());
  });
  or_refuse(arguments, key, [&] {
    const auto make = [&] { return layering_of(laid.grid, w.thickness(), top, on_top, bottom, on_bottom, friction); };
    take_layers(w, laid_layers(key_of(w, top, on_top, bottom, on_bottom, friction), double(laid.grid.size()), make), false);
  });
  if (!laid.comes_again.empty()) w.note(laid.comes_again);
}

}  // namespace etchcast
