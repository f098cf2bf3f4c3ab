#pragma once
/// \file fourier.hpp — discrete Fourier transforms of fields that repeat over a rectangle, for tables and flows of many
/// waves.

#include <algorithm>
#include <complex>
#include <vector>

namespace etchcast {

/// Smallest product of twos, threes and fives that is at least `count`: sizes that transform fast.
int smooth_size(int count);

/// Transform of `columns` x `rows` values, x fastest, in place; sizes must be products of 2, 3 and 5. Forward sums
/// value * exp(-i k x) and divides by the number of values, so that entry 0 is the mean; backward undoes it.
class Fourier {
 public:
  using Complex = std::complex<double>;
  Fourier(int columns, int rows);
  int columns() const { return columns_; }
  int rows() const { return rows_; }
  std::size_t size() const { return std::size_t(columns_) * rows_; }
  void forward(std::vector<Complex>& values) const;
  void backward(std::vector<Complex>& values) const;
  /// Whole waves along x or y that entry i stands for, negative for the upper half.
  int waves_x(int i) const { return 2 * i <= columns_ ? i : i - columns_; }
  int waves_y(int j) const { return 2 * j <= rows_ ? j : j - rows_; }
  /// Share that a spline through the nodes can be trusted with: 1 for waves of many nodes, 0 for those of two, which
  /// have no slope at the nodes and would ring between them (an exponential filter of order 8).
  double trusted(int i, int j) const { return std::min(trusted_x_[std::size_t(i)], trusted_y_[std::size_t(j)]); }

 private:
  void transform(std::vector<Complex>& values, bool backward) const;
  int columns_, rows_;
  std::vector<Complex> roots_x_, roots_y_;
  std::vector<double> trusted_x_, trusted_y_;
};

}  // namespace etchcast
