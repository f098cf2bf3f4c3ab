#pragma once
/// \file flattening.hpp — an uneven bar between flat dies: humps go down, floors come up.

#include "workpiece/tools.hpp"

namespace etchcast {

/// Forges an uneven bar between flat dies to `thickness`: by the metal's flow (`by_flow`) where the faces repeat or have
/// holes drilled into an even bar, else by plane sections. Floors that the dies do not reach stay hollow and are noted; walls that
/// will meet before their floor comes up are warned of.
///   Errors  refuses at "thickness" where the dies would not touch.
void forge_between_flat_dies(Workpiece& w, double thickness, bool by_flow, const MetalKeys& metal, const Arguments& arguments);

/// Forges an uneven bar down between flat dies until its faces are flat, but not thinner than `down_to`: what draws a bar out
/// does this first. An even bar stays as it is. With `down_to` reached first the rest of the hollows stays.
void flatten_first(Workpiece& w, double down_to, const Arguments& arguments);

/// The depth of the deepest hollow of either face, mm.
double hollow_of(const Bar& bar);

}  // namespace etchcast
