// Faces of bars as tables.
#include "workpiece/relief.hpp"

#include <algorithm>
#include <cmath>

namespace etchcast {

Relief Relief::flat(double height) {
  Relief r;
  r.offset_ = height;
  return r;
}

Relief Relief::ridged(double angle_rad, double from, double to, double step, const std::function<double(double)>& height) {
  Relief r;
  r.form_ = Form::ridged;
  r.angle_ = angle_rad, r.along_ = std::cos(angle_rad), r.across_ = std::sin(angle_rad);
  const int count = std::max(8, int(std::ceil((to - from) / step)) + 1);
  std::vector<double> values(count);
  const double exact_step = (to - from) / (count - 1);
  for (int i = 0; i < count; ++i) values[i] = height(from + i * exact_step);
  const auto [low, high] = std::minmax_element(values.begin(), values.end());
  r.lowest_ = *low, r.highest_ = *high;
  r.ridge_ = Spline1(from, exact_step, values);
  return r;
}

Relief Relief::free(double length, double width, double step, const std::function<double(double, double)>& height) {
  Relief r;
  r.form_ = Form::free;
  r.across_ = 1;
  const int columns = std::max(8, int(std::ceil(length / step)) + 1), rows = std::max(8, int(std::ceil(width / step)) + 1);
  const double dx = length / (columns - 1), dy = width / (rows - 1);
  std::vector<double> values(size_t(columns) * rows);
  for (int j = 0; j < rows; ++j)
    for (int i = 0; i < columns; ++i) values[size_t(j) * columns + i] = height(i * dx, -width / 2 + j * dy);
  const auto [low, high] = std::minmax_element(values.begin(), values.end());
  r.lowest_ = *low, r.highest_ = *high;
  r.field_ = Spline2(0, dx, columns, -width / 2, dy, rows, values);
  return r;
}

Relief Relief::raised(double by) const {
  Relief r = *this;
  r.offset_ += by;
  return r;
}

Relief Relief::stretched(double along, double across, double through) const {
  Relief r = *this;
  r.along_ /= along, r.across_ /= across;
  r.offset_ *= through, r.tall_ *= through, r.lowest_ *= through, r.highest_ *= through;
  if (form_ == Form::ridged) r.angle_ = std::atan2(r.across_, r.along_);
  return r;
}

Relief Relief::cut_back(double heel_end) const {
  Relief r = *this;
  r.shift_ += r.along_ * heel_end;
  return r;
}

Relief Relief::turned_over() const {
  Relief r = *this;
  r.offset_ = -offset_, r.tall_ = -tall_;
  r.lowest_ = -highest_, r.highest_ = -lowest_;
  r.angle_ = -angle_, r.across_ = -across_;
  return r;
}

Relief Relief::rounded(double reach) const {
  if (form_ != Form::ridged) return *this;
  constexpr int kSide = 8;  // nodes within reach on each side
  const double start = ridge_.start(), extent = ridge_.end() - start, within = reach * std::hypot(along_, across_);
  const int cells = std::max(kSide, int(std::ceil(extent * kSide / within)));
  const double step = extent / cells;
  std::vector<double> sharp, soft;
  for (int i = 0; i <= cells; ++i) sharp.push_back(ridge_(start + i * step));
  for (int i = 0; i <= cells; ++i) {
    double sum = 0, weights = 0;
    for (int k = -kSide; k <= kSide; ++k) {
      const double t = double(k) / kSide, weight = (1 - t * t) * (1 - t * t) * (1 - t * t);  // ends smoothly, as splines do
      sum += weight * sharp[size_t(std::clamp(i + k, 0, cells))], weights += weight;
    }
    soft.push_back(sum / weights);
  }
  Relief r = *this;
  r.ridge_ = Spline1(start, step, soft);
  const auto [low, high] = std::minmax_element(soft.begin(), soft.end());
  r.lowest_ = tall_ * (tall_ > 0 ? *low : *high), r.highest_ = tall_ * (tall_ > 0 ? *high : *low);
  return r;
}

Relief::Sample Relief::sample(double x, double y) const {
  if (form_ == Form::flat) return {offset_, 0, 0};
  if (form_ == Form::free) {
    const auto j = field_.jet(along_ * x + shift_, across_ * y);
    return {tall_ * j.f + offset_, tall_ * along_ * j.x, tall_ * across_ * j.y};
  }
  const auto j = ridge_.jet(std::clamp(x * along_ + y * across_ + shift_, ridge_.start(), ridge_.end()));
  return {tall_ * j.f + offset_, tall_ * j.d * along_, tall_ * j.d * across_};
}

}  // namespace etchcast
