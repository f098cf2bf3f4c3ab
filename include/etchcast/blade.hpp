#pragma once
/// \file blade.hpp — the ground blade: its outline, and how far each point of a side stands from the mid-plane.
/// Reads after: forging.hpp. Read next: picture.hpp.
///
/// Blade frame, mm: x from the heel (0) to the tip (length), neck or tang at x < 0; y up from the edge line (the lowest
/// level of the edge, y = 0) to the spine; z through the thickness, mid-plane z = 0, +z is the right side.

#include <memory>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include <Eigen/Core>

#include "etchcast/recipe.hpp"

namespace etchcast {

class GrindLines;  ///< edge, spine and thickness along the blade

enum class Side { right, left };

/// A built-in outline and the trade's proportions for it.
struct Shape {
  std::string_view name;  ///< recipe word, e.g. "gyuto"
  std::string_view text;  ///< one sentence for the guide
  double length_mm;       ///< usual length
  double heel_share;      ///< heel height as a share of the length
  double spine_mm[3];     ///< usual spine thickness at heel, middle, 10 mm from the tip
  double edge_mm;         ///< usual thickness at the edge before sharpening
};

/// All built-in outlines.
std::span<const Shape> shapes();

/// A blade with every size settled.
///   Path    an own outline is taken in its own mm: the heel at x = 0, the tip at the greatest x, the edge's lowest
///   point
///           at y = 0, y counting up (a drawing program's screen counts down: mirror it there). What lies at x < 0 is
///           neck and tang. Thicknesses left open are those of the built-in shape nearest in length.
///   Errors  the constructor throws Error(Fault::recipe) at the plan's place, with every fault found: unknown shape, a
///           path that is no closed outline, sizes that contradict each other (edge thicker than the spine, a hollow
///           that would cut through the blade …).
class Blade {
 public:
  explicit Blade(const BladePlan& plan);

  double length() const { return length_; }  ///< heel to tip
  double height() const { return height_; }  ///< edge line to the highest point of the spine
  double tang() const { return tang_; }      ///< metal behind the heel, x = -tang() .. 0
  double edge_thickness() const { return edge_; }

  /// Closed outline without repeated end point, counter-clockwise, segments short enough to read as curves (0.001 mm
  /// from the true curve). Includes the neck.
  const std::vector<Eigen::Vector2d>& outline() const { return outline_; }

  /// Lowest and highest level of metal at x, i.e. the edge and the spine.
  ///   Range   x beyond heel end or tip gets the level there.   Cost  one pass over the outline.
  double edge_y(double x) const;
  double spine_y(double x) const;
  /// Level of the edge at x as the grind follows it: past a heel's eased corner and a notch it runs straight on.
  double ground_edge_y(double x) const;
  /// Full thickness at the spine at x.
  double spine_thickness(double x) const;

  /// Distance of the surface of `side` from the mid-plane, signed with the side's z.
  ///   Shape   n points; dz_dx and dz_dy receive the slopes.
  ///   Range   both faces lie within half the greatest spine thickness. Right z > 0 > left z, except for the single
  ///           grind: its back, the left face, is one plane at minus half the greatest spine thickness, as it is ground
  ///           on a flat plate; bevel and taper are all on the right, whose z is therefore below 0 near the edge.
  ///           Points outside the outline get height and slopes of the nearest metal above or below.
  ///   Cost    no allocation; safe from many threads.
  void surface(Side side, int n, const double* x, const double* y, double* z, double* dz_dx, double* dz_dy) const;

  /// Distance of one point of a face from the mid-plane: surface()'s z on the right, minus that on the left.
  double half_thickness(Side side, double x, double y) const;

 private:
  void check_hollow(const BladePlan& plan) const;

  Grind grind_;
  double length_ = 0, height_ = 0, tang_ = 0, edge_ = 0;
  double bevel_ = 1;     ///< height of the bevel as a share of the blade's
  double radius_ = 0;    ///< of the hollow, mm
  double fullness_ = 0;  ///< convex: four times the bow as a share of the face's rise
  double back_ = 0;      ///< single: depth of the back's plane below the mid-plane, mm
  double plunge_radius_ = 0, plunge_softness_ = 0;
  std::vector<Eigen::Vector2d> outline_;
  std::shared_ptr<const GrindLines> lines_;
};

}  // namespace etchcast
