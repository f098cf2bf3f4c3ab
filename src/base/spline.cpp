// Coefficients of interpolating B-splines: one tridiagonal solve a row.
#include "base/spline.hpp"

#include <cassert>
#include <utility>

namespace etchcast {

std::vector<double> bspline_coefficients(const std::vector<double>& f) {
  const int n = int(f.size());
  assert(n >= 5);
  // One-sided slopes of fourth order, per step.
  const double left = (-25 * f[0] + 48 * f[1] - 36 * f[2] + 16 * f[3] - 3 * f[4]) / 12;
  const double right = (25 * f[n - 1] - 48 * f[n - 2] + 36 * f[n - 3] - 16 * f[n - 4] + 3 * f[n - 5]) / 12;
  return bspline_coefficients(f, left, right);
}

std::vector<double> bspline_coefficients(const std::vector<double>& f, double left, double right) {
  const int n = int(f.size());
  // (c[i-1] + 4 c[i] + c[i+1]) / 6 = f[i], with c[1] - c[-1] = 2 left and c[n] - c[n-2] = 2 right folded into the ends.
  std::vector<double> c(n + 2), upper(n);
  double* mid = c.data() + 1;
  double below = 0;
  for (int i = 0; i < n; ++i) {
    double rhs = 6 * f[i];
    double lower = i == 0 ? 0 : 1, above = i == n - 1 ? 0 : 1;
    if (i == 0) {
      rhs += 2 * left;
      above = 2;
    }
    if (i == n - 1) {
      rhs -= 2 * right;
      lower = 2;
    }
    const double pivot = 4 - lower * below;
    upper[i] = above / pivot;
    below = upper[i];
    mid[i] = (rhs - (i ? lower * mid[i - 1] : 0)) / pivot;
  }
  for (int i = n - 2; i >= 0; --i) mid[i] -= upper[i] * mid[i + 1];
  c[0] = mid[1] - 2 * left;
  c[n + 1] = mid[n - 2] + 2 * right;
  return c;
}

Spline2::Spline2(double x0, double dx, int columns, double y0, double dy, int rows, const std::vector<double>& values)
    : x0_(x0), dx_(dx), y0_(y0), dy_(dy), columns_(columns), rows_(rows) {
  assert(int(values.size()) == columns * rows);
  const int stride = columns + 2;
  std::vector<double> all(size_t(stride) * (rows + 2));
  std::vector<double> line(columns);
  for (int j = 0; j < rows; ++j) {
    line.assign(values.begin() + size_t(j) * columns, values.begin() + size_t(j + 1) * columns);
    const auto c = bspline_coefficients(line);
    std::copy(c.begin(), c.end(), all.begin() + size_t(j + 1) * stride);
  }
  line.resize(rows);
  for (int i = 0; i < stride; ++i) {
    for (int j = 0; j < rows; ++j) line[j] = all[size_t(j + 1) * stride + i];
    const auto c = bspline_coefficients(line);
    for (int j = 0; j < rows + 2; ++j) all[size_t(j) * stride + i] = c[j];
  }
  coefficients_ = Coefficients(std::move(all));
}

}  // namespace etchcast
