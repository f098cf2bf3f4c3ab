// Broken edges, from the mask alone.
#include "coverage/rim.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "base/clones.hpp"

namespace etchcast {

namespace {

constexpr double kWidth =
    0.2;  // mm; a stroke of fine stone along the spine (common practice: sharp corners are broken)
constexpr float kFall = 0.35f;  // slope at the very edge

/// Whether a row is metal from end to end. Most are.
ETCHCAST_CLONES bool whole(const float* mask, int columns) {
  int parts = 0;
  for (int c = 0; c < columns; ++c) parts += mask[c] < 1;
  return parts == 0;
}

/// A pixel's rim is the difference of the masks either side of it: 1 at the outline, 0 a reach inside.
ETCHCAST_CLONES void break_row(const float* mask, int from, int to, int reach, std::ptrdiff_t row_reach,
                               float* slope_right, float* slope_up) {
#pragma GCC ivdep
  for (std::ptrdiff_t c = from; c < to; ++c) {
    const float right = mask[c + reach], left = mask[c - reach];
    const float up = mask[c - row_reach], down = mask[c + row_reach];
    const bool rim = (mask[c] > 0) & (right + left + up + down <= 3.999f);
    slope_right[c] += rim ? kFall * (right - left) : 0.0f;
    slope_up[c] += rim ? kFall * (up - down) : 0.0f;
  }
}

}  // namespace

void break_edges(Field& field) {
  const int reach = std::clamp(int(std::lround(kWidth / field.mm_per_px)), 1, Field::kHalo - 1);
  const int rows = field.rows, columns = field.columns;
  const std::ptrdiff_t row_reach = std::ptrdiff_t(reach) * columns;
  int inner = 0;  // rows without a break that end with the lowest one seen
  for (int r = 0; r < rows; ++r) {
    inner = whole(&field.mask[field.index(r, 0)], columns) ? inner + 1 : 0;
    const int middle = r - reach;
    if (middle < reach || inner > 2 * reach) continue;
    const size_t at = field.index(middle, 0);
    break_row(&field.mask[at], reach, columns - reach, reach, row_reach, &field.slope_right[at], &field.slope_up[at]);
  }
}

}  // namespace etchcast
