// A blade's side as it is measured: what steel shows in each pixel, without light.
#include <algorithm>
#include <cmath>

#include "etchcast/error.hpp"
#include "etchcast/measure.hpp"
#include "plate/layout.hpp"

namespace etchcast {
namespace {

/// 0 for the darkest steel of the recipe, 1 for the brightest.
std::vector<float> brightness_of(const std::vector<Steel>& steels) {
  double low = 1, high = 0;
  for (const Steel& steel : steels) low = std::min(low, steel.tone), high = std::max(high, steel.tone);
  std::vector<float> bright;
  for (const Steel& steel : steels) bright.push_back(float((steel.tone - low) / std::max(0.01, high - low)));
  return bright;
}

void copy_tile(const Field& field, const std::vector<float>& bright, const Tile& tile, Tones& tones) {
  const size_t plane = size_t(field.columns) * field.rows;
  for (int r = 0; r < tile.rows; ++r)
    for (int c = 0; c < tile.columns; ++c) {
      const size_t from = field.index(r + Field::kHalo, c + Field::kHalo),
                   to = size_t(tile.row + r) * tones.columns + tile.column + c;
      float sum = 0;
      for (size_t k = 0; k < bright.size(); ++k) sum += field.coverage[k * plane + from] * bright[k];
      const float etched = field.mask[from] * (field.bare.empty() ? 1 : 1 - field.bare[from]);
      tones.metal[to] = etched;
      tones.bright[to] = field.mask[from] > 0 ? sum : 0;
    }
}

Tones sampled(const Panel& panel, const Recipe& recipe, double px_per_mm) {
  Tones tones{panel_columns(panel, px_per_mm), panel_rows(panel, px_per_mm), px_per_mm, {}, {}};
  tones.bright.resize(size_t(tones.columns) * tones.rows), tones.metal.resize(tones.bright.size());
  const std::vector<float> bright = brightness_of(recipe.steels);
  const Sampler sampler(*panel.bar, int(recipe.steels.size()));
  const std::vector<Tile> tiles = tiles_of(tones.columns, tones.rows);
#pragma omp parallel for schedule(dynamic, 1)
  for (const Tile& tile : tiles) {
    Field field;
    place_field(field, *panel.view, tile, px_per_mm, int(recipe.steels.size()));
    sampler.sample(*panel.view, field);
    copy_tile(field, bright, tile, tones);
  }
  return tones;
}

}  // namespace

Tones blade_tones(const Recipe& recipe, const Forging& forging, Side side, double px_per_mm,
                  const std::optional<Part>& part) {
  if (!recipe.blade) throw Error(Fault::use, "this recipe has no blade to measure", "add a [blade]");
  const bool right = side == Side::right;
  RenderOptions options;
  options.view = Looking::blade, options.right = right, options.left = !right, options.px_per_mm = px_per_mm,
  options.bare = true;
  const Layout layout = lay_out(recipe, forging, options);
  const Blade blade(*recipe.blade);
  double heel_end = 0, low = 0;  // of the outline, in the blade's frame
  for (const auto& p : blade.outline()) heel_end = std::min(heel_end, p.x()), low = std::min(low, p.y());
  const Part wanted = part.value_or(Part{0, low, blade.length(), 1e6});
  const double x = right ? wanted.x - heel_end : blade.length() - wanted.x - wanted.width;
  return part_of(sampled(layout.panels.front(), recipe, px_per_mm), {x, wanted.y - low, wanted.width, wanted.height});
}

}  // namespace etchcast
