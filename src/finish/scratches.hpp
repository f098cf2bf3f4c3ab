#pragma once
/// \file scratches.hpp — the marks that hand and acid leave on a surface: sanding streaks, waviness, clouds in the
/// oxide. Everything is a function of the place in mm alone. What is finer than a pixel fades out instead of turning to
/// grain.

#include <array>
#include <cstdint>
#include <span>

#include "etchcast/picture.hpp"
#include "finish/runs.hpp"

namespace etchcast {

inline constexpr std::int32_t kNoNumber = INT32_MIN;

/// Waviness of one length along the blade, which changes so slowly that a window sees few squares of its lattice.
struct Wave {
  std::uint32_t seed;
  float right_mm, up_mm;  ///< the lattice's pitch
  Row weight{};           ///< of the right corners, column by column
  struct Square {
    Stretch columns;
    std::int32_t i;
  };
  std::vector<Square> squares{};
  std::int32_t j = kNoNumber;  ///< the lattice's row at which `bottom` is the wave; at the next one it has `rise` more
  Row bottom{}, rise{};
};

/// A family of scratches of one width: parallel tracks, each broken into lengths of random strength.
struct Streaks {
  std::uint32_t seed;
  float width_mm, length_mm;
  float lean;  ///< tangent of the angle to the blade: hands do not run parallel
  float strength;
};

/// A family seen through pixels of one size. A pixel averages the one or two tracks under it by the exact share of its
/// width.
struct Seen {
  std::uint32_t seed = 0;
  float lean = 0, per_length = 0, per_width = 0, span = 1, per_span = 1, strength = 0;
  Pace along{1}, across{1};  ///< lengths and tracks along a row
  Seen() = default;
  Seen(const Streaks& family, float strength_there, float pixel)
      : seed(family.seed),
        lean(family.lean),
        per_length(1 / family.length_mm),
        per_width(1 / family.width_mm),
        span(std::min(pixel * per_width, 1.0f)),
        per_span(1 / span),
        strength(strength_there),
        along(pixel * per_length),
        across(pixel * lean * per_width) {}
  /// The lower end of a pixel, in tracks.
  float low(float along_mm, float across_mm) const {
    return (across_mm + along_mm * lean) * per_width - 0.5f * span;
  }
  /// The share of it above the line where the next track begins.
  float above(float low, float next) const { return std::max((low + span - next) * per_span, 0.0f); }
};

/// Strengths of the tracks of one family that the last rows met, column by column. A track lies under several rows
/// where pixels are small against it, and two where they are not.
struct Tracks {
  static constexpr int kKept = 8;  ///< more than lie under one row and the next, as they lean by so little
  Seen seen;
  std::array<std::int32_t, kKept> number;
  std::array<Row, kKept> strength;
};

/// Clouds of one size. The lattice is turned by atan(3/4): the eye finds rows that run with the picture's own.
struct Cloud {
  std::uint32_t seed;
  float right_per_mm, up_per_mm, strength;
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
  std::array<Wave, 3> waves{Wave{301, 23.0f, 9.0f}, Wave{302, 29.0f, 6.5f}, Wave{303, 9.0f, 2.3f}};
  std::array<Tracks, 6> families;
  std::array<Cloud, 5> clouds{};
  Row work, work_up;
  RowOf<std::uint32_t> square;
};

}  // namespace etchcast
