#pragma once
/// \file patch.hpp — a smooth function over a square of pixels, from its values and slopes at the corners.
///
/// The twelve numbers of four corners fix a polynomial: Adini's plate element, every cubic and x^3 y and x y^3 besides.
/// Along a side it is the cubic of that side's two corners, so neighbours of one size join without a step. Its error falls
/// with the fourth power of the side.

#include <algorithm>
#include <cmath>

namespace etchcast {

/// A function at a point: value, told from the square's upper left corner so that float keeps its digits, and slopes per
/// pixel to the right and down.
struct Corner {
  float value;
  float right, down;
};

/// Corners as a pixel raster has them, `side` pixels apart.
struct Corners {
  Corner upper_left, upper_right, lower_left, lower_right;
  float side;
};

/// What the polynomial says in the middle of the square and of its sides.
struct Foretold {
  Corner middle, upper, left, right, lower;
};
inline Foretold foretell(const Corners& c) {
  const auto& [a, b, d, e, side] = c;  // upper left, upper right, lower left, lower right
  const float turn_top = a.right - b.right, turn_foot = d.right - e.right, turn_left = a.down - d.down, turn_right = b.down - e.down;
  const float skew_down = (turn_foot - turn_top) / 8, skew_right = (turn_right - turn_left) / 8;
  const auto middle = [side = side](float from, float to, float turn) { return (from + to) / 2 + side / 8 * turn; };
  const auto slope = [per = 1.5f / side](float from, float to, float sum) { return per * (to - from) - sum / 4; };
  const float top = slope(a.value, b.value, a.right + b.right), foot = slope(d.value, e.value, d.right + e.right);
  const float left = slope(a.value, d.value, a.down + d.down), right = slope(b.value, e.value, b.down + e.down);
  return {{(a.value + b.value + d.value + e.value) / 4 + side / 16 * (turn_top + turn_foot + turn_left + turn_right), (top + foot) / 2 + skew_right,
           (left + right) / 2 + skew_down},
          {middle(a.value, b.value, turn_top), top, (a.down + b.down) / 2 + skew_down},
          {middle(a.value, d.value, turn_left), (a.right + d.right) / 2 + skew_right, left},
          {middle(b.value, e.value, turn_right), (b.right + e.right) / 2 + skew_right, right},
          {middle(d.value, e.value, turn_foot), foot, (d.down + e.down) / 2 + skew_down}};
}

/// The polynomial itself. Lengths are sides of the square.
struct Patch {
  /// What a side's cubic has over its chord: t (1 - t) ((1 - t) p + t q).
  struct Bubble {
    float p, q;
  };
  float top[4], foot[4];  ///< cubics along the upper and the lower side, by powers
  Bubble left, right;

  Patch() = default;
  explicit Patch(const Corners& c) {
    const float side = c.side;
    lay(top, c.upper_left, c.upper_right, side);
    lay(foot, c.lower_left, c.lower_right, side);
    left = bubble(c.upper_left, c.lower_left, side);
    right = bubble(c.upper_right, c.lower_right, side);
  }

  /// How far a pixel's parallelogram may stray from the polynomial, at its ends and its middle, at most.
  float bend(float side) const {
    const auto along = [](const float* k) { return std::max(std::abs(2 * k[2]), std::abs(2 * k[2] + 6 * k[3])); };
    const auto down = [](const Bubble& b) { return std::max(std::abs(2 * b.q - 4 * b.p), std::abs(2 * b.p - 4 * b.q)); };
    const float from = foot[1] - top[1], gain = 2 * (foot[2] - top[2]) + 3 * (foot[3] - top[3]);
    const float cross = std::max(std::abs(from + right.p - left.p), std::abs(from + gain + left.q - right.q));
    return std::max(std::max(std::max(along(top), along(foot)), std::max(down(left), down(right))) / 8, cross / 4) / (side * side);
  }

 private:
  /// The cubic over 0 .. 1 between two corners.
  static void lay(float (&k)[4], const Corner& from, const Corner& to, float side) {
    const float rise = to.value - from.value, a = from.right * side, b = to.right * side;
    k[0] = from.value, k[1] = a, k[2] = 3 * rise - 2 * a - b, k[3] = a + b - 2 * rise;
  }
  static Bubble bubble(const Corner& from, const Corner& to, float side) {
    const float fall = to.value - from.value;
    return {from.down * side - fall, fall - to.down * side};
  }
};

/// Rows 0 .. kSide-1 of a square: value and slope down as cubics in pixels from the left, value[k][row] of power k.
template <int kSide>
struct PatchRows {
  alignas(64) float value[4][kSide], down[4][kSide];
  explicit PatchRows(const Patch& patch) {
    constexpr float kPer = 1.0f / kSide;
    const auto &top = patch.top, &foot = patch.foot;
    const auto [lp, lq] = patch.left;
    const auto [rp, rq] = patch.right;
    for (int j = 0; j < kSide; ++j) {
      const float t = float(j) * kPer, u = 1 - t;
      const float l = t * u * (u * lp + t * lq), r = t * u * (u * rp + t * rq);
      const float ls = u * (1 - 3 * t) * lp + t * (2 - 3 * t) * lq, rs = u * (1 - 3 * t) * rp + t * (2 - 3 * t) * rq;
      value[0][j] = top[0] + t * (foot[0] - top[0]) + l;
      value[1][j] = (top[1] + t * (foot[1] - top[1]) + r - l) * kPer;
      value[2][j] = (top[2] + t * (foot[2] - top[2])) * (kPer * kPer);
      value[3][j] = (top[3] + t * (foot[3] - top[3])) * (kPer * kPer * kPer);
      down[0][j] = (foot[0] - top[0] + ls) * kPer;
      down[1][j] = (foot[1] - top[1] + rs - ls) * (kPer * kPer);
      down[2][j] = (foot[2] - top[2]) * (kPer * kPer * kPer);
      down[3][j] = (foot[3] - top[3]) * (kPer * kPer * kPer * kPer);
    }
  }
};

}  // namespace etchcast
