// src/finish/scratches.cpp — streaks, waviness and clouds by stateless noise. Sizes and strengths are ours, set by eye
// against what 400-2000 grit hand sanding looks like; no source gives figures.
#include "finish/scratches.hpp"

#include <algorithm>

#include "base/clones.hpp"
#include "base/noise.hpp"
#include "finish/runs.hpp"

namespace etchcast {
namespace {

/// Seen through pixels of 1.5 widths at most: a track is left after 66 pixels along it at the least, a length after 29.
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
constexpr std::array<Patches, 5> kClouds{{
    {201, 0.017f, 0.55f}, {202, 0.039f, 0.50f}, {203, 0.11f, 0.30f}, {204, 0.7f, 0.25f}, {205, 4.7f, 0.45f}}};

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

/// scratch() for one track along a row, hashed once a length.
inline void fill_track(const Seen& seen, std::int32_t track, int count, const float* right_mm, float* out) {
  const std::uint32_t bits = hash_bits(seen.seed, track);
  const float shift = 0.5f * signed_unit(bits);
  const auto at = [=](int c) { return right_mm[c] * seen.per_length + shift; };
  for_parts({0, count}, seen.along, at, [&](Stretch part, std::int32_t i) {
    const auto node = [=](std::int32_t k) { return signed_unit(mix_bits(bits + std::uint32_t(k) * kStride)); };
    const float from = node(i), middle = node(i + 1), first_rise = middle - from, second_rise = node(i + 2) - middle;
    const float first = float(i), second = float(i + 1);
    const int end = part.from + whole_blocks(part.to - part.from);
#pragma GCC ivdep
    for (int c = part.from; c < end; ++c) {
      const float here = at(c);
      const bool later = here >= second;
      const float fraction = here - (later ? second : first);
      out[c] = strength_of((later ? middle : from) + ease(fraction) * (later ? second_rise : first_rise));
    }
  });
}

inline const float* track_row(std::int32_t track, const Marks& marks, Tracks& tracks) {
  const size_t slot = std::uint32_t(track) % Tracks::kKept;
  float* row = tracks.strength[slot].data();
  if (tracks.number[slot] != track) fill_track(tracks.seen, track, marks.count, marks.right_mm.data(), row);
  tracks.number[slot] = track;
  return row;
}

/// Adds a family whose scratches run along the row: a track is left only after dozens of pixels.
ETCHCAST_CLONES void add_along(Tracks& tracks, Stretch in, float up_mm, Marks& marks) {
  const float *right_mm = marks.right_mm.data(), *before = marks.streak.data();
  float* after = marks.work.data();
  const Seen here = tracks.seen;
  const auto low_at = [=](int c) { return here.low(right_mm[c], up_mm); };
  for_parts(in, here.across, low_at, [&](Stretch part, std::int32_t track) {
    const float* first = track_row(track, marks, tracks);
    const float* second = track_row(track + 1, marks, tracks);
    const float next = float(track + 1), after_next = float(track + 2);
    const int end = part.from + whole_blocks(part.to - part.from);
    if (std::max(low_at(part.from), low_at(part.to - 1)) < next) {  // one track from end to end
#pragma GCC ivdep
      for (int c = part.from; c < end; ++c)
        after[c] = before[c] + here.strength * (first[c] + here.above(low_at(c), next) * (second[c] - first[c]));
      return;
    }
    const float* third = track_row(track + 2, marks, tracks);
#pragma GCC ivdep
    for (int c = part.from; c < end; ++c) {
      const float low = low_at(c), one = first[c], two = second[c], three = third[c];
      const bool later = low >= next;
      const float from = later ? two : one, to = later ? three : two;
      after[c] = before[c] + here.strength * (from + here.above(low, later ? after_next : next) * (to - from));
    }
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
    out[c] += seen.strength * (first + seen.above(low, float(track + 1)) * (second - first));
  }
}

void fill_streaks(Stretch in, float up_mm, Marks& marks) {
  std::fill(marks.streak.begin() + in.from, marks.streak.begin() + in.to, 0.0f);
  if (marks.direction == Scratches::none) return;
  for (Tracks& tracks : marks.families) {
    if (tracks.seen.strength <= 0) continue;
    if (marks.direction == Scratches::along)
      add_along(tracks, in, up_mm, marks);
    else
      add_across(tracks.seen, in, up_mm, marks);
  }
}

/// The wave where the lattice's row `j` begins, and what it has more where the next one does.
inline void begin_row(Wave& wave, std::int32_t j) {
  const float* weight = wave.weight.data();
  float *bottom = wave.bottom.data(), *rise = wave.rise.data();
  for (const Wave::Square& square : wave.squares) {
    const auto corner = [&](std::int32_t i, std::int32_t up) { return hash_signed(wave.seed, square.i + i, j + up); };
    const float low = corner(0, 0), low_rise = corner(1, 0) - low;
    const float high = corner(0, 1), high_rise = corner(1, 1) - high;
#pragma GCC ivdep
    for (int c = square.columns.from; c < square.columns.to; ++c) {
      bottom[c] = low + weight[c] * low_rise;
      rise[c] = high + weight[c] * high_rise - bottom[c];
    }
  }
  wave.j = j;
}

/// What a wave is at a row.
struct WaveRow {
  const float *bottom, *rise;
  float weight;
  float at(int c) const { return bottom[c] + weight * rise[c]; }
};

inline WaveRow row_of(Wave& wave, float up_mm) {
  const float v = up_mm / wave.up_mm, j = floor_of(v);
  if (wave.j != std::int32_t(j)) begin_row(wave, std::int32_t(j));
  return {wave.bottom.data(), wave.rise.data(), ease(v - j)};
}

/// A block or a finger never leaves a true plane: fractions of a degree over centimetres along, millimetres across.
ETCHCAST_CLONES void fill_waves(Stretch in, float up_mm, Marks& marks) {
  constexpr float kRight = 0.0030f, kUp = 0.0042f;  // 0.17 and 0.24 degrees, peak
  const WaveRow long_right = row_of(marks.waves[0], up_mm), long_up = row_of(marks.waves[1], up_mm),
                short_up = row_of(marks.waves[2], up_mm);
  float *right = marks.wave_right.data(), *up = marks.wave_up.data();
#pragma GCC ivdep
  for (int c = in.from; c < in.to; ++c) {
    right[c] = kRight * long_right.at(c);
    up[c] = kUp * (long_up.at(c) + 0.35f * short_up.at(c));
  }
}

/// Adds clouds of one size, in two loops: one would be so long that the processor waits for what it works out itself.
ETCHCAST_CLONES void add_cloud(const Cloud& cloud, Stretch in, float up_mm, Marks& marks) {
  const float right_per_mm = cloud.right_per_mm, up_per_mm = cloud.up_per_mm, strength = cloud.strength;
  const float up_u = up_mm * up_per_mm, up_v = up_mm * right_per_mm;
  const float* right_mm = marks.right_mm.data();
  float *right = marks.work.data(), *up = marks.work_up.data(), *out = marks.cloud.data();
  std::uint32_t *square = marks.square.data(), seed = cloud.seed;
#pragma GCC ivdep
  for (int c = in.from; c < in.to; ++c) {
    const float u = right_mm[c] * right_per_mm - up_u, v = right_mm[c] * up_per_mm + up_v;
    const float i = floor_of(u), j = floor_of(v);
    square[c] = spread_bits(seed, std::int32_t(i), std::int32_t(j));
    right[c] = u - i, up[c] = v - j;
  }
#pragma GCC ivdep
  for (int c = in.from; c < in.to; ++c)
    out[c] += strength * noise_in_square(square[c], right[c], up[c]);
}

void fill_clouds(Stretch in, float up_mm, Marks& marks) {
  std::fill(marks.cloud.begin() + in.from, marks.cloud.begin() + in.to, 0.0f);
  for (const Cloud& cloud : marks.clouds)
    if (cloud.strength > 0) add_cloud(cloud, in, up_mm, marks);
}

}  // namespace

void Marks::begin(std::span<const float> right, float pixel, Scratches scratches) {
  count = int(right.size()), mm_per_px = pixel, direction = scratches;
  for (Row* row : {&streak, &wave_right, &wave_up, &cloud, &right_mm, &work, &work_up}) fit(*row, count);
  fit(square, count);
  for (size_t i = 0; i < families.size(); ++i) {
    Tracks& tracks = families[i];
    tracks.seen = Seen(kStreaks[i], kStreaks[i].strength * visible(kStreaks[i].width_mm, pixel), pixel);
    tracks.number.fill(kNoNumber);
    for (Row& row : tracks.strength) fit(row, count);
  }
  std::copy(right.begin(), right.end(), right_mm.begin());
  for (size_t i = 0; i < clouds.size(); ++i) {
    const float per_mm = 1 / kClouds[i].size_mm, strength = kClouds[i].strength * visible(kClouds[i].size_mm, pixel);
    clouds[i] = {kClouds[i].seed, 0.8f * per_mm, 0.6f * per_mm, strength};
  }
  for (Wave& wave : waves) {
    for (Row* row : {&wave.weight, &wave.bottom, &wave.rise}) fit(*row, count);
    wave.j = kNoNumber;
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
