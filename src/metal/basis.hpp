#pragma once
/// \file basis.hpp — cubic B-splines on half a repeat: the stream function's, and the two faces'.
///
/// Both ends of the half repeat are mirrors. Along it, xi = x / (half repeat) runs 0 .. 1 in even cells; the stream
/// function is odd about both ends, faces are even. Through the thickness, sigma runs 0 .. 1 from the lower to the
/// upper face.

#include <vector>

#include "base/spline.hpp"

namespace etchcast::metal {

/// Four functions of one cell with their derivatives.
struct Four {
  double f[4], d[4], dd[4];
};

/// Along the repeat: `cells` even cells, cells - 1 unknown coefficients.
class OddBasis {
 public:
  explicit OddBasis(int cells) : cells_(cells) {}
  int cells() const { return cells_; }
  int size() const { return cells_ - 1; }
  int cell(double xi) const;
  /// The four functions at `fraction` of a cell; those folded back by a mirror carry its sign, those on it are zero.
  Four at(int cell, double fraction) const;
  /// Coefficient of the a-th of them.
  int index(int cell, int a) const;

 private:
  int cells_;
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

/// A face by its heights at the middles of the cells, even about both ends.
class Face {
 public:
  Face() = default;
  explicit Face(const std::vector<double>& heights);
  struct Jet {
    double f, d, dd;  ///< per unit of xi
  };
  Jet jet(double xi) const;

 private:
  int cells_ = 0;
  std::vector<double> coefficients_;
};

}  // namespace etchcast::metal
