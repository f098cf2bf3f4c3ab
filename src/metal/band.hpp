#pragma once
/// \file band.hpp — symmetric positive definite equations with a band and two full borders.

#include <cstddef>
#include <vector>

namespace etchcast::metal {

/// A x = b with A of `size` banded unknowns, followed by two that couple to all others.
class BorderedBand {
 public:
  BorderedBand(int size, int half_width)
      : size_(size),
        stride_(half_width + 1),
        band_(std::size_t(size + half_width + 1) * stride_),
        border_(std::size_t(size + 2) * 2) {}
  void clear();
  /// Adds to entry (row, column); entries above the diagonal are ignored.
  void add(int row, int column, double value) {
    if (row < column) return;
    if (row < size_)
      band_[std::size_t(column) * stride_ + (row - column)] += value;
    else
      border_[std::size_t(row - size_) * (size_ + 2) + column] += value;
  }
  /// Entry (row, column) of the band, row >= column, for adding to it many times.
  std::size_t place(int row, int column) const { return std::size_t(column) * stride_ + (row - column); }
  double& at(std::size_t place) { return band_[place]; }
  /// Cholesky factors in place. False if the band is not positive definite.
  bool factor();
  /// In place, after factor().
  void solve(std::vector<double>& x) const;

 private:
  int size_, stride_;
  std::vector<double> band_;    ///< column by column, from the diagonal down
  std::vector<double> border_;  ///< two rows of size + 2; after factor() L^-1 of them
  double corner_[3] = {0, 0, 0};
};

}  // namespace etchcast::metal
