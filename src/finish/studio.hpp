#pragma once
/// \file studio.hpp — the lamps: a broad softbox above the blade's spine, a cool room around it, a camera straight
/// above. Smooth formulas instead of traced lamps: a few products, two divisions and a root a pixel, so that rows
/// vectorise.

#include <algorithm>
#include <cmath>

#include "etchcast/picture.hpp"

namespace etchcast {

/// Smooth step from 0 (far below) to 1 (far above), slope 1/2 at 0.
inline float roll(float t) { return 0.5f + 0.5f * t / std::sqrt(1.0f + t * t); }

/// Light from the lamps: `key` the softbox as the satin metal mirrors it, 0 .. 1; `spread` what falls on a matt
/// surface.
struct Lit {
  float key, spread;
};

/// How a surface at a place (mm) with slopes sees the lamps.
struct Studio {
  static constexpr float kMatt = 0.45f, kBroad = 0.85f;  ///< key and spread on a matt face that faces the lamp
  float turn_right, turn_up;                             ///< answer to slopes, per unit slope
  float polished;                                        ///< 1; 0 for a face as the die left it, which mirrors nothing

  /// Scratches spread the mirrored light across themselves: along the scratches a slope changes the light faster than
  /// across them. One degree is 0.0175.
  explicit Studio(Scratches scratches)
      : turn_right(scratches == Scratches::along ? 34.0f : 25.0f),
        turn_up(scratches == Scratches::across ? 34.0f : 25.0f),
        polished(scratches == Scratches::none ? 0.0f : 1.0f) {}

  /// A near camera and a near lamp see the ends of a blade under other angles than its middle: the place along acts
  /// like a slope. Lamps stand in a row, so blades of any length at any place get both their light and their fall-off.
  static float drift(float right_mm) {
    constexpr float kTurn = 6.2831853f;
    return 0.95f * std::sin(kTurn * (right_mm / 230.0f + 0.02f)) + 0.45f * std::sin(kTurn * (right_mm / 83.0f + 0.30f));
  }

  Lit at(float drift, float up_mm, float slope_right, float slope_up) const {
    const float u = drift - turn_right * slope_right;
    const float v = 0.40f + up_mm * (1 / 24.0f) - turn_up * slope_up + 0.30f * u;
    const float across = roll(1.2f * v), along = 1.0f / (1.0f + 1.1f * (u - 0.30f) * (u - 0.30f));
    // Ground bevels slope by a tenth or so and mirror the softbox. Where a face is steeper, or matt, it is as light as
    // it faces the lamp, which stands to the upper left, 45 degrees high.
    const float slope2 = slope_right * slope_right + slope_up * slope_up;
    const float facing = std::max(0.0f, 1.0f + 0.5f * slope_right - 0.866f * slope_up) / std::sqrt(1.0f + slope2);
    const float mirrored = polished / (1.0f + 4.0f * slope2);
    const float key = 0.08f + 0.92f * across * along, spread = 0.72f + 0.28f * across;
    return {kMatt * facing + mirrored * (key - kMatt * facing), kBroad * facing + mirrored * (spread - kBroad * facing)};
  }
};

}  // namespace etchcast
