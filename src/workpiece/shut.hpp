#pragma once
/// \file shut.hpp — grooves that are forged shut: walls that meet take scale in with them and leave a seam.

#include "workpiece/workpiece.hpp"

namespace etchcast {

/// Warns of hollows of `bar` so deep for their width that their walls close before their floor comes up.
void warn_of_shuts(Workpiece& w, const Bar& bar, const Place& place);

}  // namespace etchcast
