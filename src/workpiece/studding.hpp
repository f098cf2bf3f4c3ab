#pragma once
/// \file studding.hpp — studs pressed as hot steel flows about them.

#include "workpiece/tools.hpp"

namespace etchcast {

/// Studs on an even bar.
struct StudDies {
  Profile profile;
  Pattern pattern;  ///< of the upper face; spacing as seen on the pressed bar
  double depth_mm = 0;
  bool top = true, bottom = true, offset = true;
  bool held = false;
  MetalKeys metal;
};

/// Presses the studs by the flow solved for one of them in its round cell.
///   Errors  refuses at `key` with the solver's own words.
void dimple_by_flow(Workpiece& w, const StudDies& dies, const Arguments& arguments, std::string_view key);

}  // namespace etchcast
