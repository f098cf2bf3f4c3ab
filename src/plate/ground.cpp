// The card under the blade, its light and the shadows.
#include <algorithm>
#include <cmath>

#include "base/noise.hpp"
#include "coverage/mask.hpp"
#include "plate/plate.hpp"

namespace etchcast {

namespace {

/// Shadow at a coarse raster: soft things need few pixels.
struct Shadow {
  int cell = 8, columns = 0, rows = 0;
  std::vector<float> dark;
  float at(float x, float y) const {
    const float u = std::clamp(x / cell - 0.5f, 0.0f, columns - 1.001f), v = std::clamp(y / cell - 0.5f, 0.0f, rows - 1.001f);
    const int i = int(u), j = int(v);
    const float a = u - i, b = v - j;
    const float* p = &dark[size_t(j) * columns + i];
    return (p[0] * (1 - a) + p[1] * a) * (1 - b) + (p[columns] * (1 - a) + p[columns + 1] * a) * b;
  }
};

void box_blur(std::vector<float>& v, int columns, int rows, int radius) {
  std::vector<float> line(std::max(columns, rows));
  const auto run = [&](float* first, int n, int stride) {
    double sum = 0;
    for (int i = -radius; i <= radius; ++i) sum += i >= 0 && i < n ? first[i * stride] : 0;
    for (int i = 0; i < n; ++i) {
      line[i] = float(sum / (2 * radius + 1));
      const int leaves = i - radius, enters = i + radius + 1;
      sum += (enters < n ? first[enters * stride] : 0) - (leaves >= 0 ? first[leaves * stride] : 0);
    }
    for (int i = 0; i < n; ++i) first[i * stride] = line[i];
  };
  for (int j = 0; j < rows; ++j) run(&v[size_t(j) * columns], columns, 1);
  for (int i = 0; i < columns; ++i) run(&v[i], rows, columns);
}

/// A broad shadow from the soft light and a narrow one where metal meets the card.
Shadow cast_shadow(const Image& image, const std::vector<Panel>& panels, double reach_px, double drop_px) {
  Shadow s;
  s.cell = std::max(2, int(reach_px / 4));
  s.columns = image.columns / s.cell + 2, s.rows = image.rows / s.cell + 2;
  s.dark.assign(size_t(s.columns) * s.rows, 0);
  const double mm_per_cell = s.cell / image.px_per_mm;
  for (const Panel& panel : panels) {
    Grid grid{-panel.column / image.px_per_mm, panel.view->height() + (panel.row + drop_px) / image.px_per_mm, mm_per_cell, s.columns, s.rows};
    const auto mask = polygon_mask(panel.view->outline(), grid);
    for (size_t i = 0; i < mask.size(); ++i) s.dark[i] = std::max(s.dark[i], mask[i]);
  }
  for (int round = 0; round < 3; ++round) box_blur(s.dark, s.columns, s.rows, 2);
  return s;
}

}  // namespace

void lay_ground(Image& image, const std::vector<Panel>& panels) {
  const double mm = image.px_per_mm, size = std::hypot(image.columns, image.rows);
  // Where a picture is so coarse that the bounds cross, the one in mm holds.
  const double broad = std::min(std::max(size / 60, 6.0), 3.0 * mm), narrow = std::min(std::max(size / 300, 2.0), 0.8 * mm);
  const Shadow soft = cast_shadow(image, panels, broad, broad * 0.7), tight = cast_shadow(image, panels, narrow, narrow * 0.6);
#pragma omp parallel for schedule(dynamic, 16)
  for (int r = 0; r < image.rows; ++r) {
    std::vector<float> line(size_t(image.columns) * 3);
    for (int c = 0; c < image.columns; ++c) {
      // The lamp stands above left; the card falls off gently away from it.
      const float u = c / float(image.columns) - 0.42f, v = r / float(image.rows) - 0.30f;
      const float pool = 0.70f - 0.16f * (u * u * 1.3f + v * v * 1.6f) - 0.05f * v;
      const float shade = (1 - 0.34f * soft.at(float(c), float(r))) * (1 - 0.42f * tight.at(float(c), float(r)));
      // Half a level of noise, so that the slow gradient shows no steps; fine paper grain is not drawn.
      const float grain = 1 + 0.0022f * hash_signed(7, c, r);
      const float light = pool * shade * grain;
      line[3 * c] = light * 1.004f, line[3 * c + 1] = light * 0.988f, line[3 * c + 2] = light * 0.955f;
    }
    srgb_bytes(line, std::span(image.rgb).subspan(size_t(r) * image.columns * 3, line.size()));
  }
}

}  // namespace etchcast
