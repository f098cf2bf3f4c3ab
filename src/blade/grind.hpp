#pragma once
/// \file grind.hpp — sections of a ground face: height over the mid-plane from the edge up, with exact slopes.
///
/// Each profile gives the height at u mm above the edge where the bevel is `top` mm high and the face climbs from
/// `base` at the edge by `rise`. Pure arithmetic and selects, so that a loop over points can be vectorised.

#include <algorithm>
#include <cmath>

namespace etchcast {

/// A height and its partial derivatives.
struct Height {
  double z, by_u, by_top, by_rise;
};

/// Straight from edge to bevel top.
struct FlatProfile {
  Height operator()(double u, double top, double base, double rise) const {
    const double per = 1 / top, w = u * per;
    return {base + rise * w, rise * per, -rise * w * per, w};
  }
};

/// A parabola that stands `fullness * rise / 4` over the chord half way up: over a blade's face it differs from a
/// circle by less than bow^2/height, some micrometres. Bow in proportion to the rise keeps the tip from bulging.
struct ConvexProfile {
  double fullness;
  Height operator()(double u, double top, double base, double rise) const {
    const double per = 1 / top, w = u * per;
    const double shape = w * (1 + fullness * (1 - w)), slope = 1 + fullness * (1 - 2 * w);
    return {base + rise * shape, rise * slope * per, -rise * slope * w * per, shape};
  }
};

/// The arc of a wheel of that radius through the edge and the bevel's top, its centre outside the metal. Its greatest
/// depth under the chord c is radius - sqrt(radius^2 - c^2/4), about c^2/(8 radius).
struct HollowProfile {
  double radius;

  /// The wheel's centre, as seen from the edge at height 0.
  struct Centre {
    double u, z, ratio, chord2;
  };
  Centre centre(double top, double rise) const {
    const double chord2 = top * top + rise * rise;
    // Distance from chord to centre over the chord's length.
    const double ratio = std::sqrt(std::max(radius * radius / chord2 - 0.25, 1e-12));
    return {top / 2 - rise * ratio, rise / 2 + top * ratio, ratio, chord2};
  }

  Height operator()(double u, double top, double base, double rise) const {
    const Centre c = centre(top, rise);
    // d ratio / d chord2, then by top and by rise.
    const double d = -radius * radius / (2 * c.ratio * c.chord2 * c.chord2);
    const double ratio_top = 2 * top * d, ratio_rise = 2 * rise * d;
    const double off = u - c.u, drop = std::sqrt(std::max(radius * radius - off * off, 1e-12)), tilt = off / drop;
    return {base + c.z - drop, tilt, c.ratio + top * ratio_top - tilt * (0.5 - rise * ratio_top),
            0.5 + top * ratio_rise + tilt * (c.ratio + rise * ratio_rise)};
  }

  /// Least height of the arc over the level of the edge; negative where the face dips behind the edge.
  double lowest(double top, double rise) const {
    const Centre c = centre(top, rise);
    return c.u > 0 && c.u < top ? c.z - radius : 0;
  }
};

/// How far the run-out behind the heel has lifted the face at x, and its slope: a circle tangent to the face at the
/// heel, from 60 degrees on a straight ramp.
struct Lift {
  double mm, slope;
};
inline Lift plunge_lift(double x, double radius) {
  constexpr double kSin60 = 0.8660254037844386, kTan60 = 1.7320508075688772;
  const double back = std::max(-x, 0.0), on_arc = std::min(back, kSin60 * radius);
  const double root = std::sqrt(radius * radius - on_arc * on_arc);
  return {radius - root + kTan60 * (back - on_arc), -on_arc / root};
}

/// The lower of two heights, rounded over where they are nearer than `reach` (C1). `first` is d/d a; d/d b is 1 -
/// first.
struct Blend {
  double z, first, by_reach;
};
inline Blend smooth_least(double a, double b, double reach) {
  const double first = std::min(1.0, std::max(0.0, 0.5 + 0.5 * (b - a) / reach));
  return {a * first + b * (1 - first) - reach * first * (1 - first), first, -first * (1 - first)};
}

}  // namespace etchcast
