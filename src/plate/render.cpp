// A picture drawn as it is laid out, and the numbers behind it.
#include <algorithm>
#include <cmath>

#include "plate/eaten.hpp"
#include "plate/layout.hpp"

namespace etchcast {

Image render(const Recipe& recipe, const Forging& forging, const RenderOptions& options, RenderTimes* times) {
  RenderTimes own;
  Layout l = lay_out(recipe, forging, options);
  const bool words = !options.bare || options.view == Looking::stages;
  if (words) lay_ground(l.image, l.panels);
  for (const Panel& panel : l.panels) lay_metal(l.image, panel, recipe, options.plain, own);
  for (const Stroke& s : l.strokes) draw_stroke(l.image, s);
  for (const Caption& c : l.captions)
    if (!c.text.empty()) draw_text(l.image, c.x, c.y, c.text, c.style);
  if (words) draw_scale_bar(l.image, l.scale_x, l.scale_y, l.text_px, l.units);
  if (times) *times = own;
  return std::move(l.image);
}

namespace {

constexpr size_t kBesideShares = 4;  // stack coordinate, height, share of metal, share ground bright

/// What a tile's pixels show; `out` is that of its upper left pixel, rows are `stride` values apart.
void copy_data(const Field& field, const Recipe& recipe, const Tile& tile, float* out, size_t stride) {
  constexpr int kHalo = Field::kHalo;
  const auto height = etched_height(field, recipe.steels, recipe.etch);
  const size_t plane = size_t(field.columns) * field.rows, steels = size_t(field.steels);
  for (int r = 0; r < tile.rows; ++r)
    for (int c = 0; c < tile.columns; ++c) {
      const size_t at = field.index(r + kHalo, c + kHalo);
      if (field.mask[at] <= 0) continue;
      float* to = out + r * stride + c * (steels + kBesideShares);
      for (size_t k = 0; k < steels; ++k) to[k] = field.coverage[k * plane + at];
      to[steels] = field.s[at];
      to[steels + 1] = height[at];
      to[steels + 2] = field.mask[at];
      to[steels + 3] = field.bare[at];
    }
}

/// Pixels without metal.
std::vector<float> empty_data(size_t pixels, size_t steels) {
  std::vector<float> values(pixels * (steels + kBesideShares), 0.0f);
  for (size_t i = 0; i < pixels; ++i) std::fill_n(&values[i * (steels + kBesideShares) + steels], 2, NAN);
  return values;
}

}  // namespace

DataArray render_data(const Recipe& recipe, const Forging& forging, const RenderOptions& options) {
  const Layout l = lay_out(recipe, forging, options);
  const size_t steels = recipe.steels.size(), channels = steels + kBesideShares;
  const auto rows = size_t(l.image.rows), columns = size_t(l.image.columns);
  DataArray data{{rows, columns, channels}, empty_data(rows * columns, steels)};
  for (const Panel& panel : l.panels) {
    const Bar as_etched = eaten(*panel.bar, *panel.view, recipe.steels, recipe.etch);
    const Sampler sampler(as_etched, int(steels));
    const double px = l.image.px_per_mm;
#pragma omp parallel for schedule(dynamic, 1)
    for (const Tile& tile : tiles_of(panel_columns(panel, px), panel_rows(panel, px))) {
      Field field;
      place_field(field, *panel.view, tile, px, int(steels));
      sampler.sample(*panel.view, field);
      const size_t first = size_t(panel.row + tile.row) * columns + size_t(panel.column + tile.column);
      copy_data(field, recipe, tile, &data.values[first * channels], columns * channels);
    }
  }
  return data;
}

}  // namespace etchcast
