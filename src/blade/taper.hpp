#pragma once
/// \file taper.hpp — a smooth curve through a few figures that never swings past them.

#include <array>

namespace etchcast {

/// Monotone piecewise cubic through four figures (Fritsch and Butland 1984: slopes are weighted harmonic means of
/// the neighbouring chords', 0 where the figures turn), C1.
class Taper {
 public:
  Taper(const std::array<double, 4>& x, const std::array<double, 4>& value);
  double value(double x) const;
  double slope(double x) const;

 private:
  int piece(double x) const;
  std::array<double, 4> x_, value_, slope_;
};

}  // namespace etchcast
