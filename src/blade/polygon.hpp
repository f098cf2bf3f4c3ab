#pragma once
/// \file polygon.hpp — what an outline must be asked: its area, whether it crosses itself, what it covers at one x.

#include <optional>
#include <vector>

#include <Eigen/Core>

namespace etchcast {

/// A closed polygon without repeated end point.
using Polygon = std::vector<Eigen::Vector2d>;

/// Positive when counter-clockwise, y up; mm2.
double signed_area(const Polygon& polygon);

/// A point where two sides that are no neighbours meet, if there is one.
std::optional<Eigen::Vector2d> crossing(const Polygon& polygon);

/// The part at x >= least.
Polygon clipped_left(const Polygon& polygon, double least);

/// What the polygon covers on the vertical line at x.
struct Column {
  double low, high;  ///< lowest and highest level; low > high when the line misses the polygon
  double void_mm;    ///< length between them that lies outside
};
Column column_at(const Polygon& polygon, double x);

}  // namespace etchcast
