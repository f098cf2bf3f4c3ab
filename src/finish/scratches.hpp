#pragma once
/// \file scratches.hpp — the marks that hand and acid leave on a surface: sanding streaks, waviness, clouds in the
/// oxide. Everything is a function of the place in mm alone. What is finer than a pixel fades out instead of turning to
/// grain.

#include <vector>

#include "etchcast/picture.hpp"

namespace etchcast {

/// One row of marks, one value per pixel.
struct Marks {
  std::vector<float> streak;      ///< brightness of the sanding streaks, about -1 .. 1, mean 0
  std::vector<float> wave_right;  ///< slopes of the hand's waviness, like Field::slope_right
  std::vector<float> wave_up;
  std::vector<float> cloud;  ///< unevenness of the oxide, about -1 .. 1, mean 0
  explicit Marks(int count) : streak(count), wave_right(count), wave_up(count), cloud(count) {}
};

/// Fills `marks` for pixels of `mm_per_px` centred at right_mm[0 .. count) in a row at up_mm.
void mark_row(const float* right_mm, float up_mm, float mm_per_px, Scratches direction, Marks& marks);

}  // namespace etchcast
