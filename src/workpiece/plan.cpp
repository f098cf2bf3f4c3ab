// Nodes of a plan and the map from faces over them.
#include "workpiece/plan.hpp"

#include <algorithm>
#include <cmath>
#include <memory>

#include "base/spline.hpp"
#include "tape/face_map.hpp"
#include "tape/ridge_map.hpp"

namespace etchcast {

Plan::Plan(bool ridged, double angle, double length, double width, double feature, double coarseness)
    : ridged(ridged), angle(angle), length(length), width(width) {
  // Four nodes to the smallest thing must be left.
  const double needed = feature / 4 * coarseness;
  if (ridged) {
    const double c = std::cos(angle), s = std::sin(angle);
    const double low = std::min(0.0, length * c) - std::abs(s) * width / 2;
    const double high = std::max(0.0, length * c) + std::abs(s) * width / 2;
    const double step = std::max(std::clamp(feature / 64, 0.01, 0.05) * coarseness, (high - low) / kMostNodes);
    fine = step <= needed;
    count = std::max(16, int(std::ceil((high - low) / step)) + 1);
    start = low;
    step_u = (high - low) / (count - 1);
  } else {
    const double wished = std::clamp(feature / 8, std::min(0.15, feature / 4), 0.5) * coarseness;
    const double step = std::max(wished, std::sqrt(length * width / kMostNodes));
    fine = step <= needed;
    columns = std::max(16, int(std::ceil(length / step)) + 1);
    rows = std::max(16, int(std::ceil(width / step)) + 1);
    dx = length / (columns - 1), dy = width / (rows - 1);
  }
}

void Plan::place(size_t i, double& x, double& y) const {
  if (ridged) {
    const double u = start + double(i) * step_u;
    x = u * std::cos(angle), y = u * std::sin(angle);
  } else {
    x = double(i % columns) * dx, y = -width / 2 + double(i / columns) * dy;
  }
}

/// Around u: two boxes convolved, a trapezoid.
double Plan::weight(size_t i) const {
  if (!ridged) {
    const bool end_x = i % columns == 0 || int(i % columns) == columns - 1;
    const bool end_y = int(i) < columns || int(i / columns) == rows - 1;
    return (end_x ? 0.5 : 1) * (end_y ? 0.5 : 1);
  }
  const double c = std::abs(length * std::cos(angle)), s = std::abs(width * std::sin(angle));
  const double end = (i == 0 || int(i) == count - 1) ? 0.5 : 1;
  const double centre = start + (count - 1) * step_u / 2, off = std::abs(start + double(i) * step_u - centre);
  if (std::min(c, s) < 1e-9) return end;
  const double flat = std::abs(c - s) / 2, full = (c + s) / 2;
  return end * (off <= flat ? 1.0 : std::max(0.0, (full - off) / (full - flat)));
}

double mean_height(const Plan& plan, const Faces& f) {
  double sum = 0, weight = 0;
  for (size_t i = 0; i < plan.size(); ++i) {
    const double w = plan.weight(i);
    sum += w * (f.top[i] - f.bottom[i]);
    weight += w;
  }
  return sum / weight;
}

double least_height(const Faces& f) {
  double least = 1e9;
  for (size_t i = 0; i < f.top.size(); ++i) least = std::min(least, f.top[i] - f.bottom[i]);
  return least;
}

namespace {

/// Running integral of evenly spaced values, fourth order inside, starting from 0 at index 0.
std::vector<double> running_integral(const std::vector<double>& v, double step) {
  const int n = int(v.size());
  std::vector<double> sum(n, 0.0);
  for (int i = 0; i + 1 < n; ++i) {
    double piece;
    if (i == 0)
      piece = (9 * v[0] + 19 * v[1] - 5 * v[2] + v[3]) / 24;
    else if (i == n - 2)
      piece = (v[n - 4] - 5 * v[n - 3] + 19 * v[n - 2] + 9 * v[n - 1]) / 24;
    else
      piece = (-v[i - 1] + 13 * v[i] + 13 * v[i + 1] - v[i + 2]) / 24;
    sum[i + 1] = sum[i] + step * piece;
  }
  return sum;
}

MapPtr ridge_map(const Plan& plan, const Faces& f, double thickness, double lengthening) {
  std::vector<double> rate(plan.count), mid(plan.count);
  for (int i = 0; i < plan.count; ++i) {
    rate[i] = (f.top[i] - f.bottom[i]) * lengthening / thickness - 1;
    mid[i] = (f.top[i] + f.bottom[i]) / 2;
  }
  auto shift = running_integral(rate, plan.step_u);
  // Metal at the heel's corner, u = 0, stays; so does what lies behind it on a slanted pattern.
  const double at_zero = Spline1(plan.start, plan.step_u, shift)(0);
  for (double& value : shift) value -= at_zero;
  const auto tables = std::make_shared<RidgeTables>(Spline1(plan.start, plan.step_u, shift), Spline1(plan.start, plan.step_u, mid));
  return make_map(RidgeMotion(plan.angle, lengthening, tables));
}

MapPtr field_map(const Plan& plan, const Faces& f, double lengthening, double length_before) {
  const int columns = plan.columns, rows = plan.rows;
  std::vector<double> mid(plan.size()), shift(plan.size()), line(columns), row_total(rows);
  for (int j = 0; j < rows; ++j) {
    for (int i = 0; i < columns; ++i) line[i] = f.top[size_t(j) * columns + i] - f.bottom[size_t(j) * columns + i];
    const auto sum = running_integral(line, plan.dx);
    row_total[j] = sum.back();
    for (int i = 0; i < columns; ++i) {
      const size_t k = size_t(j) * columns + i;
      shift[k] = length_before * sum[i] / sum.back() - i * plan.dx / lengthening;
      mid[k] = (f.top[k] + f.bottom[k]) / 2;
    }
  }
  const auto across = running_integral(row_total, plan.dy);
  std::vector<double> shift_y(rows);
  for (int j = 0; j < rows; ++j)
    shift_y[j] = -plan.width / 2 + plan.width * across[j] / across.back() - (-plan.width / 2 + j * plan.dy);
  auto tables = std::make_shared<FieldMotion::Tables>();
  tables->shift_x = Spline2(0, plan.dx, columns, -plan.width / 2, plan.dy, rows, shift);
  tables->shift_y = Spline1(-plan.width / 2, plan.dy, shift_y);
  tables->mid = Spline2(0, plan.dx, columns, -plan.width / 2, plan.dy, rows, mid);
  return make_map(FieldMotion(lengthening, tables));
}

}  // namespace

MapPtr face_map(const Plan& plan, const Faces& f, double thickness_before, double length_before) {
  const double lengthening = plan.length / length_before;
  return plan.ridged ? ridge_map(plan, f, thickness_before, lengthening)
                     : field_map(plan, f, lengthening, length_before);
}

Relief as_relief(const Plan& plan, const std::vector<double>& values) {
  const auto [low, high] = std::minmax_element(values.begin(), values.end());
  if (*high - *low < 1e-9) return Relief::flat(*high);
  if (plan.ridged) {
    const Spline1 table(plan.start, plan.step_u, values);
    return Relief::ridged(plan.angle, plan.start, plan.start + plan.step_u * (plan.count - 1), plan.step_u,
                          [&](double u) { return table(u); });
  }
  return Relief::free(plan.length, plan.width, plan.columns, plan.rows, values);
}

}  // namespace etchcast
