#pragma once
/// \file layer_table.hpp — how layers lie after metal has moved every way at once, as two families of functions that
/// keep volume whatever their values.
///
/// c: the layer (share of the thickness before, 0 .. 1); z: height after, measured so that layers left alone keep z =
/// c. The motion is made of two, one in planes along x, one in planes along y, each generated like that of
/// flow_table.hpp:
///   z  = c1 + sum dA_j/dx(x, y) f_j(c1),   x1 = x + sum A_j(x, y) f_j'(c1)
///   c1 = c  + sum dB_j/dy(x1, y) f_j(c),   y0 = y + sum B_j(x1, y) f_j'(c)
/// Each keeps area in its planes, so together they have |det J| = 1. With A_j = dP_j/dx, B_j = dP_j/dy the plan motion
/// is to first order the slope of a potential, as in slow flow, and z - c is sum (P_j,xx + P_j,yy) f_j. A and B are
/// cubic B-splines that repeat over a rectangle; f_j are polynomials.

#include <cstddef>
#include <vector>

#include "base/coefficients.hpp"

namespace etchcast {

/// Nodes of a rectangle over which everything repeats.
struct Grid2 {
  double x0 = 0, y0 = 0, wide = 1, high = 1;
  int columns = 8, rows = 8;
  double dx() const { return wide / columns; }
  double dy() const { return high / rows; }
  std::size_t size() const { return std::size_t(columns) * rows; }
  double x(std::size_t node) const { return x0 + double(node % std::size_t(columns)) * dx(); }
  double y(std::size_t node) const { return y0 + double(node / std::size_t(columns)) * dy(); }
};

class LayerTable {
 public:
  static constexpr int kDegree = 7;  ///< of the depth functions
  static constexpr int kMostWays = 6;

  /// `ways`: number of depth functions; `depth[j * (kDegree + 1) + n]`: coefficient of (2c - 1)^n in f_j.
  LayerTable(const Grid2& grid, int ways, std::vector<double> depth);
  /// One that was made before, from its coefficients() in single precision.
  LayerTable(const Grid2& grid, int ways, std::vector<double> depth, const std::vector<float>& a,
             const std::vector<float>& b);
  /// Adds to the layers' heights: `rise[j]` at every node is added to z - c as a multiple of f_j. Its mean is ignored,
  /// since it could not keep volume.
  void add(const std::vector<std::vector<double>>& rise);

  const Grid2& grid() const { return grid_; }
  int ways() const { return ways_; }
  /// Numbers a node of the coefficients: the ways, and zeros. Four fill a register of single precision on any machine, and
  /// are enough for nearly all.
  static constexpr int kFewWays = 4, kManySlots = 8;
  static constexpr int slots_of(int ways) { return ways > kFewWays ? kManySlots : kFewWays; }
  int slots() const { return slots_of(ways_); }
  template <class Real>
  const Real* depth() const {
    return depth_.data<Real>();
  }
  /// Coefficients of A (`side` = 0) or B (1): rows + 3 lines of columns + 3 nodes of slots() numbers, wrapped around.
  template <class Real>
  const Real* coefficients(int side) const {
    return sides_[side].data<Real>();
  }

 private:
  Grid2 grid_;
  int ways_;
  Coefficients depth_, sides_[2];
};

}  // namespace etchcast
