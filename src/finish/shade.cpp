// src/finish/shade.cpp — windows lit row by row, and laid onto a picture.
#include <algorithm>
#include <cmath>
#include <cstring>

#include "base/clones.hpp"
#include "etchcast/picture.hpp"
#include "finish/glow.hpp"
#include "finish/relief.hpp"
#include "finish/srgb.hpp"

namespace etchcast {
namespace {

constexpr int kHalo = Field::kHalo;

/// Places are counted in 1/1024 px from the frame's origin and cut off at an odd offset: however windows are cut from
/// one grid, rounding in left_mm or top_mm then never changes a bit.
float snapped_mm(double origin_mm, double offset_px, double mm_per_px) {
  const double steps = std::floor((origin_mm / mm_per_px + offset_px) * 1024 + 0.3819660113);
  return float(steps / 1024 * mm_per_px);
}

int lit_columns(const Field& field) { return std::max(field.columns - 2 * kHalo, 0); }
int lit_rows(const Field& field) { return std::max(field.rows - 2 * kHalo, 0); }

/// From the first to the last pixel with metal, in whole blocks: they may reach beyond the last column, and what lies
/// there in the field (halo, and the next row's) is lit for nothing.
Stretch metal_in(const float* mask, int columns) {
  int from = 0, to = columns;
  while (from < to && mask[from] <= 0) ++from;
  while (from < to && mask[to - 1] <= 0) --to;
  return from < to ? Stretch{from / kBlock * kBlock, whole_blocks(to)} : Stretch{0, 0};
}

/// Is every pixel metal to its edges?
ETCHCAST_CLONES bool whole(const float* mask, Stretch in) {
  int parts = 0;
  for (int c = in.from; c < in.to; ++c) parts += mask[c] < 1;
  return parts == 0;
}

}  // namespace

/// The rows that are worked on, and what does not change between windows.
struct Lighting::Desk {
  const std::vector<Steel> steels;
  const EtchPlan etch;
  const Scratches scratches;
  const bool plain;
  std::vector<Surface> surfaces;
  Relief relief;
  Marks marks;
  Mix mix;
  Lamps lamps;
  Row right_mm, drift, rgb[3];
  Pixels pixels;
  struct Columns {
    int count = 0;
    double left_mm = 0, mm_per_px = 0;
    bool operator==(const Columns&) const = default;
  } begun;
  std::vector<std::uint8_t> bytes;

  /// Lights the rows that have metal and gives each away: use(row, its metal, index of its first pixel in the field).
  template <class Use>
  void each_row(const Field& field, Use use) {
    begin(field);
    for (int r = 0; r < lit_rows(field); ++r) {
      const size_t start = field.index(r + kHalo, kHalo);
      const Stretch in = metal_in(&field.mask[start], lit_columns(field));
      if (in.from == in.to) continue;
      light(field, r, start, in);
      use(r, Stretch{in.from, std::min(in.to, lit_columns(field))}, start);
    }
  }

  void begin(const Field& field) {
    const int columns = whole_blocks(lit_columns(field));
    if (!plain) relief.etch(field, steels, etch);
    // Windows one below another are alike in all that follows.
    const Columns here{columns, field.left_mm, field.mm_per_px};
    if (here == begun) return;
    begun = here;
    for (Row* row : {&right_mm, &drift, &rgb[0], &rgb[1], &rgb[2]}) fit(*row, columns);
    mix.fit_to(columns);
    if (plain) return;
    lamps.fit_to(columns);
    for (int c = 0; c < columns; ++c) {
      right_mm[size_t(c)] = snapped_mm(field.left_mm, c + kHalo + 0.5, field.mm_per_px);
      drift[size_t(c)] = Studio::drift(right_mm[size_t(c)]);
    }
    marks.begin(std::span(right_mm).first(size_t(columns)), float(field.mm_per_px), scratches);
  }

  void light(const Field& field, int r, size_t start, Stretch in) {
    mix_row(field, surfaces, start, in, mix);
    if (plain) return plain_row(mix, in, rgb);
    const float up_mm = -snapped_mm(-field.top_mm, r + kHalo + 0.5, field.mm_per_px);
    marks.fill(up_mm, in);
    const Studio studio(scratches);
    fill_lamps(field, start, in, studio, drift, up_mm, marks, lamps);
    mix_creases(field, start, in, studio, drift, up_mm, marks, lamps);
    fill_flanks(field, relief.height, start, in, lamps);
    light_row(mix, marks, lamps, in, rgb);
  }

  /// Bytes of a stretch of the row to their place. A pixel partly metal keeps its ground's light for the rest.
  void lay(const float* mask, Stretch in, std::uint8_t* to) {
    pixels.begin(rgb, {in.from, in.from + whole_blocks(in.to - in.from)});
    if (whole(mask, in)) return pixels.write(in, to);
    bytes.resize(3 * rgb[0].size());
    pixels.write(in, bytes.data());
    const std::uint8_t* from = bytes.data();
    for (int c = in.from; c < in.to; ++c, to += 3, from += 3) {
      if (mask[c] >= 1) {
        std::memcpy(to, from, 3);
      } else if (mask[c] > 0) {
        for (int k = 0; k < 3; ++k) to[k] = srgb_byte(mask[c] * rgb[k][size_t(c)] + (1 - mask[c]) * linear_of(to[k]));
      }
    }
  }
};

Lighting::Lighting(std::vector<Steel> steels, EtchPlan etch, Scratches scratches, bool plain)
    : desk_(new Desk{std::move(steels), etch, scratches, plain, {}, {}, {}, {}, {}, {}, {}, {}, {}, {}, {}}) {
  for (const Steel& steel : desk_->steels) desk_->surfaces.push_back(surface_of(steel, etch.finish));
}

Lighting::~Lighting() = default;

Light Lighting::light(const Field& field) {
  Light light{lit_columns(field), lit_rows(field), {}};
  light.rgb.resize(size_t(3) * size_t(light.columns) * size_t(light.rows));
  if (light.rgb.empty()) return light;
  desk_->each_row(field, [&](int r, Stretch in, size_t) {
    float* out = &light.rgb[size_t(3) * size_t(light.columns) * size_t(r)];
    for (int c = in.from; c < in.to; ++c)
      for (int ch = 0; ch < 3; ++ch) out[3 * c + ch] = desk_->rgb[ch][size_t(c)];
  });
  return light;
}

void Lighting::lay(const Field& field, Image& image, int column, int row) {
  if (lit_columns(field) == 0) return;
  desk_->each_row(field, [&](int r, Stretch in, size_t start) {
    const int y = row + r;
    if (y < 0 || y >= image.rows) return;
    in = {std::max(in.from, -column), std::min(in.to, image.columns - column)};
    if (in.from >= in.to) return;
    desk_->lay(&field.mask[start], in, &image.rgb[(size_t(y) * size_t(image.columns) + size_t(column + in.from)) * 3]);
  });
}

Light shade(const Field& field, const std::vector<Steel>& steels, const EtchPlan& etch, Scratches scratches,
            bool plain) {
  return Lighting(steels, etch, scratches, plain).light(field);
}

}  // namespace etchcast
