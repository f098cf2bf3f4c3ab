#pragma once
/// \file sheet.hpp — faces of an even layer pressed in places, free elsewhere: what studs do to each other.
///
/// First order in the rise, m = 1, no shear stress on the faces. A pressure that goes as exp(ikx) moves the faces by
///   w = q / (2 k) (cosh kH - 1) / (sinh kH + kH)   both faces pressed alike: squeezing, q H / 8 for long waves
///   w = q / (2 k) (cosh kH + 1) / (sinh kH - kH)   one face pressed, the other pulled: a bending beam, for long waves
/// (viscosity 1; biharmonic equation). Lengths in thicknesses: H = 1.

#include <vector>

#include "base/layer_table.hpp"

namespace etchcast::metal {

struct SheetFaces {
  std::vector<double> bottom, top;
};

/// Where and how far the faces are pressed: at nodes with `bottom_touches` the lower face is to rise by `bottom`, and
/// so above (negative is down). Elsewhere the faces are free and the values are not looked at.
struct SheetPress {
  Grid2 grid;
  std::vector<char> bottom_touches, top_touches;
  SheetFaces wanted;
  bool anvil =
      false;  ///< the lower face rests, all over, on an anvil on which it slides; `bottom_touches` is not looked at
  bool held = false;  ///< the plan may not grow: what goes down in one place comes up in another, and the mean stays
};

/// Rise of both faces everywhere. The layer as a whole finds the height at which both sides press alike.
SheetFaces press_sheet(const SheetPress& press);

}  // namespace etchcast::metal
