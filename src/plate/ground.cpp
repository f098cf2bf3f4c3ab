// The card under the blade, its light and the shadows.
#include <algorithm>
#include <cmath>

#include "base/clones.hpp"
#include "base/noise.hpp"
#include "coverage/mask.hpp"
#include "plate/plate.hpp"

namespace etchcast {

namespace {

/// Shadow at a coarse raster: soft things need few pixels.
struct Shadow {
  int cell = 8, columns = 0, rows = 0;
  std::vector<float> dark;
};

/// Where a pixel lies between the middles of a shadow's cells: after cell `first`, `share` of the way to the next.
struct Between {
  int first;
  float share;
};
Between between(int pixel, int cell, int cells) {
  const float at = std::clamp(float(pixel) / cell - 0.5f, 0.0f, cells - 1.001f);
  return {int(at), at - int(at)};
}

/// A shadow drawn out to rows of pixels. A row of cells is drawn out once for all rows of pixels beside it.
class Drawn {
 public:
  Drawn(const Shadow& shadow, int columns) : shadow_(shadow), places_(size_t(columns)) {
    for (int c = 0; c < columns; ++c) places_[size_t(c)] = between(c, shadow.cell, shadow.columns);
    for (Line& line : lines_) line.dark.resize(size_t(columns));
  }
  /// What lies over and under a row of pixels, with the share of what lies under.
  struct Row {
    const float *over, *under;
    float share;
  };
  Row row(int pixel) {
    const Between at = between(pixel, shadow_.cell, shadow_.rows);
    const float* over = line(at.first);
    return {over, line(at.first + 1), at.share};
  }

