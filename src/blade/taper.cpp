// Distal taper through the smith's three figures and the tip.
#include "blade/taper.hpp"

#include <cmath>

namespace etchcast {
namespace {

/// One-sided slope at an end, held back so that the first piece stays monotone.
double end_slope(double h0, double h1, double chord0, double chord1) {
  const double slope = ((2 * h0 + h1) * chord0 - h0 * chord1) / (h0 + h1);
  if (slope * chord0 <= 0) return 0;
  if (chord0 * chord1 <= 0 && std::abs(slope) > 3 * std::abs(chord0)) return 3 * chord0;
  return slope;
}

}  // namespace

Taper::Taper(const std::array<double, 4>& x, const std::array<double, 4>& value) : x_(x), value_(value) {
  double h[3], chord[3];
  for (int i = 0; i < 3; ++i) {
    h[i] = x[i + 1] - x[i];
    chord[i] = (value[i + 1] - value[i]) / h[i];
  }
  slope_[0] = end_slope(h[0], h[1], chord[0], chord[1]);
  slope_[3] = end_slope(h[2], h[1], chord[2], chord[1]);
  for (int i = 1; i < 3; ++i) {
    const double before = 2 * h[i] + h[i - 1], after = h[i] + 2 * h[i - 1];
    slope_[i] = chord[i - 1] * chord[i] <= 0 ? 0 : (before + after) / (before / chord[i - 1] + after / chord[i]);
  }
}

int Taper::piece(double x) const { return x < x_[1] ? 0 : x < x_[2] ? 1 : 2; }

double Taper::value(double x) const {
  const int i = piece(x);
  const double h = x_[i + 1] - x_[i], t = (x - x_[i]) / h, u = 1 - t;
  return u * u * (1 + 2 * t) * value_[i] + t * t * (3 - 2 * t) * value_[i + 1] +
         h * t * u * (u * slope_[i] - t * slope_[i + 1]);
}

double Taper::slope(double x) const {
  const int i = piece(x);
  const double h = x_[i + 1] - x_[i], t = (x - x_[i]) / h, u = 1 - t;
  return 6 * t * u * (value_[i + 1] - value_[i]) / h + u * (1 - 3 * t) * slope_[i] + t * (3 * t - 2) * slope_[i + 1];
}

}  // namespace etchcast
