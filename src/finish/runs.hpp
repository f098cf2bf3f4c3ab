#pragma once
/// \file runs.hpp — noise along a row where its lattice is coarse: hashed for many pixels at once, not for each.

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

/// How fast a value rises or falls along a row, far less than one in a block: in `most` pixels, whole blocks, by less
/// than one.
struct Pace {
  int most;
  bool falls;
  explicit Pace(float per_px)
      // 2 % for what is lost by rounding.
      : most(std::max(int(std::min(0.98f / std::abs(per_px), 1e6f)) & -kBlock, kBlock)), falls(per_px < 0) {}
};

/// Calls use(part, whole) for parts of a row, in which floor_whole(value(c)) is `whole` or one more. Where it gets to
/// the next number is left to the lanes: to look for that place takes longer.
template <class Value, class Use>
inline void for_parts(Stretch in, Pace pace, Value value, Use use) {
  for (int c = in.from; c < in.to; c += pace.most) {
    const int end = std::min(c + pace.most, in.to);
    use(Stretch{c, end}, floor_whole(value(pace.falls ? end - 1 : c)));
  }
}

}  // namespace etchcast
