#pragma once
/// \file wander.hpp — the unevenness of a hand: layers that swell and sink a little along and across the bar.
///
/// A sum of plane waves. Each wave displaces metal along its own crest, so it is a simple shear: volume is kept exactly,
/// and the way back is the same wave with the other sign. Waves come in pairs with opposite tilt through the thickness,
/// whose sum stands still at the faces (to first order in the amplitude), as layers at a flat face must.

#include <array>
#include <cmath>

#include "base/noise.hpp"
#include "tape/map.hpp"

namespace etchcast {

class WanderMotion {
 public:
  static constexpr const char* kName = "wander";
  static constexpr int kPairs = 10;

  /// rms_mm across the thickness at mid-thickness; reach_mm = correlation length in x and y.
  WanderMotion(double rms_mm, double reach_mm, double thickness_mm, unsigned seed) {
    constexpr double kPi = 3.14159265358979323846;
    double power = 0;
    std::array<double, kPairs> heights;
    for (int i = 0; i < kPairs; ++i) {
      const auto random = [&](int k) { return hash_bits(seed, i, k) * 0x1p-32; };
      // Waves round about the reach in every direction; a few long ones carry most of the height. Every third pair has
      // a node in mid-thickness, so that the two sides of a blade are not each other's picture.
      const double wavelength = reach_mm * (1.6 + 3.2 * random(0)) * (i % 5 == 4 ? 0.45 : 1.0);
      const double heading = 2 * kPi * (i + random(1)) / kPairs;
      heights[i] = std::sqrt(wavelength / reach_mm);
      power += heights[i] * heights[i] / 2;
      Pair& w = pairs_[i];
      w.cosine = std::cos(heading), w.sine = std::sin(heading);
      w.along = 1 / wavelength, w.through = (i % 3 == 2 ? 1.0 : 0.5) / thickness_mm;
      // cos(a + q z) + cos(a - q z) = 2 cos a cos q z vanishes at z = +-T/2 for q = pi/T; for q = 2 pi/T the pair is
      // taken in opposition: sin a sin q z.
      w.phase = random(2), w.apart = i % 3 == 2 ? 0.5 : 0;
    }
    const double scale = rms_mm / std::sqrt(power);
    for (int i = 0; i < kPairs; ++i) pairs_[i].swing = heights[i] * scale * pairs_[i].through;
  }

  template <class Real>
  void before_from_after(Batch<Real>& b) const {
    for (int i = 0; i < kPairs; ++i) swing(b, Pace<Real>(pairs_[i], true));
  }
  template <class Real>
  void after_from_before(Batch<Real>& b) const {
    for (int i = kPairs - 1; i >= 0; --i) swing(b, Pace<Real>(pairs_[i], false));
  }

 private:
  /// Two waves, phases in turns: along the heading and through the thickness per mm, and how far either moves the other.
  struct Pair {
    double cosine, sine, along, through, phase, apart, swing;
  };
  /// A pair on its way there or back in numbers of the lanes' width. Phases of its two waves are all that it needs of a
  /// place: the first rises through the thickness on the way back to before, the second falls. A wave's own phase stays as
  /// it is, and the other's moves: two shears of a plane, in two numbers instead of three.
  template <class Real>
  struct Pace {
    Real x, y, z, phase, apart, swing, slope, out_x, out_y, out_z;
    Pace(const Pair& w, bool back)
        : x(Real(w.along * w.cosine)),
          y(Real(w.along * w.sine)),
          z(Real(back ? w.through : -w.through)),
          phase(Real(back ? w.phase : w.phase + w.apart)),
          apart(Real(back ? w.apart : -w.apart)),
          swing(Real(w.swing)),
          slope(Real(kTurn * w.swing)),
          out_x(Real(w.cosine / (2 * w.along))),
          out_y(Real(w.sine / (2 * w.along))),
          out_z(Real(1 / (back ? 2 * w.through : -2 * w.through))) {}
    /// One of x, y, z and their derivatives, sheared: `first` and `second` are what the waves do to each other's phases.
    void shear(Real& px, Real& py, Real& pz, Real first, Real second) const {
      const Real sum = second - first, difference = second + first;
      px += out_x * sum, py += out_y * sum, pz += out_z * difference;
    }
    void shear_slopes(Real& px, Real& py, Real& pz, Real first, Real second) const {
      const Real level = x * px + y * py, tilt = z * pz, moved = first * (level + tilt);
      shear(px, py, pz, moved, second * ((level - tilt) - moved));
    }
  };
  template <class Real>
  static void swing(Batch<Real>& b, const Pace<Real> pace) {
    alignas(64) Real first[kLanes], first_slope[kLanes], other[kLanes];
    lane_by_lane([pace, &b, &first, &first_slope, &other](int i) {
      const Real level = pace.x * b.x[i] + pace.y * b.y[i] + pace.phase, tilt = pace.z * b.z[i];
      Real s, c;
      sine_cosine_of_turns(level + tilt, s, c);
      first[i] = pace.swing * c, first_slope[i] = -pace.slope * s;
      other[i] = (level - tilt + pace.apart) - first[i];
    });
    lane_by_lane([pace, &b, &first, &first_slope, &other](int i) {
      Real s, c;
      sine_cosine_of_turns(other[i], s, c);
      const Real second_slope = -pace.slope * s;
      pace.shear(b.x[i], b.y[i], b.z[i], first[i], pace.swing * c);
      pace.shear_slopes(b.xp[i], b.yp[i], b.zp[i], first_slope[i], second_slope);
      pace.shear_slopes(b.xq[i], b.yq[i], b.zq[i], first_slope[i], second_slope);
    });
  }
  static constexpr double kTurn = 6.28318530717958647693;
  std::array<Pair, kPairs> pairs_;
};

}  // namespace etchcast
