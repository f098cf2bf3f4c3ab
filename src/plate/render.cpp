// A picture drawn as it is laid out, and the numbers behind it.
#include <cmath>

#include "plate/layout.hpp"

namespace etchcast {

Image render(const Recipe& recipe, const Forging& forging, const RenderOptions& options, RenderTimes* times) {
  RenderTimes own;
  Layout l = lay_out(recipe, forging, options);
  const bool words = !options.bare || options.view == Looking::stages;
  if (words) lay_ground(l.image, l.panels);
  for (const Panel& panel : l.panels) lay_metal(l.image, panel, recipe, options.plain, own);
  for (const Caption& c : l.captions)
    if (!c.text.empty()) draw_text(l.image, c.x, c.y, c.text, c.style);
  if (words) draw_scale_bar(l.image, l.scale_x, l.scale_y, l.text_px);
  if (times) *times = own;
  return std::move(l.image);
}

namespace {

/// Shares, stack coordinate and height of a tile's pixels; rows of `out` are `stride` values apart.
void copy_data(const Field& field, const Recipe& recipe, const Tile& tile, float* out, size_t stride) {
  constexpr int kHalo = Field::kHalo;
  const auto height = etched_height(field, recipe.steels, recipe.etch);
  const size_t plane = size_t(field.columns) * field.rows, steels = size_t(field.steels);
  for (int r = 0; r < tile.rows; ++r)
    for (int c = 0; c < tile.columns; ++c) {
      const size_t at = field.index(r + kHalo, c + kHalo);
      float* to = out + r * stride + c * (steels + 2);
      const bool metal = field.mask[at] > 0;
      for (size_t k = 0; k < steels; ++k) to[k] = metal ? field.coverage[k * plane + at] : 0;
      to[steels] = metal ? field.s[at] : NAN;
      to[steels + 1] = metal ? height[at] : NAN;
    }
}

}  // namespace

DataArray render_data(const Recipe& recipe, const Forging& forging, const RenderOptions& options) {
  const Layout l = lay_out(recipe, forging, options);
  const size_t steels = recipe.steels.size(), channels = steels + 2;
  if (l.panels.size() > 2) throw Error(Fault::use, "data of all stages at once would be too much", "choose one step with --at and a view");
  const int columns = panel_columns(l.panels[0], l.image.px_per_mm), rows = panel_rows(l.panels[0], l.image.px_per_mm);
  DataArray data;
  data.shape = {l.panels.size(), size_t(rows), size_t(columns), channels};
  data.values.assign(l.panels.size() * rows * columns * channels, 0.0f);
  for (size_t i = 0; i < l.panels.size(); ++i) {
    const Panel& panel = l.panels[i];
    const Sampler sampler(*panel.bar, int(steels));
    const std::vector<Tile> tiles = tiles_of(columns, rows);
#pragma omp parallel for schedule(dynamic, 1)
    for (const Tile& tile : tiles) {
      Field field;
      place_field(field, *panel.view, tile, l.image.px_per_mm, int(steels));
      sampler.sample(*panel.view, field);
      copy_data(field, recipe, tile, &data.values[((i * rows + tile.row) * columns + tile.column) * channels], size_t(columns) * channels);
    }
  }
  return data;
}

}  // namespace etchcast
