#pragma once
/// \file crease.hpp — pixels that a crease of the ground's surface crosses, such as the line where a hollow meets the
/// flat.

#include <vector>

#include "coverage/view.hpp"
#include "etchcast/picture.hpp"

namespace etchcast {

/// Puts into `field.creases` those of the pixels that have ground of two slopes, with the share of each: light answers
/// to slopes so steeply that a mean slope would show a staircase. `pixels` may hold some that are not.
///   Cost  64 points of the surface for each pixel whose slope does not follow from its neighbours'; none of the bar.
void find_creases(const View& view, const std::vector<size_t>& pixels, Field& field);

}  // namespace etchcast
