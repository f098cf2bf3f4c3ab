// src/finish/glow.cpp — lights an etched row as a product photographer would: satin metal that rolls from light to
// shade, oxide nearly matt, flanks of the relief with a lit and a shaded side. Short loops over plain rows, so that
// each of them vectorises.
#include "finish/glow.hpp"

#include <algorithm>
#include <type_traits>

#include "base/clones.hpp"

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

/// A steel's plane of shares at a row, and its colours.
struct Part {
  const float* share;
  Surface surface;
};

/// Two steels at once, and all sums in one loop: shares are read once. The first ones begin the sums, later ones add to
/// them.
ETCHCAST_CLONES void add_parts(const Part& a, const Part& b, bool first, Stretch in, Mix& mix) {
  const float *share_a = a.share, *share_b = b.share, of_b = &a == &b ? 0.0f : 1.0f;
  const Surface in_a = a.surface, in_b = b.surface;
  float *total = mix.per_total.data(), *metal[3], *film[3];
  for (int ch = 0; ch < 3; ++ch) metal[ch] = mix.metal[ch].data(), film[ch] = mix.film[ch].data();
  const auto add = [=](auto begun) {
    const auto sum = [=](const float* to, int c, float of_a, float of_b) {
      return (begun ? to[c] : 0.0f) + share_a[c] * of_a + share_b[c] * of_b;
    };
#pragma GCC ivdep
    for (int c = in.from; c < in.to; ++c) {
      total[c] = (begun ? total[c] : 0.0f) + share_a[c] + of_b * share_b[c];
      for (size_t ch = 0; ch < 3; ++ch) {
        metal[ch][c] = sum(metal[ch], c, in_a.metal[ch], of_b * in_b.metal[ch]);
        film[ch][c] = sum(film[ch], c, in_a.film[ch], of_b * in_b.film[ch]);
      }
    }
  };
  first ? add(std::false_type()) : add(std::true_type());
}

/// What was ground after the etch is bright iron again, whatever the steel: one more steel's worth of scratches.
ETCHCAST_CLONES void bare_parts(const float* bare, Stretch in, Mix& mix) {
  int any = 0;
  for (int c = in.from; c < in.to; ++c) any += bare[c] != 0;
  if (any == 0) return;
  const Colour iron = colour_of(kIron);
  const float* total = mix.per_total.data();
  for (int ch = 0; ch < 3; ++ch) {
    float *metal = mix.metal[ch].data(), *film = mix.film[ch].data();
#pragma GCC ivdep
    for (int c = in.from; c < in.to; ++c) {
      metal[c] += bare[c] * (iron[ch] * total[c] - metal[c]);
      film[c] -= bare[c] * film[c];
    }
  }
}

/// Pixels without metal come out as 0; where shares add up to less than 1 the metal's own light is meant.
ETCHCAST_CLONES void turn_over(const float* mask, Stretch in, float* total) {
#pragma GCC ivdep
  for (int c = in.from; c < in.to; ++c) total[c] = mask[c] > 0 && total[c] > 0 ? 1 / total[c] : 0.0f;
}

}  // namespace

void Mix::fit_to(int columns) {
  for (int ch = 0; ch < 3; ++ch) fit(metal[ch], columns), fit(film[ch], columns);
  fit(per_total, columns);
}

void Lamps::fit_to(int columns) {
  for (Row* row : {&key, &spread, &flank}) fit(*row, columns);
}

void mix_row(const Field& field, const std::vector<Surface>& surfaces, size_t start, Stretch in, Mix& mix) {
  const size_t pixels = field.mask.size();
  const auto part = [&](int k) { return Part{&field.coverage[pixels * size_t(k) + start], surfaces[size_t(k)]}; };
  for (int k = 0; k < field.steels; k += 2) {
    const Part a = part(k);
    if (k + 1 < field.steels)
      add_parts(a, part(k + 1), k == 0, in, mix);
    else
      add_parts(a, a, k == 0, in, mix);
  }
  bare_parts(&field.bare[start], in, mix);
  turn_over(&field.mask[start], in, mix.per_total.data());
}

ETCHCAST_CLONES void fill_lamps(const Field& field, size_t start, Stretch in, const Studio& studio,
                                const Row& drift_row, float up_mm, const Marks& marks, Lamps& lamps) {
  const float *slope_right = &field.slope_right[start], *slope_up = &field.slope_up[start], *drift = drift_row.data();
  const float *wave_right = marks.wave_right.data(), *wave_up = marks.wave_up.data();
  float *key = lamps.key.data(), *spread = lamps.spread.data();
  const Studio here = studio;
#pragma GCC ivdep
  for (int c = in.from; c < in.to; ++c) {
    const Lit lit = here.at(drift[c], up_mm, slope_right[c] + wave_right[c], slope_up[c] + wave_up[c]);
    key[c] = lit.key;
    spread[c] = lit.spread;
  }
}

