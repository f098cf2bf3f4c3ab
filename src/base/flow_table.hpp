#pragma once
/// \file flow_table.hpp — how metal moved under a die, as one function W that keeps area whatever its values.
///
/// x: place along the pressed bar, c: the layer line (share of the thickness before, 0 .. 1). W(x, c) generates the
/// motion:
///   height of line c at x:            z  = W_x
///   where that metal was before:      x0 = W_c
/// Since dx0/dx at fixed c equals dz/dc at fixed x (both W_xc), the map (x, z) -> (x0, c) has |det J| = 1 for every
/// smooth W (a canonical transformation; Goldstein, Classical Mechanics, ch. 9). All lengths in units of the thickness
/// before.
///   W = x / half_after * (half_before * c + base) + Q(x, c),
/// with Q a cubic B-spline, so that W is twice continuously differentiable. Q is odd about the mirrors x = 0 and
/// x = half_after, or, where the pattern has none, repeats after 2 half_after.

#include <cmath>
#include <vector>

#include "base/coefficients.hpp"
#include "base/spline.hpp"

namespace etchcast {

class FlowTable {
 public:
  FlowTable() = default;
  /// `heights[k * columns + i]`: height of line c = k / (rows - 1) at x = (i + 1/2) half_after / columns. Each line is
  /// shifted so that the volume below it is exact. `base`: mean height of line 0 is taken from the table.
  /// Without mirrors x = -half_after + (i + 1/2) 2 half_after / columns, and `origins[k]` is where the metal of line c that
  /// was at -half_before came to lie. About an axis x is half the square of the radius, and x = 0 is no mirror: heights are
  /// those of the round cell, which need not be level there.
  FlowTable(double half_before, double half_after, int columns, int rows, const std::vector<double>& heights,
            const std::vector<double>& origins = {}, bool axis = false);

  double half_before() const { return half_before_; }
  double half_after() const { return half_after_; }
  bool mirrored() const { return origins_.empty(); }
  /// Left end of what is tabled, and its length.
  double start() const { return start_; }
  double extent() const { return half_after_ - start_; }
  double lengthening() const { return half_after_ / half_before_; }
  /// Mean height of the lower face.
  double base() const { return base_ / half_after_; }
  int columns() const { return columns_; }
  int rows() const { return rows_; }
  const std::vector<double>& heights() const { return heights_; }
  const std::vector<double>& origins() const { return origins_; }
  /// Least thickness of a layer after, as a share of before; the map is one to one if it is positive.
  double thinnest() const;

