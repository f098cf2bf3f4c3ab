// Broken edges, from the mask alone.
#include "coverage/rim.hpp"

#include <algorithm>
#include <cmath>

namespace etchcast {

namespace {
constexpr double kWidth = 0.2;   // mm; a stroke of fine stone along the spine (common practice: sharp corners are broken)
constexpr float kFall = 0.35f;   // slope at the very edge
}  // namespace

void break_edges(Field& field) {
  const int reach = std::clamp(int(std::lround(kWidth / field.mm_per_px)), 1, Field::kHalo - 1);
  const int rows = field.rows, columns = field.columns;
  // A pixel's rim is the difference of the masks either side of it: 1 at the outline, 0 a reach inside.
  for (int r = reach; r < rows - reach; ++r)
    for (int c = reach; c < columns - reach; ++c) {
      const size_t at = field.index(r, c);
      if (field.mask[at] <= 0) continue;
      const float right = field.mask[at + reach], left = field.mask[at - reach];
      const float up = field.mask[at - size_t(reach) * columns], down = field.mask[at + size_t(reach) * columns];
      if (right + left + up + down > 3.999f) continue;
      field.slope_right[at] += kFall * (right - left);
      field.slope_up[at] += kFall * (up - down);
    }
}

}  // namespace etchcast
