#pragma once
/// \file flowing.hpp — ridges pressed as hot steel flows under them.

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
};

/// The dies' pattern together with the one that is on the bar already; nothing if they have no repeat in common, or the bar
/// is not known to have one.
std::optional<Joined> ridges_joined(const Workpiece& w, const RidgeDies& dies);

/// Presses the dies by the solved flow (see src/metal). The bar is even, or ridges_joined().
///   Errors  refuses at `key` with the solver's own words.
void press_by_flow(Workpiece& w, const RidgeDies& dies, const Arguments& arguments, std::string_view key);

/// Forges an uneven bar whose faces repeat (w.repeat()) between flat dies to `thickness`, by the solved flow. Floors that
/// the dies do not reach stay hollow.
void flatten_by_flow(Workpiece& w, double thickness, double sensitivity, double friction, const Arguments& arguments);

}  // namespace etchcast