void mix_creases(const Field& field, size_t start, Stretch in, const Studio& studio, const Row& drift, float up_mm,
                 const Marks& marks, Lamps& lamps) {
  const auto from = std::ranges::lower_bound(field.creases, start + size_t(in.from), {}, &Field::Crease::pixel);
  for (auto crease = from; crease != field.creases.end() && crease->pixel < start + size_t(in.to); ++crease) {
    const size_t c = crease->pixel - start;
    const Lit lit = studio.at(drift[c], up_mm, field.slope_right[crease->pixel] + crease->right + marks.wave_right[c],
                              field.slope_up[crease->pixel] + crease->up + marks.wave_up[c]);
    lamps.key[c] += crease->share * (lit.key - lamps.key[c]);
    lamps.spread[c] += crease->share * (lit.spread - lamps.spread[c]);
  }
}

/// How far the relief's flanks face the lamp, -1 .. 1. Linear in the pixel's mean slope and as much lost on one flank
/// as is gained on the other, so that finer pixels add up to the same light. The lamp's middle stands to the upper
/// left, 30 degrees from straight up. Beyond the metal's edge a neighbour is taken as high as the pixel itself.
ETCHCAST_CLONES void fill_flanks(const Field& field, const std::vector<float>& heights, size_t start, Stretch in,
                                 Lamps& lamps) {
  const std::ptrdiff_t down = field.columns;
  const float *height = &heights[start], *mask = &field.mask[start];
  const float half_per_mm = float(0.5 / field.mm_per_px);
  float* flank = lamps.flank.data();
#pragma GCC ivdep
  for (std::ptrdiff_t c = in.from; c < in.to; ++c) {
    const float here = height[c];
    const float left = height[c - 1], right = height[c + 1], above = height[c - down], below = height[c + down];
    const float to_left = mask[c - 1] > 0 ? left - here : 0.0f, to_right = mask[c + 1] > 0 ? right - here : 0.0f;
    const float to_top = mask[c - down] > 0 ? above - here : 0.0f, to_foot = mask[c + down] > 0 ? below - here : 0.0f;
    const float facing = half_per_mm * (0.5f * (to_right - to_left) - 0.866f * (to_top - to_foot));
    flank[c] = std::clamp(facing, -1.0f, 1.0f);
  }
}

/// One colour channel of a row's metal and film, where both are lit alike in all channels but for the lamps' colours.
struct Channel {
  const float *metal, *film;
  float* out;
  float from_key, from_room, gloss;
  Channel(const Mix& mix, int ch, Row& row)
      : metal(mix.metal[ch].data()),
        film(mix.film[ch].data()),
        out(row.data()),
        from_key(kKeyStrength * kKey[size_t(ch)]),
        from_room(kRoomStrength * kRoom[size_t(ch)]),
        gloss(kGloss * kKey[size_t(ch)]) {}
  void light(int c, float key, float spread, float flank, float on_metal, float on_film, float per_total) const {
    const float lit = from_key * key + from_room;
    // A flank has little to gain where the metal mirrors the lamp's middle already, and little to lose in the dark.
    const float metal_light = lit * on_metal + kFlankOnMetal * flank * lit * (kBrightest - lit);
    const float film_light = spread * (on_film + kFlankOnFilm * flank) + gloss * key * key * key;
    out[c] = std::max((metal[c] * metal_light + film[c] * film_light) * per_total, 0.0f);
  }
};

ETCHCAST_CLONES void light_row(const Mix& mix, const Marks& marks, const Lamps& lamps, Stretch in, Row (&rgb)[3]) {
  const Channel red(mix, 0, rgb[0]), green(mix, 1, rgb[1]), blue(mix, 2, rgb[2]);
  const float *key = lamps.key.data(), *spread = lamps.spread.data(), *flank = lamps.flank.data();
  const float *streak = marks.streak.data(), *cloud = marks.cloud.data(), *per_total = mix.per_total.data();
#pragma GCC ivdep
  for (int c = in.from; c < in.to; ++c) {
    const float on_metal = 1 + kStreakOnMetal * streak[c] + kCloudOnMetal * cloud[c];
    const float on_film = 1 + kStreakOnFilm * streak[c] + kCloudOnFilm * cloud[c];
    red.light(c, key[c], spread[c], flank[c], on_metal, on_film, per_total[c]);
    green.light(c, key[c], spread[c], flank[c], on_metal, on_film, per_total[c]);
    blue.light(c, key[c], spread[c], flank[c], on_metal, on_film, per_total[c]);
  }
}

void plain_row(const Mix& mix, Stretch in, Row (&rgb)[3]) {
  for (size_t ch = 0; ch < 3; ++ch)
    for (size_t c = size_t(in.from); c < size_t(in.to); ++c)
      rgb[ch][c] = (mix.metal[ch][c] + mix.film[ch][c]) * mix.per_total[c];
}

}  // namespace etchcast
