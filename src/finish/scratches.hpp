#pragma once
/// \file scratches.hpp — the marks that hand and acid leave on a surface: sanding streaks, waviness, clouds in the
/// oxide. Everything is a function of the place in mm alone. What is finer than a pixel fades out instead of turning to
/// grain.

#include <array>
#include <cstdint>
#include <span>

#include "etchcast/picture.hpp"
#include "finish/rows.hpp"

namespace etchcast {

/// Waviness of one length along the blade, which changes so slowly that a window sees few squares of its lattice.
struct Wave {
  std::uint32_t seed;
  float right_mm, up_mm;  ///< the lattice's pitch
  Row weight;             ///< of the right corners, column by column
  struct Square {
    Stretch columns;
    std::int32_t i;
  };
  std::vector<Square> squares;
};

/// Strengths of the tracks of one family that the last rows met, column by column. A track lies under several rows
/// where pixels are small against it, and two where they are not.
struct Tracks {
  static constexpr int kKept = 8;  ///< more than lie under one row and the next, as they lean by so little
  static constexpr std::int32_t kNone = INT32_MIN;
  std::array<std::int32_t, kKept> number;
  std::array<Row, kKept> strength;
};

/// The marks of a window, one row at a time, one value per pixel.
struct Marks {
  Row streak;      ///< brightness of the sanding streaks, about -1 .. 1, mean 0
  Row wave_right;  ///< slopes of the hand's waviness, like Field::slope_right
  Row wave_up;
  Row cloud;  ///< unevenness of the oxide, about -1 .. 1, mean 0

  /// Begins a window of pixels of `mm_per_px` centred at right_mm[0 .. size), finished in this direction.
  void begin(std::span<const float> right_mm, float mm_per_px, Scratches direction);
  /// Fills the row at up_mm.
  void fill(float up_mm, Stretch in);

  // For the loops behind fill().
  Row right_mm;
  int count = 0;
  float mm_per_px = 0;
  Scratches direction = Scratches::none;
  std::array<Wave, 3> waves{{{301, 23.0f, 9.0f, {}, {}}, {302, 29.0f, 6.5f, {}, {}}, {303, 9.0f, 2.3f, {}, {}}}};
  std::array<Tracks, 6> families;
  Row work;
};

}  // namespace etchcast
