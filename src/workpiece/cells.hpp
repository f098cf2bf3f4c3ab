#pragma once
/// \file cells.hpp — round cells about studs or holes, laid side by side.

#include <array>

#include "base/flow_table.hpp"
#include "base/spline.hpp"
#include "tape/layer_fit.hpp"
#include "workpiece/tools.hpp"

namespace etchcast {

/// Rise of each layer over the distance from the axis, in thicknesses.
class RoundCell {
 public:
  static constexpr int kSteps = 256;    ///< of the radius
  using Rises = std::array<double, LayerTarget::kLevels>;
  using Profile = std::vector<double>;  ///< kSteps + 1 values from the axis to the cell's edge
  /// `alone`: the plan that falls to a tool is larger than the cell, and beyond the edge what is left of the rise fades
  /// out over half the radius. Else cells meet, and between them all is as at the edge.
  RoundCell(double edge_mm, const std::array<Profile, LayerTarget::kLevels>& rises, bool alone);
  Rises rises(double r_mm) const;
  /// Distance from which on nothing rises, or nothing changes.
  double far() const { return alone_ ? kFade * edge_ : edge_; }
  /// The same, seen from the lower face.
  RoundCell upside_down() const;
  /// The same with everything finer than that length evened out, so that a grid can hold it.
  RoundCell evened_out(double length_mm) const;

  static constexpr double kFade = 1.5;  ///< radii of the cell

 private:
  double edge_ = 1;
  bool alone_ = false;
  std::vector<double> coefficients_;  ///< of cubic B-splines, all levels of a node side by side
};

/// A field over one grid told at the nodes of another over the same rectangle.
std::vector<double> told_at(const Grid2& to, const Grid2& from, const std::vector<double>& values);

/// The field with everything finer than `length` evened out.
std::vector<double> evened_out(const Grid2& grid, const std::vector<double>& values, double length);

/// How a place of the target's grid lies to the pattern.
struct CellLie {
  double share_x = 1;   ///< place in the pattern's frame = share_x * x, y
  double distance = 1;  ///< distance in the cell = distance in the pattern's frame times this
};

/// Adds what the cells of one set do. Each place takes the cells around it in shares that fall off with the square of
/// the distance, so that under a stud its own cell has all but a hundredth of a per cent and borders leave no crease.
void add_cells(LayerTarget& target, const Pattern& pattern, const RoundCell& cell, const CellLie& lie = {});

}  // namespace etchcast
