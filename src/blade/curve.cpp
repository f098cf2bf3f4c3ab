// Flattening: how many chords a curve needs is known beforehand, so points lie evenly and the polyline has no ripples.
#include "blade/curve.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace etchcast {
namespace {
constexpr int kMostChords = 2000;  // keeps an outlandish curve from eating the memory; its size is refused later
}

void append_cubic(std::vector<Eigen::Vector2d>& to, const Eigen::Vector2d& a, const Eigen::Vector2d& b,
                  const Eigen::Vector2d& c, const Eigen::Vector2d& d, double tolerance) {
  // A chord over a parameter step h strays by at most h^2/8 max|P''|, and |P''| <= 6 max of the second differences.
  const double bend = std::max((a - 2 * b + c).norm(), (b - 2 * c + d).norm());
  const int n = int(std::clamp(std::ceil(std::sqrt(0.75 * bend / tolerance)), 1.0, double(kMostChords)));
  for (int i = 1; i < n; ++i) {
    const double t = double(i) / n, u = 1 - t;
    to.push_back(u * u * u * a + 3 * u * u * t * b + 3 * u * t * t * c + t * t * t * d);
  }
  to.push_back(d);
}

void append_arc(std::vector<Eigen::Vector2d>& to, const Eigen::Vector2d& from, const ArcShape& arc,
                const Eigen::Vector2d& end, double tolerance) {
  Eigen::Vector2d r = arc.radii.cwiseAbs();
  if (r.minCoeff() < 1e-6 || from == end) {
    to.push_back(end);
    return;
  }
  const double tilt = arc.tilt_deg * std::numbers::pi / 180;
  Eigen::Matrix2d turn;
  turn << std::cos(tilt), -std::sin(tilt), std::sin(tilt), std::cos(tilt);
  // In a frame where the ellipse is the unit circle the centre lies on the chord's bisector (SVG 1.1, F.6.5).
  Eigen::Vector2d half = (turn.transpose() * (from - end) / 2).cwiseQuotient(r);
  const double grow = std::max(1.0, half.norm());
  r *= grow;
  half /= grow;
  const double reach = std::sqrt(std::max(0.0, 1 / half.squaredNorm() - 1)) * (arc.large == arc.sweep ? -1 : 1);
  const Eigen::Vector2d centre = reach * Eigen::Vector2d(half.y(), -half.x());
  const auto angle = [](const Eigen::Vector2d& v) { return std::atan2(v.y(), v.x()); };
  const double start = angle(half - centre);
  double span = angle(-half - centre) - start;
  if (arc.sweep && span < 0) span += 2 * std::numbers::pi;
  if (!arc.sweep && span > 0) span -= 2 * std::numbers::pi;
  // Sagitta of a chord over the angle h is r h^2/8.
  const double step = std::sqrt(8 * tolerance / r.maxCoeff());
  const int n = int(std::clamp(std::ceil(std::abs(span) / step), 1.0, double(kMostChords)));
  const Eigen::Vector2d middle = (from + end) / 2;
  for (int i = 1; i < n; ++i) {
    const double a = start + span * i / n;
    to.push_back(middle + turn * r.cwiseProduct(centre + Eigen::Vector2d(std::cos(a), std::sin(a))));
  }
  to.push_back(end);
}

}  // namespace etchcast
