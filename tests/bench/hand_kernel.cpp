// Workload W by hand. Constants are W's; what is derived from them stands beside them.
#include "hand_kernel.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "base/clones.hpp"
#include "tape/squaring.hpp"

namespace etchcast::bench {

namespace {

constexpr double kPi = 3.14159265358979323846, kPixel = 0.05;  // mm
constexpr int kColumns = 3840, kRows = 1000;
constexpr int kRepeat = 240;  // pixels from ridge to ridge
constexpr int kPoints = 128;  // on their way to their rings at a time: half a repeat and some, or the parts of 8 pixels
constexpr int kParts = 16;    // of a divided pixel
constexpr int kRings = 256;   // of the table of heights, from the axis to the skin
constexpr int kAngles = 256;  // a quarter turn on each

/// The section is -1..1 both ways. Lengths through the stack are told in the units in which its first plates were 4 and
/// 3: 53 for the 15 plates, 20 times that for the bar.
constexpr float kHalfStack = 530, kStack = 53, kPair = 7;

/// The plane over the bar's middle at y = 0. Faces under offset ridges are 6.5 mm apart everywhere: the middle swings
/// by 1.25 mm, and the bar of 9 mm is 9 / 6.5 as long.
float lift_at(double x) { return float((0.95 + 1.25 * std::cos(2 * kPi / 12 * x)) / 3.25); }
float width_at(double row) { return float((row * kPixel - 25) / 25); }
constexpr float kFall = 0.04f * 25 / 3.25f;  // of the plane, over half the width

/// How far the bar is twisted at x, in eighths of a turn: 0.15 turns/cm before it was drawn from 22 x 22 to 9 x 50 mm.
float turn_at(double x) {
  const double eighths = 8 * 0.015 * (9.0 * 50 / (22 * 22)) * (6.5 / 9) * x;
  return float(eighths - 8 * std::floor(eighths / 8));
}

/// To the nearest whole number, by 1.5 * 2^23: a float that large has no fraction.
inline float rounded(float x) { return (x + 12582912.0f) - 12582912.0f; }

/// Places in the section, and which ring passes through them (tape/squaring.hpp).
struct Points {
  alignas(64) float y[kPoints], z[kPoints], tangent[kPoints], a2[kPoints], k[kPoints];
};

/// What is left to know of a point: where it lies on which ring, in eighths of a turn and in rows of the table.
struct Rings {
  alignas(64) float angle[kRepeat];
  alignas(64) float ring[kRepeat];
};

ETCHCAST_CLONES void find_rings(Points& p) {
#pragma GCC ivdep
  for (int i = 0; i < kPoints; ++i) {
    const SquarePlace<float> place = square_place(p.y[i], p.z[i]);
    p.a2[i] = place.a2, p.tangent[i] = place.tangent;
    p.k[i] = ring_through(near_ring(place), place);
  }
}

ETCHCAST_CLONES void find_angles(const Points& p, Rings& r) {
#pragma GCC ivdep
  for (int i = 0; i < kPoints; ++i) {
    const Dual<float> y{p.y[i]}, z{p.z[i]};
    const OnRing<float> on = ring_from_square(p.k[i], {p.a2[i], p.tangent[i]}, y, z);
    r.angle[i] = 2 * on.along.v, r.ring[i] = kRings * on.rho.v;
  }
}

/// Heights of all rings over the axis, in units of the stack, from where they cross +z a quarter turn down. Between its
/// places they are as good as straight: off by some hundredths of a unit.
class Heights {
 public:
  Heights() : heights_(size_t(kRings + 2) * kWidth) {
    for (int ring = 0; ring < kRings + 2; ++ring)
      fill(std::min(float(ring) / kRings, 1.0f), &heights_[size_t(ring) * kWidth]);
  }
  static constexpr int kWidth = kAngles + 2;
  const float* data() const { return heights_.data(); }

