#pragma once
/// \file layer_fit.hpp — from heights of layers to the table whose motion has them.

#include <array>
#include <memory>
#include <vector>

#include "base/layer_table.hpp"

namespace etchcast {

/// Heights that layers are to have.
struct LayerTarget {
  static constexpr int kLevels = LayerTable::kDegree + 1;
  Grid2 grid;
  /// `rise[l][node]`: z - c of the layer c = level(l), in thicknesses before, measured from the mean level; the mean of
  /// each is taken out. Levels 0 and the last are the faces.
  std::array<std::vector<double>, kLevels> rise;
  /// Places between the faces at which a polynomial is told best: dense towards both (Chebyshev).
  static double level(int l);
  explicit LayerTarget(const Grid2& grid);
};

struct LayerFit {
  std::shared_ptr<const LayerTable> table;
  double rms = 0, worst = 0;  ///< heights of layers missed where anything moved, as a share of the highest rise
};

/// Depth functions are those that tell this target in the fewest ways; then the motion is tried at all nodes and what
/// it misses is added, up to four times, in large tables once.
///   Cost    about 1 us a node.
LayerFit fit_layers(LayerTarget target);

}  // namespace etchcast
