#pragma once
/// \file rough.hpp — the metal's flow by a closed form: no solve, some milliseconds, errors of some per cent of the die's
/// depth. For previews; see docs/model.md for how wrong it is where.

#include "metal/flow.hpp"

namespace etchcast::metal {

/// The faces are guessed: the die's where it reaches, else the old ones. Their ripple is taken apart into waves, and each
/// dies out with depth as small waves do in a slow viscous layer of the mean thickness. Volume is kept as in solve().
///   Errors  Error(Fault::recipe) for dies too deep or meeting, grooves that fill with held ends.
Flow rough_flow(const Problem& problem);

/// Share of a small wave on the upper face that is left at the share `sigma` of the thickness; the lower face stays level.
/// `k`: wave number times thickness.
///   Source  biharmonic equation, F'' + k^2 F = 0 at both faces where they slip, F' = 0 where they stick; identity.
double layer_wave(double k, double sigma, bool sticks);

}  // namespace etchcast::metal
