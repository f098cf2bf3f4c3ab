#pragma once
/// \file patch.hpp — a smooth function over a square of pixels, from its values and slopes at the corners.
///
/// The twelve numbers of four corners fix a polynomial: Adini's plate element, every cubic and x^3 y and x y^3 besides.
/// Along a side it is the cubic of that side's two corners, so neighbours of one size join without a step. Its error falls
/// with the fourth power of the side.

#include <algorithm>
#include <cmath>

namespace etchcast {

/// A function at a point: value, and slopes per pixel to the right and down.
struct Corner {
  double value;
  double right, down;
};

/// Corners as a pixel raster has them, `side` pixels apart.
struct Corners {
  Corner upper_left, upper_right, lower_left, lower_right;
  double side;
};

/// What the polynomial says in the middle of the square (0) and of its upper (1), left (2), right (3) and lower side (4).
inline void foretell(const Corners& c, Corner (&told)[5]) {
  const auto& [a, b, d, e, side] = c;  // upper left, upper right, lower left, lower right
  const double turn_top = a.right - b.right, turn_foot = d.right - e.right, turn_left = a.down - d.down, turn_right = b.down - e.down;
  const double skew_down = (turn_foot - turn_top) / 8, skew_right = (turn_right - turn_left) / 8;
  const auto middle = [side = side](double from, double to, double turn) { return (from + to) / 2 + side / 8 * turn; };
  const auto slope = [side = side](double from, double to, double sum) { return 1.5 * (to - from) / side - sum / 4; };
  const double top = slope(a.value, b.value, a.right + b.right), foot = slope(d.value, e.value, d.right + e.right);
  const double left = slope(a.value, d.value, a.down + d.down), right = slope(b.value, e.value, b.down + e.down);
  told[0] = {(a.value + b.value + d.value + e.value) / 4 + side / 16 * (turn_top + turn_foot + turn_left + turn_right),
             (top + foot) / 2 + skew_right, (left + right) / 2 + skew_down};
  told[1] = {middle(a.value, b.value, turn_top), top, (a.down + b.down) / 2 + skew_down};
  told[2] = {middle(a.value, d.value, turn_left), (a.right + d.right) / 2 + skew_right, left};
  told[3] = {middle(b.value, e.value, turn_right), (b.right + e.right) / 2 + skew_right, right};
  told[4] = {middle(d.value, e.value, turn_foot), foot, (d.down + e.down) / 2 + skew_down};
}

/// The polynomial itself. Values are told from the upper left corner's, so that float keeps their digits.
class Patch {
 public:
  explicit Patch(const Corners& c) : side_(float(c.side)), base_(c.upper_left.value) {
    lay(top_, c.upper_left, c.upper_right, &Corner::right);
    lay(foot_, c.lower_left, c.lower_right, &Corner::right);
    const float fall = float(c.lower_left.value - base_), fall_there = float(c.lower_right.value - c.upper_right.value);
    left_ = {float(c.upper_left.down) * side_ - fall, fall - float(c.lower_left.down) * side_};
    right_ = {float(c.upper_right.down) * side_ - fall_there, fall_there - float(c.lower_right.down) * side_};
  }
  double base() const { return base_; }

  /// Rows 0 .. kSide-1: value (less base) and slope down as cubics in pixels from the left, value[k][row] of power k.
  template <int kSide>
  struct Rows {
    alignas(64) float value[4][kSide], down[4][kSide];
  };
  template <int kSide>
  void rows(Rows<kSide>& r) const {
    constexpr float kPer = 1.0f / kSide;
    for (int j = 0; j < kSide; ++j) {
      const float t = float(j) * kPer, u = 1 - t;
      const float l = t * u * (u * left_.p + t * left_.q), m = t * u * (u * right_.p + t * right_.q);
      const float ls = u * (1 - 3 * t) * left_.p + t * (2 - 3 * t) * left_.q, ms = u * (1 - 3 * t) * right_.p + t * (2 - 3 * t) * right_.q;
      r.value[0][j] = top_[0] + t * (foot_[0] - top_[0]) + l;
      r.value[1][j] = (top_[1] + t * (foot_[1] - top_[1]) + m - l) * kPer;
      r.value[2][j] = (top_[2] + t * (foot_[2] - top_[2])) * (kPer * kPer);
      r.value[3][j] = (top_[3] + t * (foot_[3] - top_[3])) * (kPer * kPer * kPer);
      r.down[0][j] = (foot_[0] - top_[0] + ls) * kPer;
      r.down[1][j] = (foot_[1] - top_[1] + ms - ls) * (kPer * kPer);
      r.down[2][j] = (foot_[2] - top_[2]) * (kPer * kPer * kPer);
      r.down[3][j] = (foot_[3] - top_[3]) * (kPer * kPer * kPer * kPer);
    }
  }

  /// How far a pixel's parallelogram may stray from the polynomial, at its ends and its middle, at most.
  float bend() const {
    const auto along = [](const float* k) { return std::max(std::abs(2 * k[2]), std::abs(2 * k[2] + 6 * k[3])); };
    const auto down = [](const Bubble& b) { return std::max(std::abs(2 * b.q - 4 * b.p), std::abs(2 * b.p - 4 * b.q)); };
    float cross = 0;
    for (const float t : {0.0f, 1.0f}) {
      const float from = foot_[1] - top_[1], gain = t * (2 * (foot_[2] - top_[2]) + 3 * t * (foot_[3] - top_[3]));
      const float bubble = (t > 0 ? left_.q - right_.q : right_.p - left_.p);
      cross = std::max(cross, std::abs(from + gain + bubble));
    }
    return std::max(std::max(std::max(along(top_), along(foot_)), std::max(down(left_), down(right_))) / 8, cross / 4) / (side_ * side_);
  }

 private:
  /// What a side's cubic has over its chord: t (1 - t) ((1 - t) p + t q).
  struct Bubble {
    float p, q;
  };
  /// The cubic over 0 .. 1 between two corners.
  void lay(float (&k)[4], const Corner& from, const Corner& to, double Corner::*slope) const {
    const float rise = float(to.value - from.value), a = float(from.*slope) * side_, b = float(to.*slope) * side_;
    k[0] = float(from.value - base_), k[1] = a, k[2] = 3 * rise - 2 * a - b, k[3] = a + b - 2 * rise;
  }
  float side_;
  double base_;
  float top_[4], foot_[4];
  Bubble left_, right_;
};

}  // namespace etchcast
