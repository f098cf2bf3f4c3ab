#pragma once
/// \file texture.hpp — which way the lines of a picture run and how close they stand, cell by cell.

#include <array>
#include <vector>

#include "etchcast/measure.hpp"

namespace etchcast {

/// Cells of a quarter of a millimetre. Values are 0 where `weight` is 0.
struct Texture {
  static constexpr double kCell = 0.25;  ///< mm
  int columns = 0, rows = 0;
  std::vector<float> weight;  ///< 0 .. 1: share of the cell that was measured, fading out toward the rim
  /// Twice the lines' direction as a vector, and the logarithm of how strong they are; each without its mean and slow
  /// changes over the picture.
  std::array<std::vector<float>, 3> planes;
};

Texture texture_of(const Tones& tones);

/// Gauss's bell over a plane, `sigma` in its own cells.
void blur(std::vector<float>& plane, int columns, int rows, double sigma);

}  // namespace etchcast