 private:
  ETCHCAST_CLONES static void fill(float rho, float* heights) {
    const float k = rho * rho;
#pragma GCC ivdep
    for (int column = 0; column < kWidth; ++column) {
      const OnRing<float> on{{rho}, {1 - std::min(float(column) / kAngles, 1.0f)}};
      Dual<float> y, z;
      square_from_ring(on, k, tangent_on(k, near_tangent(k, on.along.v), on.along.v), y, z);
      heights[column] = kHalfStack * z.v;
    }
  }
  std::vector<float> heights_;
};

void find(Points& p, Rings& r) {
  find_rings(p);
  find_angles(p, r);
}

/// Back through the twist and up the stack: s from its middle.
ETCHCAST_CLONES void untwist(const Rings& r, const float* heights, const float* turn, int n, float* s) {
  constexpr int kWidth = Heights::kWidth;
#pragma GCC ivdep
  for (int i = 0; i < n; ++i) {
    const float turned = r.angle[i] - turn[i], angle = turned - 8 * rounded(turned * 0.125f);
    const float column = std::abs(2 - std::abs(angle)) * (kAngles / 2), row = r.ring[i];
    const int left = int(column), below = int(row);
    const float* at = heights + below * kWidth + left;
    const float across = column - float(left), up = row - float(below);
    const float low = at[0] + across * (at[1] - at[0]), high = at[kWidth] + across * (at[kWidth + 1] - at[kWidth]);
    s[i] = std::copysign(low + up * (high - low), angle);
  }
}

/// Half width of a footprint: half the slope, and the seams' diffusion in it. sqrt(half^2 + 0.106^2) within 0.02.
inline float half_width(float slope) {
  const float half = 0.5f * std::abs(slope);
  return std::max(half + 0.01f, 0.5f * half + 0.106f);
}

/// From the middle of the nearest plate of the first steel, 4 thick, if such pairs went on for ever.
inline float from_plate(float q) { return q - 2 - kPair * rounded((q - 2) * (1 / kPair)); }
inline float beyond_plate(float from) { return std::max(std::abs(from) - 2, 0.0f); }

/// Share under a trapezoid about s: two boxes. Twice integrated, plates in pairs are 3/14 from^2 - beyond^2 / 2; where
/// stacks meet two plates of one steel touch, and a pair's second plate is missing, which adds a kink. Second
/// differences.
inline float share(float s, float right, float down) {
  const float a = half_width(right), b = half_width(down), large = a + b, less = std::abs(a - b);
  const float seam = std::abs(s - kStack * rounded(s * (1 / kStack)));  // distance of the nearest
  const float q1 = seam + large, q2 = std::abs(seam - large), q3 = seam + less, q4 = std::abs(seam - less);
  const float p1 = from_plate(q1), p2 = from_plate(q2), p3 = from_plate(q3), p4 = from_plate(q4);
  const float o1 = beyond_plate(p1), o2 = beyond_plate(p2), o3 = beyond_plate(p3), o4 = beyond_plate(p4);
  const float squares = p1 * p1 + p2 * p2 - p3 * p3 - p4 * p4, beyond = o1 * o1 + o2 * o2 - o3 * o3 - o4 * o4;
  const float kinks = (q1 + q2) - (q3 + q4);
  const float value = 4 / kPair + (3 / kPair * squares + 12 / kPair * kinks - beyond) / (8 * a * b);
  return std::min(std::max(value, 0.0f), 1.0f);
}

ETCHCAST_CLONES void weigh_row(const float* above, const float* s, const float* below, float* shares) {
#pragma GCC ivdep
  for (int i = 0; i < kColumns; ++i)
    shares[i] = share(s[i], 0.5f * (s[i + 1] - s[i - 1]), 0.5f * (below[i] - above[i]));
}

ETCHCAST_CLONES void weigh_parts(const float* s, const float* right, const float* down, float* shares) {
  for (int i = 0; i < kPoints; ++i) shares[i] = share(s[i], right[i], down[i]);
}

/// A pixel to divide, and its slopes.
struct Bent {
  int row, column;
  float right, down;
};
constexpr int kRim = 10;           // rows from the plate's edges that may have some
constexpr float kMostBend = 0.5f;  // units that the slopes may turn by over a pixel

void note_bent(int row, const float* above, const float* s, const float* below, std::vector<Bent>& bent) {
  for (int c = 0; c < kColumns; ++c) {
    const float bend = std::abs(s[c - 1] - 2 * s[c] + s[c + 1]) + std::abs(above[c] - 2 * s[c] + below[c]);
    if (bend > kMostBend) bent.push_back({row, c, 0.5f * (s[c + 1] - s[c - 1]), 0.5f * (below[c] - above[c])});
  }
}

class Kernel {
 public:
  Kernel() {
    for (int i = 0; i < kColumns; ++i) turn_[i] = turn_at((i + 0.5) * kPixel);
    for (int i = 0; i < kPoints; ++i) lift_[i] = lift_at((i + 0.5) * kPixel);
  }

