#pragma once
/// \file runs.hpp — noise along a row where its lattice is coarse: hashed once a run of pixels, not once a pixel.

#include <algorithm>
#include <cmath>

#include "base/noise.hpp"
#include "finish/rows.hpp"

namespace etchcast {

/// Calls use(run, whole) for the runs of pixels over which floor_whole(value(c)) stays the same. `value` only rises or
/// only falls along the row, by about `per_px` a pixel; the run's end is guessed by that and found by asking.
template <class Value, class Use>
inline void for_runs(Stretch in, float per_px, Value value, Use use) {
  const float px = 1 / std::abs(per_px);
  for (int c = in.from; c < in.to;) {
    const float here = value(c);
    const std::int32_t whole = floor_whole(here);
    const float left = per_px < 0 ? here - float(whole) : float(whole + 1) - here;
    int end = c + 1 + int(std::min(left * px, float(in.to - c - 1)));
    while (end > c + 1 && floor_whole(value(end - 1)) != whole) --end;
    while (end < in.to && floor_whole(value(end)) == whole) ++end;
    use(Stretch{c, end}, whole);
    c = end;
  }
}

/// Values at the corners of a lattice's square, and what the right ones have more than the left ones.
struct Corners {
  float low, low_rise, high, high_rise;
  Corners(std::uint32_t seed, std::int32_t i, std::int32_t j) {
    const std::uint32_t lower = spread_bits(seed, i, j), upper = spread_bits(seed, i, j + 1);
    low = signed_unit(mix_bits(lower)), low_rise = signed_unit(mix_bits(lower + kStride)) - low;
    high = signed_unit(mix_bits(upper)), high_rise = signed_unit(mix_bits(upper + kStride)) - high;
  }
  /// The same bits as smooth_noise, from the weights of the right and of the upper corners.
  float at(float a, float b) const {
    const float bottom = low + a * low_rise, top = high + a * high_rise;
    return bottom + b * (top - bottom);
  }
};

/// smooth_noise(seed, u(c), v(c)) into out[c]. Up to a block beyond the stretch is overwritten.
template <class U, class V>
inline void fill_noise(std::uint32_t seed, Stretch in, float u_per_px, U u, float v_per_px, V v, float* out) {
  for_runs(in, u_per_px, u, [&](Stretch column, std::int32_t i) {
    for_runs(column, v_per_px, v, [&](Stretch cell, std::int32_t j) {
      const Corners corners(seed, i, j);
      const int end = cell.from + whole_blocks(cell.to - cell.from);
#pragma GCC ivdep
      for (int c = cell.from; c < end; ++c) out[c] = corners.at(ease(u(c) - float(i)), ease(v(c) - float(j)));
    });
  });
}

}  // namespace etchcast
