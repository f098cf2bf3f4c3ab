#pragma once
/// \file band_table.hpp — how much of each steel lies under a pixel, from the band list, exactly.
///
/// A pixel's footprint on the stack coordinate is two boxes convolved (one for each direction of the surface): a trapezoid.
/// The share of a steel under it is a second difference of the twice integrated indicator of that steel. Taking the mean
/// out before integrating keeps the integrals small, so the difference keeps its digits.

#include <vector>

#include "etchcast/forging.hpp"

namespace etchcast {

class BandTable {
 public:
  BandTable(const BandList& list, int steels);

  /// Shares of the steels, `shares[k * stride]`, under a trapezoid about s with half widths a and b, mm.
  void shares(double s, double a, double b, float* shares, size_t stride) const;
  /// Whether any of s +- reach lies in an inset of another bar, whose own list must be asked.
  bool touches_inset(double s, double reach) const;
  /// Mean thickness of the bands, mm: what "a small part of a layer" is measured by.
  double mean_band() const { return mean_band_; }

 private:
  int band(double s) const;
  int steels_;
  double mean_band_;
  std::vector<double> edges_;
  std::vector<int> what_;
  std::vector<int> lookup_;  ///< first band of each of evenly spaced cells
  double cells_per_mm_;
  /// For band i and steel k, at [i * steels_ + k]: indicator less mean, its integral and second integral at edges_[i].
  struct Integral {
    double value, first, second;
  };
  std::vector<Integral> integrals_;
  std::vector<double> mean_;
};

}  // namespace etchcast
