#pragma once
/// \file repeats.hpp — what comes again in a texture, by its power spectrum.

#include <vector>

#include "measure/texture.hpp"

namespace etchcast {

/// The strongest repeat, and one that crosses it where there is one; empty where nothing repeats.
std::vector<Repeat> repeats_of(const Texture& texture);

/// Distances to the three nearest neighbours in the net of two crossing repeats, the nearest first.
///   Source  identity: the net of points on the lines of both repeats.
std::vector<double> neighbours_of(const Repeat& a, const Repeat& b);

}  // namespace etchcast
