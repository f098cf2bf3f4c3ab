// Fitting the generating function to heights of layer lines.
#include "base/flow_table.hpp"

#include <algorithm>
#include <cassert>
#include <utility>

namespace etchcast {

namespace {

/// Coefficients of the quadratic spline through values at the middles of cells, even about both ends:
/// (a[i-1] + 6 a[i] + a[i+1]) / 8 = value[i], mirrored. Their mean is the spline's. At an axis a[-1] = 2 a[0] - a[1].
std::vector<double> through_middles(const double* values, int count, bool axis = false) {
  std::vector<double> a(static_cast<size_t>(count)), upper(static_cast<size_t>(count));
  for (int i = 0; i < count; ++i) {
    const bool free = axis && i == 0;
    const double diagonal = free ? 8 : (i == 0 || i == count - 1) ? 7 : 6;
    const double pivot = diagonal - (i == 0 ? 0 : upper[size_t(i) - 1]);
    upper[size_t(i)] = free ? 0 : 1 / pivot;
    a[size_t(i)] = (8 * values[i] - (i == 0 ? 0 : a[size_t(i) - 1])) / pivot;
  }
  for (int i = count - 2; i >= 0; --i) a[size_t(i)] -= upper[size_t(i)] * a[size_t(i) + 1];
  return a;
}

/// The same of values that repeat. An end is felt 0.17 times as much a cell further in: twenty cells more on both sides, and
/// it is not felt at all.
std::vector<double> through_ring(const double* values, int count) {
  constexpr int kMore = 20;
  std::vector<double> longer(static_cast<size_t>(count) + 2 * kMore);
  for (int i = 0; i < count + 2 * kMore; ++i) longer[size_t(i)] = values[(i - kMore % count + count) % count];
  const auto a = through_middles(longer.data(), count + 2 * kMore);
  return {a.begin() + kMore, a.begin() + kMore + count};
}

/// Coefficients c[-1..n] of the cubic spline through even values, end slopes from parabolas: those of higher order may
/// overshoot in the skin beside a sticking die, where layers thin to half within a thirtieth of the thickness.
std::vector<double> through_lines(const std::vector<double>& f) {
  const size_t n = f.size();
  const double left = (-3 * f[0] + 4 * f[1] - f[2]) / 2, right = (3 * f[n - 1] - 4 * f[n - 2] + f[n - 3]) / 2;
  return bspline_coefficients(f, left, right);
}

}  // namespace

FlowTable::FlowTable(double half_before, double half_after, int columns, int rows, const std::vector<double>& heights,
                     const std::vector<double>& origins, bool axis)
    : half_before_(half_before),
      half_after_(half_after),
      start_(origins.empty() ? 0 : -half_after),
      axis_(axis),
      mirror_(origins.empty() ? 0 : -1e9),
      columns_(columns),
      rows_(rows),
      heights_(heights),
      origins_(origins) {
  assert(int(heights.size()) == columns * rows && columns >= 5 && rows >= 5);
  assert(origins.empty() || int(origins.size()) == rows);
  fit();
  guess();
}

/// Q_x of line k is its height less its mean: a running sum of its coefficients gives those of Q.
void FlowTable::fit_line(int k, const std::vector<double>& slopes, std::vector<double>& all) {
  const int stride = columns_ + 3;
  const double step = extent() / columns_;
  double mean = 0;
  for (const double v : slopes) mean += v / columns_;
  // At an axis Q is nothing with its bend free: q[-1] + 4 q[0] + q[1] = 0.
  const double first = axis_ ? step * (slopes[0] - slopes[1]) / 6 : 0;
  mean += first / (step * columns_);
  if (k == 0) base_ = mean * half_after_;
  double* q = all.data() + size_t(k + 1) * stride + 1;
  q[0] = first;
  for (int i = 0; i + 1 < columns_; ++i) q[i + 1] = q[i] + step * (slopes[size_t(i)] - mean);
  q[columns_] = 0;
  q[-1] = mirrored() ? -q[1] : q[columns_ - 1], q[columns_ + 1] = mirrored() ? -q[columns_ - 1] : q[1];
  if (axis_) q[-1] = -4 * q[0] - q[1];
}

/// Without mirrors each line's Q is known but for a constant. Along the metal that was at -half_before, placed at X(c):
///   d W(X(c), c) / dc = z dX/dc - half_before,
/// which gives the constants one after another.
void FlowTable::place_lines(std::vector<double>& all) const {
  const int stride = columns_ + 3;
  double before_x = 0, before_z = 0, wanted = 0;
  for (int k = 0; k < rows_; ++k) {
    double* q = all.data() + size_t(k + 1) * stride + 1;
    const double c = double(k) / (rows_ - 1), x = origins_[size_t(k)], k_x = columns_ / extent();
    const double place = (x - 2 * half_after_ * std::floor(x / (2 * half_after_) + 0.5) - start_) * k_x;
    const int cell = std::min(int(place), columns_ - 1);
    const SplineWeights<double> s(place - cell);
    double value = 0, slope = 0;
    for (int a = 0; a < 4; ++a) value += s.w[a] * q[cell - 1 + a], slope += s.d[a] * q[cell - 1 + a] * k_x;
    const double level = (half_before_ * c + base_) / half_after_, z = level + slope;
    if (k > 0) wanted += (z + before_z) / 2 * (x - before_x) - half_before_ / (rows_ - 1);
    before_x = x, before_z = z;
    const double constant = wanted - x * level - value;
    for (int i = -1; i <= columns_ + 1; ++i) q[i] += constant;
  }
}

void FlowTable::fit() {
  const int stride = columns_ + 3;
  std::vector<double> all(size_t(stride) * (rows_ + 2));
  for (int k = 0; k < rows_; ++k) {
    const double* line = heights_.data() + size_t(k) * columns_;
    fit_line(k, mirrored() ? through_middles(line, columns_, axis_) : through_ring(line, columns_), all);
  }
  if (!mirrored()) place_lines(all);
  std::vector<double> line(static_cast<size_t>(rows_));
  for (int i = 0; i < stride; ++i) {
    for (int k = 0; k < rows_; ++k) line[size_t(k)] = all[size_t(k + 1) * stride + i];
    const auto c = through_lines(line);
    for (int k = 0; k < rows_ + 2; ++k) all[size_t(k) * stride + i] = c[size_t(k)];
  }
  coefficients_ = Coefficients(std::move(all));
}

void FlowTable::guess() {
  const auto [low, high] = std::minmax_element(heights_.begin(), heights_.end());
  low_ = *low, high_ = *high;
  guesses_.resize(size_t(cells_ + 1) * (cells_ + 1));
  for (int i = 0; i <= cells_; ++i) {
    const double x = start_ + extent() * i / cells_;
    double c = 0;
    for (int j = 0; j <= cells_; ++j) {
      const double z = low_ + (high_ - low_) * j / cells_;
      double beyond = c;
      for (int round = 0; round < 30; ++round) {
        const auto w = jet(x, c);
        const double step = (z - w.x) / std::max(w.xc, 0.1 * half_before_ / half_after_);
        beyond = c + step;
        if (std::abs(within(beyond) - c) < 1e-5) break;
        c = within(beyond);
      }
      guesses_[size_t(j) * (cells_ + 1) + i] = float(beyond);
    }
  }
}

double FlowTable::thinnest() const {
  double least = 1e9;
  for (int k = 0; k <= 4 * (rows_ - 1); ++k)
    for (int i = 0; i <= 4 * columns_; ++i)
      least = std::min(least, jet(start_ + extent() * i / (4.0 * columns_), k / (4.0 * (rows_ - 1))).xc);
  return least;
}

}  // namespace etchcast
