#pragma once
/// \file flowing.hpp — ridges pressed as hot steel flows under them.

#include <optional>

#include "workpiece/tools.hpp"

namespace etchcast {

/// Ridge dies: what the flow solver needs to know.
struct RidgeDies {
  Profile profile;
  double spacing_mm = 0, depth_mm = 0, phase = 0, angle_rad = 0;
  bool top = true, bottom = true, offset = true;
  bool held = false;
  double sensitivity = 0.17;  ///< m in stress = (rate of shear)^m
  double friction = 1;        ///< 0 slides, 1 sticks
  std::optional<double> from_mm, to_mm;  ///< where the dies begin and end along the pressed bar, if they are shorter
  int faces() const { return int(top) + int(bottom); }  ///< that are worked
  bool part() const { return from_mm || to_mm; }
};

/// The dies' pattern together with the one that is on the bar already; nothing if they have no repeat in common, or the bar
/// is not known to have one.
std::optional<Joined> ridges_joined(const Workpiece& w, const RidgeDies& dies);

/// Presses the dies by the solved flow (see src/metal). The bar is even, or ridges_joined() and pressed all along.
///   Returns false, with the row's `rough` telling so, if on an uneven bar the flow is not found; then nothing is done.
///   Errors  refuses at `key` with the solver's own words.
bool press_by_flow(Workpiece& w, const RidgeDies& dies, const Arguments& arguments, std::string_view key);

/// Forges an uneven bar whose faces repeat (w.repeat()) between flat dies to `thickness`, by the solved flow. Floors that
/// the dies do not reach stay hollow. False as above.
bool flatten_by_flow(Workpiece& w, double thickness, const MetalKeys& metal, const Arguments& arguments);

}  // namespace etchcast
