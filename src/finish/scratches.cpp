// src/finish/scratches.cpp — streaks, waviness and clouds by stateless noise. Sizes and strengths are ours, set by eye
// against what 400-2000 grit hand sanding looks like; no source gives figures.
#include "finish/scratches.hpp"

#include <algorithm>

#include "base/noise.hpp"

namespace etchcast {
namespace {

/// A family of scratches of one width: parallel tracks, each broken into lengths of random strength.
struct Streaks {
  std::uint32_t seed;
  float width_mm, length_mm;
  float lean;  ///< tangent of the angle to the blade: hands do not run parallel
  float strength;
};
constexpr Streaks kStreaks[] = {
    {101, 0.011f, 2.6f, 0.004f, 0.50f},  {102, 0.023f, 4.1f, -0.007f, 0.50f}, {103, 0.047f, 6.7f, 0.010f, 0.45f},
    {104, 0.103f, 9.5f, -0.003f, 0.36f}, {105, 0.260f, 16.f, 0.006f, 0.27f},  {106, 0.71f, 31.f, -0.005f, 0.20f},
};

/// Isotropic patches: `size_mm` is the lattice's pitch.
struct Patches {
  std::uint32_t seed;
  float size_mm, strength;
};
constexpr Patches kClouds[] = {
    {201, 0.017f, 0.55f}, {202, 0.039f, 0.50f}, {203, 0.11f, 0.30f}, {204, 0.7f, 0.25f}, {205, 4.7f, 0.45f}};

/// 1 while a feature spans two pixels or more, 0 from two thirds of a pixel down, smooth between.
float visible(float size_mm, float mm_per_px) { return ease(std::clamp(1.5f - mm_per_px / size_mm, 0.0f, 1.0f)); }

/// Strength of track `track` at `along` (in lengths): few strong scratches, many faint, hence the square.
inline float scratch(std::uint32_t seed, std::int32_t track, float along) {
  const std::uint32_t bits = hash_bits(seed, track);
  const float at = along + 0.5f * signed_unit(bits);  // ends of neighbouring tracks do not line up
  const std::int32_t i = floor_whole(at);
  const std::uint32_t node = bits + std::uint32_t(i) * kStride;
  const float from = signed_unit(mix_bits(node)), to = signed_unit(mix_bits(node + kStride));
  const float value = from + ease(at - float(i)) * (to - from);
  return value * std::abs(value) * 1.6f;
}

/// Adds a family. `a` runs along the scratches, `b` across; both may change along the row. A pixel averages the one or
/// two tracks under it by the exact share of its width.
template <typename Place>
void add_streaks(const Streaks& family, float mm_per_px, int count, Place place, float* out) {
  const float strength = family.strength * visible(family.width_mm, mm_per_px);
  if (strength <= 0) return;
  const float per_length = 1 / family.length_mm, per_width = 1 / family.width_mm;
  const float span = std::min(mm_per_px * per_width, 1.0f), per_span = 1 / span;
  for (int c = 0; c < count; ++c) {
    const auto [along, across] = place(c);
    const float low = (across + along * family.lean) * per_width - 0.5f * span;
    const std::int32_t track = floor_whole(low);
    const float above = std::max((low + span - float(track + 1)) * per_span, 0.0f);
    const float first = scratch(family.seed, track, along * per_length);
    const float second = scratch(family.seed, track + 1, along * per_length);
    out[c] += strength * (first + above * (second - first));
  }
}

void fill_streaks(const float* right_mm, float up_mm, float mm_per_px, Scratches direction, Marks& marks) {
  const int count = int(marks.streak.size());
  std::fill(marks.streak.begin(), marks.streak.end(), 0.0f);
  struct At {
    float along, across;
  };
  for (const Streaks& family : kStreaks) {
    if (direction == Scratches::along) {
      add_streaks(
          family, mm_per_px, count,
          [=](int c) {
            return At{right_mm[c], up_mm};
          },
          marks.streak.data());
    } else if (direction == Scratches::across) {
      add_streaks(
          family, mm_per_px, count,
          [=](int c) {
            return At{up_mm, right_mm[c]};
          },
          marks.streak.data());
    }
  }
}

/// A block or a finger never leaves a true plane: fractions of a degree over centimetres along, millimetres across.
void fill_waves(const float* right_mm, float up_mm, Marks& marks) {
  constexpr float kRight = 0.0030f, kUp = 0.0042f;  // 0.17 and 0.24 degrees, peak
  for (size_t c = 0; c < marks.wave_up.size(); ++c) {
    marks.wave_right[c] = kRight * smooth_noise(301, right_mm[c] / 23.0f, up_mm / 9.0f);
    marks.wave_up[c] = kUp * (smooth_noise(302, right_mm[c] / 29.0f, up_mm / 6.5f) +
                              0.35f * smooth_noise(303, right_mm[c] / 9.0f, up_mm / 2.3f));
  }
}

}  // namespace

// Nearly all of the shading's time is spent here, in 32-bit products that plain x86-64 has no vector instruction for: a
// second version for AVX2 brings shade() from 87 to 30 ns a pixel. Same bits, as no product is fused with a sum.
#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__) && !defined(__AVX2__)
[[gnu::target_clones("avx2", "default"), gnu::flatten]]
#endif
void mark_row(const float* right_mm, float up_mm, float mm_per_px, Scratches direction, Marks& marks) {
  fill_streaks(right_mm, up_mm, mm_per_px, direction, marks);
  fill_waves(right_mm, up_mm, marks);
  std::fill(marks.cloud.begin(), marks.cloud.end(), 0.0f);
  for (const Patches& patches : kClouds) {
    const float strength = patches.strength * visible(patches.size_mm, mm_per_px), per_mm = 1 / patches.size_mm;
    if (strength <= 0) continue;
    // A lattice turned by atan(3/4): the eye finds rows that run with the picture's own.
    const float right_per_mm = 0.8f * per_mm, up_per_mm = 0.6f * per_mm;
    for (size_t c = 0; c < marks.cloud.size(); ++c) {
      const float u = right_mm[c] * right_per_mm - up_mm * up_per_mm;
      const float v = right_mm[c] * up_per_mm + up_mm * right_per_mm;
      marks.cloud[c] += strength * smooth_noise(patches.seed, u, v);
    }
  }
}

}  // namespace etchcast