  void draw(float* shares) {
    float *above = rows_[0] + kMargin, *s = rows_[1] + kMargin, *below = rows_[2] + kMargin;
    find_row(0, above), find_row(0.5, s);
    beyond_edge(above, s);
    for (int r = 0; r < kRows; ++r) {
      find_row(r + 1 < kRows ? r + 1.5 : kRows, below);
      if (r + 1 == kRows) beyond_edge(below, s);
      weigh_row(above, s, below, shares + size_t(r) * kColumns);
      if (r < kRim || r >= kRows - kRim) note_bent(r, above, s, below, bent_);
      std::swap(above, s), std::swap(s, below);
    }
    for (size_t first = 0; first < bent_.size(); first += kPoints / kParts) divide(first, shares);
  }

 private:
  void find_row(double row, float* s) {
    const float y = width_at(row);
    for (int i = 0; i < kPoints; ++i) points_.y[i] = y, points_.z[i] = lift_[i] - kFall * y;
    find(points_, rings_);
    for (float* p : {rings_.angle, rings_.ring}) mirror(p);
    for (int c = 0; c < kColumns; c += kRepeat) untwist(rings_, heights_.data(), turn_ + c, kRepeat, s + c);
    s[-1] = 2 * s[0] - s[1], s[kColumns] = 2 * s[kColumns - 1] - s[kColumns - 2];
  }
  static void mirror(float* p) {
    for (int i = 0; i < kRepeat / 2; ++i) p[kRepeat - 1 - i] = p[i];
  }
  /// From a row at the plate's edge to one as far beyond it as `inside` is within.
  static void beyond_edge(float* edge, const float* inside) {
    for (int i = 0; i < kColumns; ++i) edge[i] = 2 * edge[i] - inside[i];
  }

  void divide(size_t first, float* shares) {
    alignas(64) float lift[kPoints], turn[kPoints], s[kPoints], right[kPoints], down[kPoints], parts[kPoints];
    for (int i = 0; i < kPoints; ++i) {
      const Bent& pixel = bent_[std::min(first + size_t(i / kParts), bent_.size() - 1)];
      const bool upper = i % kParts < 4;  // those below stand at the same x
      const double x = (pixel.column + (i % 4 + 0.5) / 4) * kPixel;
      const float y = width_at(pixel.row + (i / 4 % 4 + 0.5) / 4);
      lift[i] = upper ? lift_at(x) : lift[i - 4], turn[i] = upper ? turn_at(x) : turn[i - 4];
      points_.y[i] = y, points_.z[i] = lift[i] - kFall * y;
      right[i] = pixel.right / 4, down[i] = pixel.down / 4;
    }
    find(points_, rings_);
    untwist(rings_, heights_.data(), turn, kPoints, s);
    weigh_parts(s, right, down, parts);
    for (int k = 0; k < kPoints / kParts && first + size_t(k) < bent_.size(); ++k) {
      const Bent& pixel = bent_[first + size_t(k)];
      float sum = 0;
      for (int i = 0; i < kParts; ++i) sum += parts[k * kParts + i];
      shares[size_t(pixel.row) * kColumns + pixel.column] = sum / kParts;
    }
  }

  static constexpr int kMargin = 16;  // room beside a row
  Heights heights_;
  Points points_;
  Rings rings_;
  alignas(64) float turn_[kColumns], lift_[kPoints];
  alignas(64) float rows_[3][kColumns + 2 * kMargin];
  std::vector<Bent> bent_;
};

}  // namespace

void hand_kernel(float* shares) { Kernel().draw(shares); }

}  // namespace etchcast::bench
