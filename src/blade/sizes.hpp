#pragma once
/// \file sizes.hpp — the sizes of a blade settled: what the recipe says, the shape's own proportions for the rest.

#include <vector>

#include "etchcast/blade.hpp"

namespace etchcast {

struct Sizes {
  double length_mm, heel_mm;
  double spine_mm[3];  ///< at the heel, in the middle, 10 mm from the tip
  double edge_mm;
};

/// Sizes of a blade of that shape; `length_mm` > 0 is that of an own outline.
///   Errors  appended to `faults`, all of them; the result is then of no use.
Sizes settle_sizes(const BladePlan& plan, const Shape& shape, double length_mm, std::vector<Diagnostic>& faults);

}  // namespace etchcast
