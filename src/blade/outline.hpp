#pragma once
/// \file outline.hpp — the outline of a blade in mm, drawn from a built-in shape or read from a smith's own path.

#include <vector>

#include "blade/polygon.hpp"
#include "etchcast/blade.hpp"

namespace etchcast {

/// How the ground faces run into the neck or ricasso behind the heel.
struct Plunge {
  double radius_mm = 3;  ///< of the concave run-out, seen from the spine
  double softness = 0;   ///< 0 = a crisp line where it meets the full thickness, 1 = blended away
};

/// An outline with what only its maker knows.
struct Outline {
  Polygon polygon;    ///< counter-clockwise, cut off at the tang's end
  double length = 0;  ///< heel to tip
  double tang = 0;    ///< metal behind the heel
  Plunge plunge;
};

/// The built-in shape of that name, or null.
const Shape* find_shape(std::string_view name);

/// Draws a built-in shape. Sizes are already checked.
Outline draw_shape(const Shape& shape, double length_mm, double heel_mm, double tang_mm);

/// Reads the plan's own path; nothing is scaled.
///   Errors  appended to `faults`; the outline is then empty.
Outline read_outline(const BladePlan& plan, std::vector<Diagnostic>& faults);

}  // namespace etchcast
