#pragma once
/// \file drilling.hpp — blind holes: their shape, and the faces of a bar drilled with them.

#include "workpiece/tool_grid.hpp"

namespace etchcast {

/// What a drill or a ball cutter leaves, mm. The wall is upright; the floor is a cone with the drill's point, flat, or a
/// ball's.
struct Hole {
  double radius = 3, depth = 1;  ///< of the drill; from the face to the deepest point
  double point_rad = 118 * 0.017453292519943295;  ///< included angle of the cone; pi: flat
  bool ball = false;
  /// Tables cannot hold a point or an upright wall: a point is rounded by this radius, which takes 0.01 mm off the depth
  /// of one of 118 degrees, and a wall is spread out over `wall` to either side, which leaves the volume as it is.
  static constexpr double kTip = 0.05;
  /// Depth at a distance from the axis; negative beyond the rim.
  double reach(double away, double wall) const;
  /// Radius where the hole meets the face.
  double rim() const;
  /// Height of the upright wall; 0 if a cone or ball runs out into the face.
  double wall_height() const;
};

/// Holes in an even bar, while its faces are as the drill left them.
struct Holes {
  Hole hole;
  Pattern top_set, bottom_set;  ///< as they stand over the grid
  bool top = true, bottom = true, offset = true;
  Grid2 grid;  ///< over which everything repeats
  std::string comes_again;
};

/// A hole with everything finer than that length evened out over the plan, which keeps its volume.
class EvenedHole {
 public:
  EvenedHole(const Hole& hole, double length);
  /// Depth at a distance from the axis, 0 or more.
  double depth(double away) const { return away < over_r_.end() ? std::max(0.0, over_r_(away)) : 0; }

 private:
  Spline1 over_r_;
};

/// Drills an even bar, or one that is uneven already.
///   Errors  refuses at "spacing" holes that overlap or are too many to follow, at "depth" those that go through.
void drill_holes(Workpiece& w, const Hole& hole, Pattern pattern, bool top, bool bottom, bool offset,
                 const Arguments& arguments);

}  // namespace etchcast