 private:
  struct Line {
    int row = -1;
    std::vector<float> dark;
  };
  const float* line(int row) {
    Line& line = lines_[row % 2];
    if (line.row == row) return line.dark.data();
    line.row = row;
    const float* cells = &shadow_.dark[size_t(row) * size_t(shadow_.columns)];
    for (size_t c = 0; c < places_.size(); ++c) {
      const float *p = cells + places_[c].first, a = places_[c].share;
      line.dark[c] = p[0] * (1 - a) + p[1] * a;
    }
    return line.dark.data();
  }
  const Shadow& shadow_;
  std::vector<Between> places_;
  Line lines_[2];
};

/// Mean of each value and `radius` ones either side of it, along a line of `n`; beyond its ends all is 0.
void blur_line(float* values, int n, int radius, std::vector<float>& line) {
  double sum = 0;
  for (int i = 0; i <= radius && i < n; ++i) sum += values[i];
  for (int i = 0; i < n; ++i) {
    line[size_t(i)] = float(sum / (2 * radius + 1));
    const int leaves = i - radius, enters = i + radius + 1;
    sum += (enters < n ? values[enters] : 0) - (leaves >= 0 ? values[leaves] : 0);
  }
  std::copy_n(line.begin(), n, values);
}

/// The same down all columns side by side: down one after another every value would come from afar.
ETCHCAST_CLONES void blur_columns(std::vector<float>& v, int columns, int rows, int radius) {
  std::vector<double> sums(size_t(columns), 0.0);
  std::vector<float> none(size_t(columns), 0.0f), kept(size_t(columns) * size_t(radius + 1));
  const auto row = [&](int r) { return r >= 0 && r < rows ? &v[size_t(r) * size_t(columns)] : none.data(); };
  const auto keep = [&](int r) {
    return &kept[size_t(r % (radius + 1)) * size_t(columns)];
  };  // until no sum needs row r
  double* sum = sums.data();
  for (int r = 0; r <= radius; ++r)
    for (int c = 0; c < columns; ++c) sum[c] += row(r)[c];
  for (int r = 0; r < rows + radius; ++r) {
    if (r < rows) {
      const float *enters = row(r + radius + 1), *leaves = row(r - radius);
      float* mean = keep(r);
#pragma GCC ivdep
      for (int c = 0; c < columns; ++c) {
        mean[c] = float(sum[c] / (2 * radius + 1));
        sum[c] += enters[c] - leaves[c];
      }
    }
    if (r >= radius) std::copy_n(keep(r - radius), columns, row(r - radius));
  }
}

void box_blur(std::vector<float>& v, int columns, int rows, int radius) {
  std::vector<float> line(size_t(columns), 0.0f);
  for (int j = 0; j < rows; ++j) blur_line(&v[size_t(j) * size_t(columns)], columns, radius, line);
  blur_columns(v, columns, rows, radius);
}

/// A broad shadow from the soft light and a narrow one where metal meets the card.
Shadow cast_shadow(const Image& image, const std::vector<Panel>& panels, double reach_px, double drop_px) {
  Shadow s;
  s.cell = std::max(2, int(reach_px / 4));
  s.columns = image.columns / s.cell + 2, s.rows = image.rows / s.cell + 2;
  s.dark.assign(size_t(s.columns) * s.rows, 0);
  const double mm_per_cell = s.cell / image.px_per_mm;
  for (const Panel& panel : panels) {
    Grid grid{-panel.column / image.px_per_mm, panel.view->height() + (panel.row + drop_px) / image.px_per_mm,
              mm_per_cell, s.columns, s.rows};
    const auto mask = polygon_mask(panel.view->outline(), grid);
    for (size_t i = 0; i < mask.size(); ++i) s.dark[i] = std::max(s.dark[i], mask[i]);
  }
  for (int round = 0; round < 3; ++round) box_blur(s.dark, s.columns, s.rows, 2);
  return s;
}

/// Columns [from, to) of a row.
struct Stretch {
  int from, to;
};

/// What of each row will be covered by whole tiles of metal, so that no ground shows there.
std::vector<std::vector<Stretch>> covered_rows(const Image& image, const std::vector<Panel>& panels) {
  std::vector<std::vector<Stretch>> covered(size_t(image.rows));
  for (const Panel& panel : panels)
    for (const Tile& tile : tiles_of(panel_columns(panel, image.px_per_mm), panel_rows(panel, image.px_per_mm))) {
      const Grid grid{tile.column / image.px_per_mm, panel.view->height() - tile.row / image.px_per_mm,
                      1 / image.px_per_mm, tile.columns, tile.rows};
      if (!covers(panel.view->outline(), grid)) continue;
      const int from = panel.column + tile.column, top = panel.row + tile.row;
      for (int r = std::max(top, 0); r < std::min(top + tile.rows, image.rows); ++r) {
        std::vector<Stretch>& row = covered[size_t(r)];
        if (!row.empty() && row.back().to == from)
          row.back().to += tile.columns;
        else
          row.push_back({from, from + tile.columns});
      }
    }
  for (auto& row : covered) std::ranges::sort(row, {}, &Stretch::from);
  return covered;
}

/// The lamp stands above left; the card falls off gently away from it. `across` is the fall-off by column.
ETCHCAST_CLONES void light_card(const float* across, float down, const Drawn::Row& soft, const Drawn::Row& tight,
                                int row, Stretch in, float* rgb) {
  const float down_fall = down * down * 1.6f, tilt = 0.05f * down;
  const float *soft_over = soft.over, *soft_under = soft.under, *tight_over = tight.over, *tight_under = tight.under;
  const float of_soft = soft.share, of_tight = tight.share;
#pragma GCC ivdep
  for (int c = in.from; c < in.to; ++c) {
    const float pool = 0.70f - 0.16f * (across[c] + down_fall) - tilt;
    const float broad = soft_over[c] * (1 - of_soft) + soft_under[c] * of_soft;
    const float narrow = tight_over[c] * (1 - of_tight) + tight_under[c] * of_tight;
    const float shade = (1 - 0.34f * broad) * (1 - 0.42f * narrow);
    // Half a level of noise, so that the slow gradient shows no steps; fine paper grain is not drawn.
    const float light = pool * shade * (1 + 0.0022f * hash_signed(7, c, row));
    float* to = rgb + 3 * (c - in.from);
    to[0] = light * 1.004f, to[1] = light * 0.988f, to[2] = light * 0.955f;
  }
}

}  // namespace

void lay_ground(Image& image, const std::vector<Panel>& panels) {
  const double mm = image.px_per_mm, size = std::hypot(image.columns, image.rows);
  // Where a picture is so coarse that the bounds cross, the one in mm holds.
  const double broad = std::min(std::max(size / 60, 6.0), 3.0 * mm);
  const double narrow = std::min(std::max(size / 300, 2.0), 0.8 * mm);
  const Shadow soft = cast_shadow(image, panels, broad, broad * 0.7),
               tight = cast_shadow(image, panels, narrow, narrow * 0.6);
  const auto covered = covered_rows(image, panels);
  std::vector<float> across(size_t(image.columns));
  for (int c = 0; c < image.columns; ++c) {
    const float u = c / float(image.columns) - 0.42f;
    across[size_t(c)] = u * u * 1.3f;
  }
#pragma omp parallel
  {
    Drawn broad_drawn(soft, image.columns), narrow_drawn(tight, image.columns);
    constexpr int kPart = 512;
    float light[3 * kPart];
#pragma omp for schedule(dynamic, 32)
    for (int r = 0; r < image.rows; ++r) {
      const Drawn::Row over = broad_drawn.row(r), close = narrow_drawn.row(r);
      const auto lay = [&](int from, int to) {
        for (; from < to; from += kPart) {
          const Stretch part{from, std::min(from + kPart, to)};
          const auto values = size_t(part.to - part.from) * 3;
          light_card(across.data(), r / float(image.rows) - 0.30f, over, close, r, part, light);
          srgb_bytes(std::span(light, values),
                     std::span(&image.rgb[(size_t(r) * image.columns + part.from) * 3], values));
        }
      };
      int from = 0;
      for (const Stretch& metal : covered[size_t(r)]) lay(from, metal.from), from = std::max(from, metal.to);
      lay(from, image.columns);
    }
  }
}

}  // namespace etchcast
