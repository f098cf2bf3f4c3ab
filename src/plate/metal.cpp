// Metal laid onto the plate, a few dozen rows at a time so that memory stays small whatever the picture's size.
#include <algorithm>
#include <chrono>
#include <cmath>

#include "coverage/rim.hpp"
#include "etchcast/output.hpp"
#include "plate/captions.hpp"
#include "plate/eaten.hpp"
#include "plate/plate.hpp"

namespace etchcast {

namespace {

double seconds() { return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count(); }

}  // namespace

int panel_columns(const Panel& panel, double px_per_mm) { return std::max(1, int(std::ceil(panel.view->width() * px_per_mm))); }
int panel_rows(const Panel& panel, double px_per_mm) { return std::max(1, int(std::ceil(panel.view->height() * px_per_mm))); }

std::vector<Tile> tiles_of(int columns, int rows) {
  std::vector<Tile> tiles;
  for (int c = 0; c < columns; c += kTileColumns)
    for (int r = 0; r < rows; r += kTileRows) tiles.push_back({c, r, std::min(kTileColumns, columns - c), std::min(kTileRows, rows - r)});
  return tiles;
}

void place_field(Field& field, const View& view, const Tile& tile, double px_per_mm, int steels) {
  constexpr int kHalo = Field::kHalo;
  field.resize(tile.columns + 2 * kHalo, tile.rows + 2 * kHalo, steels);
  field.mm_per_px = 1 / px_per_mm;
  field.left_mm = (tile.column - kHalo) * field.mm_per_px;
  field.top_mm = view.height() - (tile.row - kHalo) * field.mm_per_px;
}

void lay_metal(Image& image, const Panel& panel, const Recipe& recipe, bool plain, RenderTimes& times) {
  const int steels = int(recipe.steels.size());
  const Bar as_etched = eaten(*panel.bar, *panel.view, recipe.steels, recipe.etch);
  const Sampler sampler(as_etched, steels);
  const Rim rim(panel.view->outline());
  const std::vector<Tile> tiles = tiles_of(panel_columns(panel, image.px_per_mm), panel_rows(panel, image.px_per_mm));
  double sample = 0, shading = 0;
  long long pixels = 0, divided = 0, asked = 0;
  // A thread takes a tile through all stages by itself: its arrays stay in the cache, and there is one meeting at the end.
#pragma omp parallel reduction(+ : sample, shading, pixels, divided, asked)
  {
    Field field;
    Sampler::Desk desk = sampler.desk();
    Rim::Desk rim_desk;
    Lighting lighting(recipe.steels, recipe.etch, panel.scratches, plain);
#pragma omp for schedule(dynamic, 1)
    for (size_t i = 0; i < tiles.size(); ++i) {
      const double start = seconds();
      place_field(field, *panel.view, tiles[i], image.px_per_mm, steels);
      sampler.sample(*panel.view, field, desk);
      rim.tilt(field, rim_desk);
      const double sampled = seconds();
      lighting.lay(field, image, panel.column + tiles[i].column, panel.row + tiles[i].row);
      sample += sampled - start, shading += seconds() - sampled;
      for (const float m : field.mask) pixels += m > 0;
    }
    divided += desk.divided, asked += desk.asked;
  }
  times.sample += sample, times.shade += shading, times.pixels += pixels;
  times.divided += divided, times.asked += asked;
}

void draw_scale_bar(Image& image, double x, double baseline, double text_px, System first) {
  const ScaleLength length = scale_length(image.columns / image.px_per_mm / 5, first);
  const int thick = std::max(2, int(text_px / 9)), from = int(x), to = int(std::lround(x + length.mm * image.px_per_mm));
  const int tick = std::max(4, int(text_px / 3)), top = int(baseline) - tick;
  const auto fill = [&](int x0, int x1, int y0, int y1) {
    for (int r = std::max(0, y0); r < std::min(image.rows, y1); ++r)
      for (int c = std::max(0, x0); c < std::min(image.columns, x1); ++c)
        for (int k = 0; k < 3; ++k) image.rgb[(size_t(r) * image.columns + c) * 3 + k] = 40;
  };
  fill(from, to, int(baseline) - thick, int(baseline));
  fill(from, from + thick, top, int(baseline));
  fill(to - thick, to, top, int(baseline));
  draw_text(image, to + text_px * 0.6, baseline, length.text, {text_px, Weight::regular, Anchor::left, 0.06f});
}

}  // namespace etchcast
