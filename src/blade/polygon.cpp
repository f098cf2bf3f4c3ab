// Polygons of some hundred to some thousand sides: plain scans, asked a few thousand times a blade.
#include "blade/polygon.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

namespace etchcast {
namespace {

using Eigen::Vector2d;

double cross(const Vector2d& a, const Vector2d& b) { return a.x() * b.y() - a.y() * b.x(); }

std::optional<Vector2d> meeting(const Vector2d& a, const Vector2d& b, const Vector2d& c, const Vector2d& d) {
  const Vector2d ab = b - a, cd = d - c, ac = c - a;
  const double area = cross(ab, cd);
  if (area == 0) return std::nullopt;  // parallel: sides that overlap show at their neighbours
  const double t = cross(ac, cd) / area, u = cross(ac, ab) / area;
  if (t < 0 || t > 1 || u < 0 || u > 1) return std::nullopt;
  return a + t * ab;
}

}  // namespace

double signed_area(const Polygon& p) {
  double sum = 0;
  for (size_t i = 0; i < p.size(); ++i) sum += cross(p[i], p[(i + 1) % p.size()]);
  return sum / 2;
}

std::optional<Vector2d> crossing(const Polygon& p) {
  const size_t n = p.size();
  const auto left = [&](size_t i) { return std::min(p[i].x(), p[(i + 1) % n].x()); };
  const auto right = [&](size_t i) { return std::max(p[i].x(), p[(i + 1) % n].x()); };
  std::vector<size_t> order(n);  // sides by their left end: only those that overlap in x are compared
  std::iota(order.begin(), order.end(), size_t(0));
  std::sort(order.begin(), order.end(), [&](size_t i, size_t j) { return left(i) < left(j); });
  for (size_t a = 0; a < n; ++a) {
    const size_t i = order[a];
    for (size_t b = a + 1; b < n && left(order[b]) <= right(i); ++b) {
      const size_t j = order[b];
      if ((i + 1) % n == j || (j + 1) % n == i) continue;
      if (auto point = meeting(p[i], p[(i + 1) % n], p[j], p[(j + 1) % n])) return point;
    }
  }
  return std::nullopt;
}

Polygon clipped_left(const Polygon& p, double least) {
  Polygon kept;
  for (size_t i = 0; i < p.size(); ++i) {
    const Vector2d &a = p[i], &b = p[(i + 1) % p.size()];
    if (a.x() >= least) kept.push_back(a);
    if ((a.x() < least) == (b.x() < least)) continue;
    const Vector2d cut(least, a.y() + (b.y() - a.y()) * (least - a.x()) / (b.x() - a.x()));
    if (cut != a && cut != b) kept.push_back(cut);
  }
  return kept;
}

Column column_at(const Polygon& p, double x) {
  Column column{std::numeric_limits<double>::max(), std::numeric_limits<double>::lowest(), 0};
  std::vector<double> levels;  // where the line goes in and out; the half-open rule counts each corner once
  for (size_t i = 0; i < p.size(); ++i) {
    const Vector2d &a = p[i], &b = p[(i + 1) % p.size()];
    if (std::min(a.x(), b.x()) > x || std::max(a.x(), b.x()) < x) continue;
    const double y = a.x() == b.x() ? a.y() : a.y() + (b.y() - a.y()) * (x - a.x()) / (b.x() - a.x());
    const double other = a.x() == b.x() ? b.y() : y;
    column.low = std::min({column.low, y, other});
    column.high = std::max({column.high, y, other});
    if ((a.x() <= x) != (b.x() <= x)) levels.push_back(y);
  }
  std::sort(levels.begin(), levels.end());
  for (size_t i = 1; i + 1 < levels.size(); i += 2) column.void_mm += levels[i + 1] - levels[i];
  return column;
}

}  // namespace etchcast
