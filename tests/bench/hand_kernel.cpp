// Workload W by hand. Constants are W's; what is derived from them stands beside them.
#include "hand_kernel.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "base/clones.hpp"

namespace etchcast::bench {

namespace {

constexpr double kPi = 3.14159265358979323846, kPixel = 0.05;  // mm
constexpr int kColumns = 3840, kRows = 1000;
constexpr int kRepeat = 240;  // pixels from ridge to ridge
constexpr int kPoints = 128;  // on their way to their rings at a time: half a repeat and some, or the parts of 8 pixels
constexpr int kParts = 16;    // of a divided pixel
constexpr int kNodes = 5;     // places a half corner's polynomial is laid through
constexpr float kQuarterPi = float(kPi / 4);

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

/// Places in the section, and the half sides of their rings.
struct Points {
  alignas(64) float y[kPoints], z[kPoints], rho[kPoints];
};

/// What is left to know of a point: where it lies on its ring, and the heights along that ring.
/// An eighth of the ring is its straight side up to g = rho^3, then half of a corner of radius c = rho - g.
struct Rings {
  alignas(64) float angle[kRepeat];             // in eighths, by area swept
  alignas(64) float gain[kRepeat];              // area an eighth, per c
  alignas(64) float most[kRepeat];              // area of half a corner, per c
  alignas(64) float corner[kRepeat];            // c
  alignas(64) float even[kNodes + 1][kRepeat];  // height over the area from the corner's middle: terms of t^0, t^2 ...
  alignas(64) float odd[kNodes][kRepeat];       // and t, t^3 ...
};

/// Area an eighth of the ring sweeps for a step of rho; see tape/squaring.hpp.
inline float rate_of(float rho, float g, float c) { return g + c * (kQuarterPi + (1 - kQuarterPi) * 3 * rho * rho); }

inline float arc_tangent(float t) {
  const bool upper = t > 0.41421356f;
  const float u = upper ? (t - 1) / (t + 1) : t, u2 = u * u;
  const float a = u * (1 + u2 * (-1 / 3.0f + u2 * (1 / 5.0f + u2 * (-1 / 7.0f + u2 * (1 / 9.0f)))));
  return upper ? a + kQuarterPi : a;
}

/// The ring through a point is a root: two rounds of Newton's method, but on its straight side it is plain.
ETCHCAST_CLONES void find_rings(Points& p) {
#pragma GCC ivdep
  for (int i = 0; i < kPoints; ++i) {
    const float y = std::abs(p.y[i]), z = std::abs(p.z[i]);
    const float a = std::min(std::max(y, z), 1.0f), b = std::min(y, z), a2 = a * a, over = std::max(b - a2 * a, 0.0f);
    float rho = a + over * over / (2 * a * (1 - a2) + 6 * a2 * over + 1e-9f);
#pragma GCC unroll 2
    for (int round = 0; round < 2; ++round) {
      const float r2 = rho * rho, u = a - r2 * rho, v = b - r2 * rho, far = std::sqrt(u * u + v * v + 1e-30f);
      rho += (far - rho * (1 - r2)) * far / (3 * r2 * (u + v) + (1 - 3 * r2) * far);
    }
    p.rho[i] = std::max(b > a2 * a ? rho : a, 1e-6f);
  }
}

ETCHCAST_CLONES void find_angles(const Points& p, Rings& r) {
#pragma GCC ivdep
  for (int i = 0; i < kPoints; ++i) {
    const float y = std::abs(p.y[i]), z = std::abs(p.z[i]), a = std::max(y, z), b = std::min(y, z);
    const float rho = p.rho[i], g = rho * rho * rho, c = rho - g, three = 3 * rho * rho;
    const float alpha = arc_tangent(std::min(std::max(b - g, 0.0f) / std::max(a - g, 1e-12f), 1.0f));
    const float corner = g + three * (b - a + c) + (1 - three) * c * alpha;
    const float eighth = (b > a * a * a ? corner : b) / rate_of(rho, g, c);
    const float quarter = 2 - std::copysign(z > y ? eighth : 2 - eighth, p.y[i]);
    r.angle[i] = std::copysign(quarter, p.z[i]);
  }
}

/// Angles from a corner's middle, at which its polynomial is exact.
struct Nodes {
  float angle[kNodes], sine[kNodes], cosine[kNodes];
};

Nodes nodes() {
  Nodes n;
  for (int k = 0; k < kNodes; ++k) {
    const double x = (k + 1.0) / kNodes;
    const double angle = kPi / 4 * (0.7 * std::sin(kPi / 2 * x) + 0.3 * x);  // closer at the end
    n.angle[k] = float(angle), n.sine[k] = float(std::sin(angle)), n.cosine[k] = float(std::cos(angle));
  }
  return n;
}

/// On a corner the height is g + c sin(an eighth turn + angle). The area swept is simple in the angle, but not the
/// other way round: so the height over the area t is a polynomial, even and odd part by itself, off by 0.006 units at
/// most.
ETCHCAST_CLONES void find_heights(const Points& p, Rings& r, const Nodes n) {
#pragma GCC ivdep
  for (int i = 0; i < kPoints; ++i) {
    const float rho = p.rho[i], g = rho * rho * rho, c = std::max(rho - g, 1e-6f), three = 3 * rho * rho;
    const float scale = c * kHalfStack * 0.70710678f;
    float t2[kNodes], e[kNodes], o[kNodes];
#pragma GCC unroll 5
    for (int k = 0; k < kNodes; ++k) {
      const float t = n.angle[k] + three * (1.41421356f * n.sine[k] - n.angle[k]);
      t2[k] = t * t, e[k] = scale * (n.cosine[k] - 1) / t2[k], o[k] = scale * n.sine[k] / t;
    }
    // Newton's divided differences, then the same polynomial by its powers.
#pragma GCC unroll 5
    for (int order = 1; order < kNodes; ++order)
#pragma GCC unroll 5
      for (int k = kNodes - 1; k >= order; --k) {
        const float inverse = 1 / (t2[k] - t2[k - order]);
        e[k] = (e[k] - e[k - 1]) * inverse, o[k] = (o[k] - o[k - 1]) * inverse;
      }
#pragma GCC unroll 5
    for (int from = kNodes - 2; from >= 0; --from)
#pragma GCC unroll 5
      for (int k = from; k < kNodes - 1; ++k) e[k] -= t2[from] * e[k + 1], o[k] -= t2[from] * o[k + 1];
    r.gain[i] = rate_of(rho, g, c) / c, r.most[i] = kQuarterPi + (1 - kQuarterPi) * three, r.corner[i] = c * kHalfStack;
    r.even[0][i] = g * kHalfStack + scale;
#pragma GCC unroll 5
    for (int k = 0; k < kNodes; ++k) r.even[k + 1][i] = e[k], r.odd[k][i] = o[k];
  }
}

void find(Points& p, Rings& r, const Nodes& n) {
  find_rings(p);
  find_angles(p, r);
  find_heights(p, r, n);
}

/// Back through the twist and up the stack: s from its middle.
ETCHCAST_CLONES void untwist(const Rings& r, const float* turn, int n, float* s) {
#pragma GCC ivdep
  for (int i = 0; i < n; ++i) {
    const float turned = r.angle[i] - turn[i], angle = turned - 8 * rounded(turned * 0.125f);
    const float from_corner = (1 - std::abs(2 - std::abs(angle))) * r.gain[i], most = r.most[i];
    const float t = std::min(std::max(from_corner, -most), most), below = std::min(from_corner + most, 0.0f),
                t2 = t * t;
    float even = r.even[kNodes][i], odd = r.odd[kNodes - 1][i];
#pragma GCC unroll 5
    for (int k = kNodes - 1; k >= 0; --k) even = even * t2 + r.even[k][i];
#pragma GCC unroll 5
    for (int k = kNodes - 2; k >= 0; --k) odd = odd * t2 + r.odd[k][i];
    s[i] = std::copysign(even + t * odd + below * r.corner[i], angle);
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
  Kernel() : nodes_(nodes()) {
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
    find(points_, rings_, nodes_);
    for (float* p : {rings_.angle, rings_.gain, rings_.most, rings_.corner}) mirror(p);
    for (auto& p : rings_.even) mirror(p);
    for (auto& p : rings_.odd) mirror(p);
    for (int c = 0; c < kColumns; c += kRepeat) untwist(rings_, turn_ + c, kRepeat, s + c);
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
    find(points_, rings_, nodes_);
    untwist(rings_, turn, kPoints, s);
    weigh_parts(s, right, down, parts);
    for (int k = 0; k < kPoints / kParts && first + size_t(k) < bent_.size(); ++k) {
      const Bent& pixel = bent_[first + size_t(k)];
      float sum = 0;
      for (int i = 0; i < kParts; ++i) sum += parts[k * kParts + i];
      shares[size_t(pixel.row) * kColumns + pixel.column] = sum / kParts;
    }
  }

  static constexpr int kMargin = 16;  // room beside a row
  Nodes nodes_;
  Points points_;
  Rings rings_;
  alignas(64) float turn_[kColumns], lift_[kPoints];
  alignas(64) float rows_[3][kColumns + 2 * kMargin];
  std::vector<Bent> bent_;
};

}  // namespace

void hand_kernel(float* shares) { Kernel().draw(shares); }

}  // namespace etchcast::bench
