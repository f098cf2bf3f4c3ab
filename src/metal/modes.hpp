#pragma once
/// \file modes.hpp — slow flow of an even layer between faces that move a little: each wave of the faces dies out with
/// depth in its own way.
///
/// First order in the faces' rise, stress proportional to rate (m = 1). Lengths in thicknesses of the layer, sigma = 0
/// at the lower face, 1 at the upper one.

#include <vector>

#include "base/layer_table.hpp"

namespace etchcast::metal {

/// Rise of the layers at those sigma, at all of the grid's nodes, under faces that rise by `bottom` and `top`: wave by
/// wave as rough.hpp has it, `friction` 0 .. 1 blending its two kinds. The mean is shared out evenly: the layer is
/// squeezed.
std::vector<std::vector<double>> layers_under(const Grid2& grid, const std::vector<double>& bottom,
                                              const std::vector<double>& top, const std::vector<double>& sigma,
                                              double friction);

}  // namespace etchcast::metal
