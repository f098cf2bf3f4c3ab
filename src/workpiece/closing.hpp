#pragma once
/// \file closing.hpp — drilled holes forged shut as hot steel flows into them.

#include "workpiece/tools.hpp"

namespace etchcast {

/// Forges a drilled bar (w.holes()) between flat dies to `thickness`, by the flow solved for one hole in its round
/// cell.
///   Errors  refuses at "thickness" with the solver's own words.
void close_holes_by_flow(Workpiece& w, double thickness, const MetalKeys& metal, const Arguments& arguments);

}  // namespace etchcast
