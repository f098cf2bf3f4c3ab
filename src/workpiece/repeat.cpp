// Two patterns with one repeat in common.
#include "workpiece/repeat.hpp"

#include <algorithm>
#include <cmath>

namespace etchcast {

namespace {

/// Old repeats and new spacings in the common one, or {0, 0}.
struct Counts {
  int old = 0, fresh = 0;
};

Counts counts_of(double old_mm, double fresh_mm, double tolerance) {
  constexpr int kMost = 4;
  Counts best;
  for (int n = 1; n <= kMost; ++n)
    for (int m = 1; m <= kMost; ++m)
      if (std::abs(n * old_mm / (m * fresh_mm) - 1) <= tolerance && (best.old == 0 || n < best.old)) best = {n, m};
  return best;
}

}  // namespace

Rungs Rungs::stretched(double along, double across) const {
  const double x = std::cos(angle) / along, y = std::sin(angle) / across;
  return {spacing / std::hypot(x, y), std::atan2(y, x)};
}

Repeat Repeat::stretched(double along, double across) const {
  const Rungs rungs = Rungs{1, angle_rad}.stretched(along, across);
  Repeat r = *this;
  r.angle_rad = rungs.angle;
  r.spacing_mm *= rungs.spacing, r.place_mm *= rungs.spacing, r.finest_mm *= rungs.spacing;
  return r;
}

std::optional<Joined> joined(const Repeat& old, double spacing_mm, double phase, double angle_rad, double tolerance) {
  if (std::abs(old.angle_rad - angle_rad) > 1e-6) return {};
  const Counts counts = counts_of(old.spacing_mm, spacing_mm, tolerance);
  if (counts.old == 0) return {};
  Joined j;
  j.repeat = old;
  j.repeat.spacing_mm = counts.old * old.spacing_mm;
  j.spacing_mm = j.repeat.spacing_mm / counts.fresh;
  j.repeat.finest_mm = std::min(old.finest_mm, j.spacing_mm);
  j.crest_mm = phase * j.spacing_mm;
  j.repeat.mirrored = false;
  if (!old.mirrored) return j;
  // The new ridges have a mirror at each crest and midway; one that falls on a mirror of the old pattern serves for both.
  for (int k = 0; k < 2 * counts.old; ++k) {
    const double place = old.place_mm + k * old.spacing_mm / 2, off = (place - j.crest_mm) / (j.spacing_mm / 2);
    if (std::abs(off - std::round(off)) > 0.01) continue;  // half a hundredth of the spacing: nobody sets a die truer
    j.repeat.mirrored = true;
    j.repeat.place_mm = place;
    j.crest_mm = place - std::round(off) * j.spacing_mm / 2;
    break;
  }
  return j;
}

}  // namespace etchcast
