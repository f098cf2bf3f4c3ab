#pragma once
/// \file modes.hpp — slow flow of an even layer between faces that move a little: each wave of the faces dies out with
/// depth in its own way.
///
/// First order in the faces' rise, stress proportional to rate (m = 1). Lengths in thicknesses of the layer, sigma = 0 at
/// the lower face, 1 at the upper one.

#include <array>
#include <vector>

#include "base/layer_table.hpp"

namespace etchcast::metal {

/// Height that a wave of wave number k = 2 pi / length on the upper face has left at sigma; 1 there, 0 on the level lower
/// face. In the span of cosh ks, sinh ks, s cosh ks, s sinh ks (biharmonic stream function; Turcotte and Schubert,
/// Geodynamics, for the half-space); at both faces no slip or no shear stress, or between: `friction` 1, 0.
/// k -> 0: 3 s^2 - 2 s^3 or s; k -> infinity: (1 + kd) exp(-kd) at depth d either way.
class DepthShape {
 public:
  DepthShape(double wave_number, double friction);
  double operator()(double sigma) const;

 private:
  double k_, friction_;
  std::array<double, 4> stick_{}, slip_{};
};

/// Rise of the layers at those sigma, all of the grid's nodes, under faces that rise by `bottom` and `top`. The mean is
/// shared out evenly: the layer is squeezed.
std::vector<std::vector<double>> layers_under(const Grid2& grid, const std::vector<double>& bottom,
                                              const std::vector<double>& top, const std::vector<double>& sigma,
                                              double friction);

}  // namespace etchcast::metal
