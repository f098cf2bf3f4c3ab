// src/finish/scratches.cpp — streaks, waviness and clouds by stateless noise. Sizes and strengths are ours, set by eye
// against what 400-2000 grit hand sanding looks like; no source gives figures.
#include "finish/scratches.hpp"

#include <algorithm>

#include "base/clones.hpp"
#include "base/noise.hpp"
#include "finish/runs.hpp"

namespace etchcast {
namespace {

/// A family of scratches of one width: parallel tracks, each broken into lengths of random strength.
struct Streaks {
  std::uint32_t seed;
  float width_mm, length_mm;
  float lean;  ///< tangent of the angle to the blade: hands do not run parallel
  float strength;
};
constexpr std::array<Streaks, 6> kStreaks{{
    {101, 0.011f, 2.6f, 0.004f, 0.50f},
    {102, 0.023f, 4.1f, -0.007f, 0.50f},
    {103, 0.047f, 6.7f, 0.010f, 0.45f},
    {104, 0.103f, 9.5f, -0.003f, 0.36f},
    {105, 0.260f, 16.f, 0.006f, 0.27f},
    {106, 0.71f, 31.f, -0.005f, 0.20f},
}};

/// Isotropic patches: `size_mm` is the lattice's pitch.
struct Patches {
  std::uint32_t seed;
  float size_mm, strength;
};
constexpr Patches kClouds[] = {
    {201, 0.017f, 0.55f}, {202, 0.039f, 0.50f}, {203, 0.11f, 0.30f}, {204, 0.7f, 0.25f}, {205, 4.7f, 0.45f}};

/// 1 while a feature spans two pixels or more, 0 from two thirds of a pixel down, smooth between.
float visible(float size_mm, float mm_per_px) { return ease(std::clamp(1.5f - mm_per_px / size_mm, 0.0f, 1.0f)); }

/// From the noise of a track to its strength: few strong scratches, many faint, hence the square.
inline float strength_of(float value) { return value * std::abs(value) * 1.6f; }

/// Strength of track `track` at `along` (in lengths).
inline float scratch(std::uint32_t seed, std::int32_t track, float along) {
  const std::uint32_t bits = hash_bits(seed, track);
  const float at = along + 0.5f * signed_unit(bits);  // ends of neighbouring tracks do not line up
  const std::int32_t i = floor_whole(at);
  const std::uint32_t node = bits + std::uint32_t(i) * kStride;
  const float from = signed_unit(mix_bits(node)), to = signed_unit(mix_bits(node + kStride));
  return strength_of(from + ease(at - float(i)) * (to - from));
}

/// A family seen through pixels of one size. A pixel averages the one or two tracks under it by the exact share of its
/// width.
struct Seen {
  std::uint32_t seed;
  float lean, per_length, per_width, span, per_span, strength, mm_per_px;
  Seen(const Streaks& family, float pixel)
      : seed(family.seed),
        lean(family.lean),
        per_length(1 / family.length_mm),
        per_width(1 / family.width_mm),
        span(std::min(pixel * per_width, 1.0f)),
        per_span(1 / span),
        strength(family.strength * visible(family.width_mm, pixel)),
        mm_per_px(pixel) {}
  /// The lower end of a pixel, in tracks.
  float low(float along, float across) const { return (across + along * lean) * per_width - 0.5f * span; }
  float above(float low, std::int32_t track) const {
    return std::max((low + span - float(track + 1)) * per_span, 0.0f);
  }
};

/// scratch() for one track along a row, hashed once a length.
inline void fill_track(const Seen& seen, std::int32_t track, int count, const float* right_mm, float* out) {
  const std::uint32_t bits = hash_bits(seen.seed, track);
  const float shift = 0.5f * signed_unit(bits);
  const auto at = [=](int c) { return right_mm[c] * seen.per_length + shift; };
  for_runs({0, count}, seen.mm_per_px * seen.per_length, at, [&](Stretch run, std::int32_t i) {
    const std::uint32_t node = bits + std::uint32_t(i) * kStride;
    const float from = signed_unit(mix_bits(node)), rise = signed_unit(mix_bits(node + kStride)) - from;
    const int end = run.from + whole_blocks(run.to - run.from);
#pragma GCC ivdep
    for (int c = run.from; c < end; ++c) out[c] = strength_of(from + ease(at(c) - float(i)) * rise);
  });
}

inline const float* track_row(const Seen& seen, std::int32_t track, const Marks& marks, Tracks& tracks) {
  const size_t slot = std::uint32_t(track) % Tracks::kKept;
  float* row = tracks.strength[slot].data();
  if (tracks.number[slot] != track) fill_track(seen, track, marks.count, marks.right_mm.data(), row);
  tracks.number[slot] = track;
  return row;
}

/// Adds a family whose scratches run along the row: a track is left only after dozens of pixels.
ETCHCAST_CLONES void add_along(const Seen& seen, Stretch in, float up_mm, Tracks& tracks, Marks& marks) {
  const float *right_mm = marks.right_mm.data(), *before = marks.streak.data();
  float* after = marks.work.data();
  const auto low = [=](int c) { return seen.low(right_mm[c], up_mm); };
  for_runs(in, seen.mm_per_px * seen.lean * seen.per_width, low, [&](Stretch run, std::int32_t track) {
    const float* first = track_row(seen, track, marks, tracks);
    const float* second = track_row(seen, track + 1, marks, tracks);
    const int end = run.from + whole_blocks(run.to - run.from);
#pragma GCC ivdep
    for (int c = run.from; c < end; ++c)
      after[c] = before[c] + seen.strength * (first[c] + seen.above(low(c), track) * (second[c] - first[c]));
  });
  marks.streak.swap(marks.work);
}

/// Adds a family whose scratches run across the row: each pixel has tracks of its own.
ETCHCAST_CLONES void add_across(const Seen& seen, Stretch in, float up_mm, Marks& marks) {
  const float *right_mm = marks.right_mm.data(), along = up_mm * seen.per_length;
  float* out = marks.streak.data();
#pragma GCC ivdep
  for (int c = in.from; c < in.to; ++c) {
    const float low = seen.low(up_mm, right_mm[c]);
    const std::int32_t track = floor_whole(low);
    const float first = scratch(seen.seed, track, along), second = scratch(seen.seed, track + 1, along);
    out[c] += seen.strength * (first + seen.above(low, track) * (second - first));
  }
}

void fill_streaks(Stretch in, float up_mm, Marks& marks) {
  std::fill(marks.streak.begin() + in.from, marks.streak.begin() + in.to, 0.0f);
  if (marks.direction == Scratches::none) return;
  for (size_t i = 0; i < kStreaks.size(); ++i) {
    const Seen seen(kStreaks[i], marks.mm_per_px);
    if (seen.strength <= 0) continue;
    if (marks.direction == Scratches::along)
      add_along(seen, in, up_mm, marks.families[i], marks);
    else
      add_across(seen, in, up_mm, marks);
  }
}

inline void fill_wave(const Wave& wave, Stretch in, float up_mm, float* out) {
  const float *weight = wave.weight.data(), v = up_mm / wave.up_mm;
  const std::int32_t j = floor_whole(v);
  const float b = ease(v - float(j));
  for (const Wave::Square& square : wave.squares) {
    const Corners corners(wave.seed, square.i, j);
    const int from = std::max(in.from, square.columns.from), to = std::min(in.to, square.columns.to);
    const int end = from + whole_blocks(to - from);
#pragma GCC ivdep
    for (int c = from; c < end; ++c) out[c] = corners.at(weight[c], b);
  }
}

/// A block or a finger never leaves a true plane: fractions of a degree over centimetres along, millimetres across.
ETCHCAST_CLONES void fill_waves(Stretch in, float up_mm, Marks& marks) {
  constexpr float kRight = 0.0030f, kUp = 0.0042f;  // 0.17 and 0.24 degrees, peak
  float *right = marks.wave_right.data(), *up = marks.wave_up.data(), *short_up = marks.work.data();
  fill_wave(marks.waves[0], in, up_mm, right);
  fill_wave(marks.waves[1], in, up_mm, up);
  fill_wave(marks.waves[2], in, up_mm, short_up);
#pragma GCC ivdep
  for (int c = in.from; c < in.to; ++c) right[c] *= kRight, up[c] = kUp * (up[c] + 0.35f * short_up[c]);
}

/// Adds clouds of one size to `out`. A lattice turned by atan(3/4): the eye finds rows that run with the picture's own.
ETCHCAST_CLONES void add_cloud(const Patches& patches, float strength, Stretch in, float up_mm, Marks& marks) {
  const float per_mm = 1 / patches.size_mm, right_per_mm = 0.8f * per_mm, up_per_mm = 0.6f * per_mm;
  const float* right_mm = marks.right_mm.data();
  float *noise = marks.work.data(), *out = marks.cloud.data();
  const float up_u = up_mm * up_per_mm, up_v = up_mm * right_per_mm;
  const auto u = [=](int c) { return right_mm[c] * right_per_mm - up_u; };
  const auto v = [=](int c) { return right_mm[c] * up_per_mm + up_v; };
  // Where a square is left after a few pixels, hashing at each is quicker than to look for its end.
  constexpr float kCoarse = 1.0f / 40;
  if (marks.mm_per_px * per_mm < kCoarse) {
    fill_noise(patches.seed, in, marks.mm_per_px * right_per_mm, u, marks.mm_per_px * up_per_mm, v, noise);
#pragma GCC ivdep
    for (int c = in.from; c < in.to; ++c) out[c] += strength * noise[c];
  } else {
#pragma GCC ivdep
    for (int c = in.from; c < in.to; ++c) out[c] += strength * smooth_noise(patches.seed, u(c), v(c));
  }
}

void fill_clouds(Stretch in, float up_mm, Marks& marks) {
  std::fill(marks.cloud.begin() + in.from, marks.cloud.begin() + in.to, 0.0f);
  for (const Patches& patches : kClouds) {
    const float strength = patches.strength * visible(patches.size_mm, marks.mm_per_px);
    if (strength > 0) add_cloud(patches, strength, in, up_mm, marks);
  }
}

}  // namespace

void Marks::begin(std::span<const float> right, float pixel, Scratches scratches) {
  count = int(right.size()), mm_per_px = pixel, direction = scratches;
  for (Row* row : {&streak, &wave_right, &wave_up, &cloud, &right_mm, &work}) fit(*row, count);
  for (Tracks& tracks : families) {
    tracks.number.fill(Tracks::kNone);
    for (Row& row : tracks.strength) fit(row, count);
  }
  std::copy(right.begin(), right.end(), right_mm.begin());
  for (Wave& wave : waves) {
    fit(wave.weight, count);
    wave.squares.clear();
    const auto u = [&](int c) { return right_mm[size_t(c)] / wave.right_mm; };
    for_runs({0, count}, pixel / wave.right_mm, u, [&](Stretch run, std::int32_t i) {
      wave.squares.push_back({run, i});
      for (int c = run.from; c < run.to; ++c) wave.weight[size_t(c)] = ease(u(c) - float(i));
    });
  }
}

void Marks::fill(float up_mm, Stretch in) {
  fill_streaks(in, up_mm, *this);
  fill_waves(in, up_mm, *this);
  fill_clouds(in, up_mm, *this);
}

}  // namespace etchcast
