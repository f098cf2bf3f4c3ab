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
  r.angle_ = angle_rad, r.cosine_ = std::cos(angle_rad), r.sine_ = std::sin(angle_rad);
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

Relief Relief::turned_over() const {
  Relief r = *this;
  r.offset_ = -offset_, r.sign_ = -sign_;
  r.lowest_ = -highest_, r.highest_ = -lowest_;
  r.angle_ = -angle_, r.sine_ = -sine_;
  return r;
}

Relief Relief::rounded(double reach) const {
  if (form_ != Form::ridged) return *this;
  constexpr int kSide = 8;  // nodes within reach on each side
  const double start = ridge_.start(), extent = ridge_.end() - start;
  const int cells = std::max(kSide, int(std::ceil(extent * kSide / reach)));
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
  r.lowest_ = sign_ > 0 ? *low : -*high, r.highest_ = sign_ > 0 ? *high : -*low;
  return r;
}

Relief::Sample Relief::sample(double x, double y) const {
  if (form_ == Form::flat) return {offset_, 0, 0};
  if (form_ == Form::free) {
    const auto j = field_.jet(x, y);
    return {j.f + offset_, j.x, j.y};
  }
  const double c = cosine_, s = sine_;
  const auto j = ridge_.jet(std::clamp(x * c + y * s, ridge_.start(), ridge_.end()));
  return {sign_ * j.f + offset_, sign_ * j.d * c, sign_ * j.d * s};
}

}  // namespace etchcast
