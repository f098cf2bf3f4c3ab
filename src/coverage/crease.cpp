// Creased pixels: looked at in 8 x 8 places and told as two slopes.
#include "coverage/crease.hpp"

#include <algorithm>
#include <cmath>

namespace etchcast {

namespace {

constexpr int kSide = 8, kParts = kSide * kSide, kRoom = kLanes / kParts;
/// Change of slope from one pixel to the next beyond what an even curve has: less turns the light by 1 or 2 levels.
constexpr float kKink = 1e-3f;

/// Whether a slope turns at a pixel more than evenly.
bool kinked(const std::vector<float>& slope, size_t at, size_t across) {
  const float here = 2 * slope[at];
  return std::abs(slope[at - 1] + slope[at + 1] - here) > kKink ||
         std::abs(slope[at - across] + slope[at + across] - here) > kKink;
}

/// Slopes to the right and up at places of a pixel, or their means.
struct Slopes {
  float right = 0, up = 0;
};
float apart(const Slopes& a, const Slopes& b) { return std::abs(a.right - b.right) + std::abs(a.up - b.up); }

/// Parts a pixel's places between the first one's slopes and those farthest from them.
void part_between(const float* right, const float* up, size_t pixel, Field& field) {
  const auto at = [&](int i) { return Slopes{right[i], up[i]}; };
  int far = 0;
  for (int i = 1; i < kParts; ++i)
    if (apart(at(i), at(0)) > apart(at(far), at(0))) far = i;
  if (apart(at(far), at(0)) <= kKink) return;
  Slopes sums[2];
  int counts[2] = {};
  for (int i = 0; i < kParts; ++i) {
    const int which = apart(at(i), at(far)) < apart(at(i), at(0)) ? 1 : 0;
    sums[which].right += right[i], sums[which].up += up[i], ++counts[which];
  }
  for (int k = 0; k < 2; ++k) sums[k].right /= float(counts[k]), sums[k].up /= float(counts[k]);
  field.slope_right[pixel] = sums[0].right, field.slope_up[pixel] = sums[0].up;
  field.creases.push_back({pixel, float(counts[1]) / kParts, sums[1].right - sums[0].right, sums[1].up - sums[0].up});
}

}  // namespace

void find_creases(const View& view, const std::vector<size_t>& pixels, Field& field) {
  std::vector<Field::Crease>& creases = field.creases;
  creases.clear();
  const auto across = size_t(field.columns);
  const auto inside = [&](size_t at) {
    const size_t row = at / across, column = at % across;
    return row > 0 && column > 0 && row + 1 < size_t(field.rows) && column + 1 < across;
  };
  for (const size_t at : pixels)
    if (field.mask[at] > 0 && inside(at) &&
        (kinked(field.slope_right, at, across) || kinked(field.slope_up, at, across)))
      creases.push_back({at, 0, 0, 0});
  const size_t count = creases.size();
  Batch<double> places;
  double u[kLanes], v[kLanes];
  float right[kLanes], up[kLanes];
  for (size_t first = 0; first < count; first += kRoom) {
    for (int i = 0; i < kLanes; ++i) {
      const size_t at = creases[std::min(first + size_t(i / kParts), count - 1)].pixel;
      const int k = i % kParts;
      u[i] = field.left_mm + (double(at % across) + (k % kSide + 0.5) / kSide) * field.mm_per_px;
      v[i] = field.top_mm - (double(at / across) + (k / kSide + 0.5) / kSide) * field.mm_per_px;
    }
    view.points(u, v, kLanes, places, right, up);
    for (size_t i = first; i < std::min(first + kRoom, count); ++i)
      part_between(right + (i - first) * kParts, up + (i - first) * kParts, creases[i].pixel, field);
  }
  creases.erase(creases.begin(), creases.begin() + std::ptrdiff_t(count));
  std::ranges::sort(creases, {}, &Field::Crease::pixel);
}

}  // namespace etchcast
