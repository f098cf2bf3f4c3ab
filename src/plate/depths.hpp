#pragma once
/// \file depths.hpp — how deep one may grind: the bar at one depth after another, and the lines that are left there.

#include "plate/layout.hpp"

namespace etchcast {

/// What is left of the pattern where the top has been ground off so far.
struct Depth {
  double off_mm = 0;        ///< ground off, from the highest place of the top
  bool sound = false;       ///< no floor of a die or cutter lies deeper
  double lines_per_mm = 0;  ///< dark lines met along the bar, a mean over the middle of its width; 0 where not sound
};

/// Depths from the face to the middle of the bar (to the other face where `through`) or just beyond it, each `step_mm`
/// deeper; lines are met between two places along the bar.
std::vector<Depth> depths_of(const Bar& bar, double from_mm, double to_mm, double step_mm, bool through);

/// Strips of the bar at these depths, one under another, and beside them a curve of the lines in a rung (in 10 mm where
/// the step has no spacing), with the blade's edge, half height and spine drawn in where they lie.
Layout depths_plate(const Recipe& recipe, const Forging& forging, const RenderOptions& options, const Moment& moment);

}  // namespace etchcast
