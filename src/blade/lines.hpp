#pragma once
/// \file lines.hpp — the lines a grind follows along the blade, with their slopes, for many points at once.

#include <vector>

#include "blade/polygon.hpp"
#include "etchcast/batch.hpp"

namespace etchcast {

/// Cubics over stretches of a quarter millimetre, once differentiable where they meet.
class GrindLines {
 public:
  /// The edge's level; over it the spine as the grind follows it and the spine as it is; the thickness at the spine.
  enum Line { edge, spine, crest, thickness, kCount };

  GrindLines(const Polygon& outline, double length, double tang, const double (&spine_mm)[3], double edge_mm);

  /// The four lines side by side, so that a stretch fills whole registers; by x.
  struct At {
    alignas(64) double value[kLanes][kCount];
    alignas(64) double slope[kLanes][kCount];
  };
  /// At n <= kLanes places. Beyond heel end or tip the lines stand where they end.
  void at(int n, const double* x, At& to) const;

  /// Coefficients of 1, t, t^2 and t^3, t = 0 .. 1 over the stretch.
  struct Stretch {
    alignas(64) double c[4][kCount];
  };
  const std::vector<Stretch>& stretches() const { return stretches_; }

 private:
  std::vector<Stretch> stretches_;
  double first_x_ = 0, step_ = 1;
};

}  // namespace etchcast
