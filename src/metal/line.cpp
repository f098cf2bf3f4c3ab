// Cubic interpolation along a line of markers.
#include <algorithm>
#include <cmath>

#include "metal/march.hpp"

namespace etchcast::metal {

LineHeights::LineHeights(const Markers& markers, int line)
    : x_(markers.x.data() + markers.at(0, line)),
      z_(markers.z.data() + markers.at(0, line)),
      count_(markers.columns + 1),
      mirrored_(markers.mirrored),
      axis_(markers.axis),
      slopes_(static_cast<size_t>(count_), 0.0) {
  // Slope of the parabola through three neighbours; level at the mirrors.
  const auto middle = [](double back, double fore, double fall, double rise) {
    return (fall / back * fore + rise / fore * back) / (back + fore);
  };
  for (int i = 1; i + 1 < count_; ++i)
    slopes_[size_t(i)] = middle(x_[i] - x_[i - 1], x_[i + 1] - x_[i], z_[i] - z_[i - 1], z_[i + 1] - z_[i]);
  if (axis_) slopes_[0] = 2 * (z_[1] - z_[0]) / (x_[1] - x_[0]) - slopes_[1];
  if (mirrored_) return;
  const int n = count_ - 1;
  slopes_.front() = slopes_.back() = middle(x_[n] - x_[n - 1], x_[1] - x_[0], z_[n] - z_[n - 1], z_[1] - z_[0]);
}

double LineHeights::operator()(double x) const {
  if (!mirrored_) {
    const double repeat = x_[count_ - 1] - x_[0];
    x -= repeat * std::floor((x - x_[0]) / repeat);
  }
  const int i = std::clamp(int(std::upper_bound(x_, x_ + count_, x) - x_) - 1, 0, count_ - 2);
  const double wide = x_[i + 1] - x_[i], t = std::clamp((x - x_[i]) / wide, 0.0, 1.0), u = 1 - t;
  return z_[i] * u * u * (1 + 2 * t) + z_[i + 1] * t * t * (1 + 2 * u) +
         wide * t * u * (slopes_[size_t(i)] * u - slopes_[size_t(i) + 1] * t);
}

}  // namespace etchcast::metal
