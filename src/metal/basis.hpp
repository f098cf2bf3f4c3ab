#pragma once
/// \file basis.hpp — cubic B-splines on a repeat: the stream function's, and the two faces'.
///
/// Along it, xi = x / (half repeat) runs in even cells: 0 .. 1 between mirrors, about which the stream function is odd and
/// faces are even; or -1 .. 1 where there are none, both ends being the same place. Through the thickness, sigma runs
/// 0 .. 1 from the lower to the upper face.

#include <vector>

#include "base/spline.hpp"

namespace etchcast::metal {

/// Four functions of one cell with their derivatives.
struct Four {
  double f[4], d[4], dd[4];
};

/// Along the repeat: `cells` even cells; between mirrors cells - 1 unknown coefficients, else as many as cells. About an axis
/// (x = r^2 / 2) its left end is no mirror: the stream function is nothing there, its bend is free.
class RepeatBasis {
 public:
  RepeatBasis(int cells, bool mirrored, bool axis = false) : cells_(cells), mirrored_(mirrored), axis_(axis) {}
  int cells() const { return cells_; }
  int size() const { return mirrored_ && !axis_ ? cells_ - 1 : cells_; }
  bool mirrored() const { return mirrored_; }
  double width() const { return (mirrored_ ? 1.0 : 2.0) / cells_; }
  double place(int cell, double fraction) const { return (mirrored_ ? 0 : -1) + (cell + fraction) * width(); }
  /// xi where it lies in what is solved: held inside mirrors, else turned back by whole repeats.
  double within(double xi) const;
  int cell(double xi) const;
  double fraction(double xi, int cell) const { return (xi - (mirrored_ ? 0 : -1)) / width() - cell; }
  /// The four functions at `fraction` of a cell; those folded back by a mirror carry its sign, those on it are zero.
  Four at(int cell, double fraction) const;
  /// Coefficient of the a-th of them.
  int index(int cell, int a) const;

 private:
  void at_axis(const SplineWeights<double>& weights, int cell, Four& four) const;
  int cells_;
  bool mirrored_, axis_;
};

/// Through the thickness: cells narrower towards the faces, where metal shears most; ends clamped, so that the last
/// coefficient is the value at the face and the last two give its slope.
class FaceBasis {
 public:
  explicit FaceBasis(int cells);
  int cells() const { return cells_; }
  int size() const { return cells_ + 3; }
  int cell(double sigma) const;
  double start(int cell) const { return knots_[size_t(cell) + 3]; }
  double width(int cell) const { return knots_[size_t(cell) + 4] - knots_[size_t(cell) + 3]; }
  /// The four functions from coefficient `cell` on.
  Four at(int cell, double fraction) const;

 private:
  int cells_;
  std::vector<double> knots_;
  std::vector<double> powers_;  ///< four cubics a cell, each by its four powers of the fraction
};

/// A face by its heights at the middles of the cells, even about both ends or repeating; straight at an axis.
class Face {
 public:
  Face() = default;
  explicit Face(const std::vector<double>& heights, bool mirrored = true, bool axis = false);
  struct Jet {
    double f, d, dd;  ///< per unit of xi
  };
  Jet jet(double xi) const;

 private:
  int cells_ = 0;
  bool mirrored_ = true;
  std::vector<double> coefficients_;
};

}  // namespace etchcast::metal
