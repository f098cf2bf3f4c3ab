#pragma once
/// \file curve.hpp — Bézier curves and elliptic arcs as chains of short chords.

#include <vector>

#include <Eigen/Core>

namespace etchcast {

/// Appends points of the cubic from a (not appended) to d (appended), no farther than `tolerance` from the curve.
void append_cubic(std::vector<Eigen::Vector2d>& to, const Eigen::Vector2d& a, const Eigen::Vector2d& b,
                  const Eigen::Vector2d& c, const Eigen::Vector2d& d, double tolerance);

/// Appends points of an elliptic arc given as SVG gives it: end points, radii, tilt of the first axis in degrees.
/// Radii too small to reach are enlarged, a radius of 0 means a straight line (SVG 1.1, F.6.6).
struct ArcShape {
  Eigen::Vector2d radii;
  double tilt_deg;
  bool large, sweep;
};
void append_arc(std::vector<Eigen::Vector2d>& to, const Eigen::Vector2d& from, const ArcShape& arc,
                const Eigen::Vector2d& end, double tolerance);

}  // namespace etchcast
