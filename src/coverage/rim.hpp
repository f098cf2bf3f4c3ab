#pragma once
/// \file rim.hpp — edges broken by a stroke of the stone: the last fifth of a millimetre of a surface falls away.

#include "etchcast/picture.hpp"

namespace etchcast {

/// Adds the fall of a broken edge to the slopes of pixels near the outline, within what the halo lets be seen.
void break_edges(Field& field);

}  // namespace etchcast
