// src/finish/shade.cpp — lights an etched surface as a product photographer would: satin metal that rolls from light to
// shade, oxide nearly matt, flanks of the relief with a lit and a shaded side.
#include <algorithm>
#include <cmath>

#include "etchcast/picture.hpp"
#include "finish/reflectance.hpp"
#include "finish/scratches.hpp"
#include "finish/studio.hpp"

namespace etchcast {
namespace {

/// Colours of the lamps. A photographer balances white on the steel: under the softbox iron comes out barely warm, and
/// where the metal mirrors the room instead it turns cool.
constexpr Colour kKey{0.975f, 1.0f, 1.025f}, kRoom{0.86f, 1.0f, 1.15f};
constexpr float kKeyStrength = 1.44f, kRoomStrength = 0.20f;

constexpr float kStreakOnMetal = 0.17f, kStreakOnFilm = 0.10f;
constexpr float kCloudOnMetal = 0.05f, kCloudOnFilm = 0.36f;
constexpr float kFlankOnMetal = 0.60f, kFlankOnFilm = 0.7f;  ///< share gained by a flank of slope 1 facing the lamp
constexpr float kBrightest = 1.85f;  ///< more than the lamps give anywhere: key and room at full
constexpr float kGloss = 0.75f;      ///< gain of the film where the lamp mirrors in it: its grains are not quite rough

/// Places are counted in 1/1024 px from the frame's origin and cut off at an odd offset: however windows are cut from
/// one grid, rounding in left_mm or top_mm then never changes a bit.
float snapped_mm(double origin_mm, double offset_px, double mm_per_px) {
  const double steps = std::floor((origin_mm / mm_per_px + offset_px) * 1024 + 0.3819660113);
  return float(steps / 1024 * mm_per_px);
}

/// Sums over the steels of one row.
struct Mix {
  std::vector<float> metal[3], film[3], total;
  explicit Mix(int count) : total(count) {
    for (int ch = 0; ch < 3; ++ch) metal[ch].resize(count), film[ch].resize(count);
  }
};

void mix_row(const Field& field, const std::vector<Surface>& surfaces, size_t start, Mix& mix) {
  const size_t pixels = size_t(field.columns) * field.rows, count = mix.total.size();
  std::fill(mix.total.begin(), mix.total.end(), 0.0f);
  for (int ch = 0; ch < 3; ++ch) {
    std::fill(mix.metal[ch].begin(), mix.metal[ch].end(), 0.0f);
    std::fill(mix.film[ch].begin(), mix.film[ch].end(), 0.0f);
  }
  for (int k = 0; k < field.steels; ++k) {
    const float* share = &field.coverage[pixels * k + start];
    for (size_t c = 0; c < count; ++c) mix.total[c] += share[c];
    for (int ch = 0; ch < 3; ++ch) {
      const float metal = surfaces[k].metal[ch], film = surfaces[k].film[ch];
      float *metal_row = mix.metal[ch].data(), *film_row = mix.film[ch].data();
      for (size_t c = 0; c < count; ++c) metal_row[c] += share[c] * metal, film_row[c] += share[c] * film;
    }
  }
  // What was ground after the etch is bright iron again, whatever the steel: one more steel's worth of scratches.
  const Colour iron = colour_of(kIron);
  const float* bare = &field.bare[start];
  for (int ch = 0; ch < 3; ++ch) {
    float *metal_row = mix.metal[ch].data(), *film_row = mix.film[ch].data();
    for (size_t c = 0; c < count; ++c) {
      metal_row[c] += bare[c] * (iron[ch] * mix.total[c] - metal_row[c]);
      film_row[c] -= bare[c] * film_row[c];
    }
  }
  // Pixels without metal come out as 0; where shares add up to less than 1 the metal's own light is meant.
  for (size_t c = 0; c < count; ++c) {
    const float total = mix.total[c];
    mix.total[c] = field.mask[start + c] > 0 && total > 0 ? 1 / total : 0.0f;
  }
}

struct Scene {
  const Field& field;
  const std::vector<float>& height;
  Studio studio;
};

/// What lights one row, channel by channel: short loops over few arrays, so that each of them vectorises.
struct Lamps {
  std::vector<float> key, spread, flank, channel;
  explicit Lamps(int count) : key(count), spread(count), flank(count), channel(count) {}
};

void fill_lamps(const Scene& scene, size_t start, const float* drift, float up_mm, const Marks& marks, Lamps& lamps) {
  const float *slope_right = &scene.field.slope_right[start], *slope_up = &scene.field.slope_up[start];
  const float *wave_right = marks.wave_right.data(), *wave_up = marks.wave_up.data();
  float *key = lamps.key.data(), *spread = lamps.spread.data();
  const Studio studio = scene.studio;
  const int count = int(lamps.key.size());
  for (int c = 0; c < count; ++c) {
    const Lit lit = studio.at(drift[c], up_mm, slope_right[c] + wave_right[c], slope_up[c] + wave_up[c]);
    key[c] = lit.key;
    spread[c] = lit.spread;
  }
}

/// How far the relief's flanks face the lamp, -1 .. 1. Linear in the pixel's mean slope and as much lost on one flank
/// as is gained on the other, so that finer pixels add up to the same light. The lamp's middle stands to the upper
/// left, 30 degrees from straight up. Beyond the metal's edge a neighbour is taken as high as the pixel itself.
void fill_flanks(const Scene& scene, size_t start, Lamps& lamps) {
  const std::ptrdiff_t down = scene.field.columns;
  const float *height = &scene.height[start], *mask = &scene.field.mask[start];
  const float half_per_mm = float(0.5 / scene.field.mm_per_px);
  const auto count = std::ptrdiff_t(lamps.flank.size());
  float* flank = lamps.flank.data();
  for (std::ptrdiff_t c = 0; c < count; ++c) {
    const float here = height[c];
    const float left = height[c - 1], right = height[c + 1], above = height[c - down], below = height[c + down];
    const float to_left = mask[c - 1] > 0 ? left - here : 0.0f, to_right = mask[c + 1] > 0 ? right - here : 0.0f;
    const float to_top = mask[c - down] > 0 ? above - here : 0.0f, to_foot = mask[c + down] > 0 ? below - here : 0.0f;
    const float facing = half_per_mm * (0.5f * (to_right - to_left) - 0.866f * (to_top - to_foot));
    flank[c] = std::clamp(facing, -1.0f, 1.0f);
  }
}

/// One colour channel of a row.
void light_channel(const Mix& mix, const Marks& marks, int ch, Lamps& lamps) {
  const float *metal = mix.metal[ch].data(), *film = mix.film[ch].data(), *per_total = mix.total.data();
  const float *key = lamps.key.data(), *spread = lamps.spread.data(), *flank = lamps.flank.data();
  const float *streak = marks.streak.data(), *cloud = marks.cloud.data();
  const float from_key = kKeyStrength * kKey[ch], from_room = kRoomStrength * kRoom[ch], gloss = kGloss * kKey[ch];
  float* out = lamps.channel.data();
  const size_t count = lamps.channel.size();
  for (size_t c = 0; c < count; ++c) {
    const float on_metal = 1 + kStreakOnMetal * streak[c] + kCloudOnMetal * cloud[c];
    const float on_film = 1 + kStreakOnFilm * streak[c] + kCloudOnFilm * cloud[c];
    const float lit = from_key * key[c] + from_room;
    // A flank has little to gain where the metal mirrors the lamp's middle already, and little to lose in the dark.
    const float metal_light = lit * on_metal + kFlankOnMetal * flank[c] * lit * (kBrightest - lit);
    const float film_light = spread[c] * (on_film + kFlankOnFilm * flank[c]) + gloss * key[c] * key[c] * key[c];
    out[c] = std::max((metal[c] * metal_light + film[c] * film_light) * per_total[c], 0.0f);
  }
}

/// One row of light into `out`, rgb interleaved.
void light_row(const Scene& scene, size_t start, const float* drift, float up_mm, const Marks& marks, const Mix& mix,
               Lamps& lamps, float* out) {
  fill_lamps(scene, start, drift, up_mm, marks, lamps);
  fill_flanks(scene, start, lamps);
  for (int ch = 0; ch < 3; ++ch) {
    light_channel(mix, marks, ch, lamps);
    for (size_t c = 0; c < lamps.channel.size(); ++c) out[3 * c + ch] = lamps.channel[c];
  }
}

void plain_row(const Mix& mix, float* out) {
  for (size_t c = 0; c < mix.total.size(); ++c) {
    for (int ch = 0; ch < 3; ++ch) out[3 * c + ch] = (mix.metal[ch][c] + mix.film[ch][c]) * mix.total[c];
  }
}

}  // namespace

Light shade(const Field& field, const std::vector<Steel>& steels, const EtchPlan& etch, Scratches scratches,
            bool plain) {
  constexpr int kHalo = Field::kHalo;
  Light light{std::max(field.columns - 2 * kHalo, 0), std::max(field.rows - 2 * kHalo, 0), {}};
  light.rgb.resize(size_t(3) * light.columns * light.rows);
  if (light.rgb.empty()) return light;

  std::vector<Surface> surfaces;
  for (int k = 0; k < field.steels; ++k) surfaces.push_back(surface_of(steels[k], etch.finish));
  const std::vector<float> height = plain ? std::vector<float>{} : etched_height(field, steels, etch);
  std::vector<float> right_mm(light.columns), drift(light.columns);
  for (int c = 0; c < light.columns; ++c) {
    right_mm[c] = snapped_mm(field.left_mm, c + kHalo + 0.5, field.mm_per_px);
    drift[c] = Studio::drift(right_mm[c]);
  }
  const Scene scene{field, height, Studio(scratches)};
  Marks marks(light.columns);
  Mix mix(light.columns);
  Lamps lamps(light.columns);
  for (int r = 0; r < light.rows; ++r) {
    const size_t start = field.index(r + kHalo, kHalo);
    float* out = &light.rgb[size_t(3) * light.columns * r];
    mix_row(field, surfaces, start, mix);
    if (plain) {
      plain_row(mix, out);
      continue;
    }
    const float up_mm = -snapped_mm(-field.top_mm, r + kHalo + 0.5, field.mm_per_px);
    mark_row(right_mm.data(), up_mm, float(field.mm_per_px), scratches, marks);
    light_row(scene, start, drift.data(), up_mm, marks, mix, lamps, out);
  }
  return light;
}

}  // namespace etchcast
