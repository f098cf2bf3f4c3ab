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
  static constexpr int kPairs = 10, kParts = 2 * kPairs;

  /// rms_mm across the thickness at mid-thickness; reach_mm = correlation length in x and y.
  WanderMotion(double rms_mm, double reach_mm, double thickness_mm, unsigned seed) {
    constexpr double kPi = 3.14159265358979323846;
    double power = 0;
    for (int i = 0; i < kPairs; ++i) {
      const auto random = [&](int k) { return hash_bits(seed, i, k) * 0x1p-32; };
      // Waves round about the reach in every direction; a few long ones carry most of the height. Every third pair has
      // a node in mid-thickness, so that the two sides of a blade are not each other's picture.
      const double wavelength = reach_mm * (1.6 + 3.2 * random(0)) * (i % 5 == 4 ? 0.45 : 1.0);
      const double heading = 2 * kPi * (i + random(1)) / kPairs, k = 2 * kPi / wavelength;
      const double q = (i % 3 == 2 ? 2 : 1) * kPi / thickness_mm;
      const double height = std::sqrt(wavelength / reach_mm);
      power += height * height / 2;
      for (int tilt = 0; tilt < 2; ++tilt) {
        Wave& w = waves_[2 * i + tilt];
        const double qt = tilt ? -q : q, phase = 2 * kPi * random(2);
        w.kx = k * std::cos(heading), w.ky = k * std::sin(heading), w.kz = qt;
        // cos(a + q z) + cos(a - q z) = 2 cos a cos q z vanishes at z = +-T/2 for q = pi/T; for q = 2 pi/T the pair is
        // taken in opposition: sin a sin q z.
        w.phase = phase + (i % 3 == 2 && tilt ? kPi : 0);
        w.dx = -0.5 * height * qt / k * std::cos(heading);
        w.dy = -0.5 * height * qt / k * std::sin(heading);
        w.dz = 0.5 * height;
      }
    }
    const double scale = rms_mm / std::sqrt(power);
    for (Wave& w : waves_) w.dx *= scale, w.dy *= scale, w.dz *= scale;
  }

  template <class Real>
  void before_from_after(Point<Dual<Real>>& p, int wave) const { shear(p, waves_[wave], Real(1)); }
  template <class Real>
  void after_from_before(Point<Dual<Real>>& p, int wave) const { shear(p, waves_[wave], Real(-1)); }

 private:
  struct Wave {
    double kx, ky, kz, phase, dx, dy, dz;
  };
  template <class Real>
  static void shear(Point<Dual<Real>>& p, const Wave& w, Real sign) {
    const Dual<Real> a = Real(w.kx) * p.x + Real(w.ky) * p.y + Real(w.kz) * p.z + Real(w.phase);
    Dual<Real> s, c;
    sine_cosine(a, s, c);
    p.x = p.x + (sign * Real(w.dx)) * c;
    p.y = p.y + (sign * Real(w.dy)) * c;
    p.z = p.z + (sign * Real(w.dz)) * c;
  }
  std::array<Wave, 2 * kPairs> waves_;
};

}  // namespace etchcast