  template <class Real>
  struct Jet {
    Real x, slide, xx, xc, cc;  ///< W_x; W_c - x half_before / half_after; second derivatives
  };
  /// Any x; c inside 0 .. 1.
  template <class Real>
  Jet<Real> jet(Real x, Real c) const {
    const Real half = Real(half_after_);
    const Real turns = std::floor(x * Real(0.5 / half_after_) + Real(0.5));
    const Real folded = x - 2 * half * turns, side = folded < Real(mirror_) ? Real(-1) : Real(1);
    const Real kx = Real(columns_ / extent());
    const Real fx = (side * folded - Real(start_)) * kx, fc = c * Real(rows_ - 1);
    const Real i = clamped(std::floor(fx), Real(columns_ - 1)), j = clamped(std::floor(fc), Real(rows_ - 2));
    const SplineWeights<Real> sx(fx - i), sc(fc - j);
    const int stride = columns_ + 3;
    const int at = int(j) * stride + int(i);
    const Real* q = coefficients_.data<Real>();
    Sums<Real> sum;
    // Written out: GCC does not unroll a loop here in time to vectorise over points.
    sum.add(q, at, sx, sc, 0);
    sum.add(q, at + stride, sx, sc, 1);
    sum.add(q, at + 2 * stride, sx, sc, 2);
    sum.add(q, at + 3 * stride, sx, sc, 3);
    const Real kc = Real(rows_ - 1), ratio = Real(half_before_ / half_after_);
    return {ratio * c + Real(base_ / half_after_) + kx * sum.x, side * kc * sum.c, side * kx * kx * sum.xx,
            ratio + kx * kc * sum.xc, side * kc * kc * sum.cc};
  }
  /// Third derivative of W, by x once and by c twice.
  template <class Real>
  Real xcc(Real x, Real c) const {
    const Real turns = std::floor(x * Real(0.5 / half_after_) + Real(0.5));
    const Real folded = x - Real(2 * half_after_) * turns, side = folded < Real(mirror_) ? Real(-1) : Real(1);
    const Real kx = Real(columns_ / extent()), kc = Real(rows_ - 1);
    const Real fx = (side * folded - Real(start_)) * kx, fc = c * kc;
    const Real i = clamped(std::floor(fx), Real(columns_ - 1)), j = clamped(std::floor(fc), Real(rows_ - 2));
    const SplineWeights<Real> sx(fx - i), sc(fc - j);
    const Real* q = coefficients_.data<Real>() + int(j) * (columns_ + 3) + int(i);
    Real sum = 0;
    for (int row = 0; row < 4; ++row, q += columns_ + 3)
      sum += sc.e[row] * (sx.d[0] * q[0] + sx.d[1] * q[1] + sx.d[2] * q[2] + sx.d[3] * q[3]);
    return kx * kc * kc * sum;
  }
  /// Line that passes near (x, z): bilinear, within some thousandths; a start for Newton's method.
  template <class Real>
  Real near_line(Real x, Real z) const {
    const int cells = cells_;  // a variable: with a constant GCC branches on the clamped cell and cannot vectorise
    const Real turns = std::floor(x * Real(0.5 / half_after_) + Real(0.5));
    const Real folded = x - Real(2 * half_after_) * turns;
    const Real fx = ((folded < Real(mirror_) ? -folded : folded) - Real(start_)) * Real(cells / extent());
    const Real fz = (z - Real(low_)) * Real(cells / (high_ - low_));
    const Real i = clamped(std::floor(fx), Real(cells - 1)), j = clamped(std::floor(fz), Real(cells - 1));
    const Real tx = fx - i, tz = fz - j;
    const int at = int(j) * (cells + 1) + int(i);
    const float* g = guesses_.data();
    const float g0 = g[at], g1 = g[at + 1], g2 = g[at + cells + 1], g3 = g[at + cells + 2];
    const Real a = Real(g0) + tx * Real(g1 - g0), b = Real(g2) + tx * Real(g3 - g2);
    return within(a + tz * (b - a));
  }
  /// c kept inside the metal.
  template <class Real>
  static Real within(Real c) {
    return clamped(c, Real(1));
  }

 private:
  /// Derivatives of Q, per cell, summed over four rows of coefficients.
  template <class Real>
  struct Sums {
    Real x = 0, c = 0, xx = 0, xc = 0, cc = 0;
    void add(const Real* q, int at, const SplineWeights<Real>& sx, const SplineWeights<Real>& sc, int row) {
      const Real q0 = q[at], q1 = q[at + 1], q2 = q[at + 2], q3 = q[at + 3];
      const Real v = sx.w[0] * q0 + sx.w[1] * q1 + sx.w[2] * q2 + sx.w[3] * q3;
      const Real d = sx.d[0] * q0 + sx.d[1] * q1 + sx.d[2] * q2 + sx.d[3] * q3;
      x += sc.w[row] * d;
      xx += sc.w[row] * (sx.e[0] * q0 + sx.e[1] * q1 + sx.e[2] * q2 + sx.e[3] * q3);
      c += sc.d[row] * v;
      xc += sc.d[row] * d;
      cc += sc.e[row] * v;
    }
  };
  void fit();
  /// Both fill `all` coefficients, rows + 2 lines of columns + 3.
  void fit_line(int k, const std::vector<double>& slopes, std::vector<double>& all);
  void place_lines(std::vector<double>& all) const;
  void guess();
  double half_before_ = 1, half_after_ = 1, start_ = 0, base_ = 0, low_ = 0, high_ = 1;
  bool axis_ = false;
  double mirror_ = 0;  ///< places left of it are folded; far off where nothing is mirrored
  int columns_ = 0, rows_ = 0, cells_ = 64;  ///< cells_: of the table of guesses, each way
  std::vector<double> heights_, origins_;
  Coefficients coefficients_;
  std::vector<float> guesses_;
};

}  // namespace etchcast
