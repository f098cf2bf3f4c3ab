// Faces of bars as tables.
#include "workpiece/relief.hpp"

#include <algorithm>
#include <cmath>

#include "tape/plan_map.hpp"

namespace etchcast {

Relief Relief::flat(double height) {
  Relief r;
  r.offset_ = height;
  return r;
}

void Relief::span(const std::vector<double>& heights) {
  const auto [low, high] = std::minmax_element(heights.begin(), heights.end());
  lowest_ = *low, highest_ = *high;
}

Relief Relief::ridged(double angle_rad, double from, double to, double step, const std::function<double(double)>& height) {
  Relief r;
  r.form_ = Form::ridged;
  r.angle_ = angle_rad, r.along_ = std::cos(angle_rad), r.across_ = std::sin(angle_rad);
  const int count = std::max(8, int(std::ceil((to - from) / step)) + 1);
  std::vector<double> values(count);
  const double exact_step = (to - from) / (count - 1);
  for (int i = 0; i < count; ++i) values[i] = height(from + i * exact_step);
  r.span(values);
  r.ridge_ = Spline1(from, exact_step, values);
  return r;
}

Relief Relief::free(double length, double width, int columns, int rows, const std::vector<double>& heights) {
  Relief r;
  r.form_ = Form::free;
  r.across_ = 1;
  const double dx = length / (columns - 1), dy = width / (rows - 1);
  r.step_ = std::min(dx, dy);
  r.span(heights);
  r.field_ = std::make_shared<Spline2>(0, dx, columns, -width / 2, dy, rows, heights);
  return r;
}

Relief Relief::free(double length, double width, double step, const std::function<double(double, double)>& height) {
  const int columns = std::max(8, int(std::ceil(length / step)) + 1), rows = std::max(8, int(std::ceil(width / step)) + 1);
  const double dx = length / (columns - 1), dy = width / (rows - 1);
  std::vector<double> values(size_t(columns) * rows);
  for (int j = 0; j < rows; ++j)
    for (int i = 0; i < columns; ++i) values[size_t(j) * columns + i] = height(i * dx, -width / 2 + j * dy);
  return free(length, width, columns, rows, values);
}

Relief Relief::repeating(const Grid2& grid, const std::vector<double>& heights, double length, double width) {
  Relief r;
  r.form_ = Form::free;
  r.across_ = 1;
  r.step_ = std::min(grid.dx(), grid.dy());
  r.repeating_ = std::make_shared<RepeatingSpline>(grid, heights);
  // A node's first place at or beyond the bar's heel and edge is on the bar, or none of its places is.
  const auto over = [](double place, double from, double repeat) { return place - repeat * std::floor((place - from) / repeat) - from; };
  std::vector<double> on_bar;
  for (size_t i = 0; i < grid.size(); ++i)
    if (over(grid.x(i), 0, grid.wide) <= length && over(grid.y(i), -width / 2, grid.high) <= width)
      on_bar.push_back(heights[i]);
  r.span(on_bar.empty() ? heights : on_bar);
  return r;
}

Relief Relief::raised(double by) const {
  Relief r = *this;
  r.offset_ += by, r.least_ += by, r.most_ += by;
  return r;
}

Relief Relief::stretched(double along, double across, double through) const {
  Relief r = *this;
  r.along_ /= along, r.across_ /= across;
  r.offset_ *= through, r.tall_ *= through, r.lowest_ *= through, r.highest_ *= through;
  r.least_ *= through, r.most_ *= through;
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
  r.least_ = -most_, r.most_ = -least_;
  r.angle_ = -angle_, r.across_ = -across_;
  return r;
}

Relief Relief::planed(double plane, bool upper) const {
  Relief r = *this;
  (upper ? r.most_ : r.least_) = plane;
  r.lowest_ = std::clamp(lowest(), r.least_, r.most_) - offset_, r.highest_ = std::clamp(highest(), r.least_, r.most_) - offset_;
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
    const auto j = repeating_ ? repeating_->jet(along_ * x + shift_, across_ * y) : field_->jet(along_ * x + shift_, across_ * y);
    const double height = tall_ * j.f + offset_;
    if (height < least_) return {least_, 0, 0};
    if (height > most_) return {most_, 0, 0};
    return {height, tall_ * along_ * j.x, tall_ * across_ * j.y};
  }
  const auto j = ridge_.jet(std::clamp(x * along_ + y * across_ + shift_, ridge_.start(), ridge_.end()));
  return {tall_ * j.f + offset_, tall_ * j.d * along_, tall_ * j.d * across_};
}

}  // namespace etchcast
