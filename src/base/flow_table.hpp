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
  /// Where a point lies in the table: fractions of a step, and the first of its coefficients, four rows of four.
  template <class Real>
  struct Spot {
    Real x, c, side;
    int at;
  };
  /// What a loop over points needs of the table.
  template <class Real>
  class Frame {
   public:
    explicit Frame(const FlowTable& t)
        : half_(Real(t.half_after_)), per_turn_(Real(0.5 / t.half_after_)), mirror_(Real(t.mirror_)), start_(Real(t.start_)),
          kx_(Real(t.columns_ / t.extent())), kc_(Real(t.rows_ - 1)), columns_(Real(t.columns_ - 1)), rows_(Real(t.rows_ - 2)),
          ratio_(Real(t.half_before_ / t.half_after_)), base_(Real(t.base_ / t.half_after_)), stride(t.columns_ + 3) {}
    /// Any x; c inside 0 .. 1.
    Spot<Real> spot(Real x, Real c) const {
      const Real turns = std::floor(x * per_turn_ + Real(0.5));
      const Real folded = x - 2 * half_ * turns, side = folded < mirror_ ? Real(-1) : Real(1);
      const Real fx = (side * folded - start_) * kx_, fc = c * kc_;
      const Real i = clamped(std::floor(fx), columns_), j = clamped(std::floor(fc), rows_);
      return {fx - i, fc - j, side, int(j) * stride + int(i)};
    }
    /// `q(row, k)`: the coefficients of the spot.
    template <class Nodes>
    Jet<Real> jet(const Spot<Real>& spot, Real c, const Nodes& q) const {
      const SplineWeights<Real> sx(spot.x), sc(spot.c);
      Sums<Real> sum;
      // Written out: GCC does not unroll a loop here in time to vectorise over points.
      sum.add(q, sx, sc, 0);
      sum.add(q, sx, sc, 1);
      sum.add(q, sx, sc, 2);
      sum.add(q, sx, sc, 3);
      return {ratio_ * c + base_ + kx_ * sum.x, spot.side * kc_ * sum.c, spot.side * kx_ * kx_ * sum.xx,
              ratio_ + kx_ * kc_ * sum.xc, spot.side * kc_ * kc_ * sum.cc};
    }
    /// Third derivative of W, by x once and by c twice.
    template <class Nodes>
    Real xcc(const Spot<Real>& spot, const Nodes& q) const {
      const SplineWeights<Real> sx(spot.x), sc(spot.c);
      const auto slope = [&q, &sx](int row) {
        return sx.d[0] * q(row, 0) + sx.d[1] * q(row, 1) + sx.d[2] * q(row, 2) + sx.d[3] * q(row, 3);
      };
      return kx_ * kc_ * kc_ * (sc.e[0] * slope(0) + sc.e[1] * slope(1) + sc.e[2] * slope(2) + sc.e[3] * slope(3));
    }

   private:
    Real half_, per_turn_, mirror_, start_, kx_, kc_, columns_, rows_, ratio_, base_;

   public:
    int stride;  ///< from one row of coefficients to the next
  };
  template <class Real>
  const Real* coefficients() const { return coefficients_.data<Real>(); }
  template <class Real>
  Jet<Real> jet(Real x, Real c) const {
    const Frame<Real> frame(*this);
    const Spot<Real> spot = frame.spot(x, c);
    const Real* q = coefficients_.data<Real>();
    return frame.jet(spot, c, [q, &spot, &frame](int row, int k) { return q[spot.at + row * frame.stride + k]; });
  }
  /// Third derivative of W, by x once and by c twice.
  template <class Real>
  Real xcc(Real x, Real c) const {
    const Frame<Real> frame(*this);
    const Spot<Real> spot = frame.spot(x, c);
    const Real* q = coefficients_.data<Real>();
    return frame.xcc(spot, [q, &spot, &frame](int row, int k) { return q[spot.at + row * frame.stride + k]; });
  }
  /// Line that passes near (x, z): bilinear, within some thousandths; a start for Newton's method.
  template <class Real>
  Real near_line(Real x, Real z) const {
    const Spot<Real> spot = guess_spot(x, z);
    const float* g = guesses_.data() + spot.at;
    return between(spot, g[0], g[1], g[guesses_stride()], g[guesses_stride() + 1]);
  }
  /// The same in parts: the first of two rows of two guesses, and the line from them.
  template <class Real>
  Spot<Real> guess_spot(Real x, Real z) const {
    const int cells = cells_;  // a variable: with a constant GCC branches on the clamped cell and cannot vectorise
    const Real turns = std::floor(x * Real(0.5 / half_after_) + Real(0.5));
    const Real folded = x - Real(2 * half_after_) * turns;
    const Real fx = ((folded < Real(mirror_) ? -folded : folded) - Real(start_)) * Real(cells / extent());
    const Real fz = (z - Real(low_)) * Real(cells / (high_ - low_));
    const Real i = clamped(std::floor(fx), Real(cells - 1)), j = clamped(std::floor(fz), Real(cells - 1));
    return {fx - i, fz - j, Real(1), int(j) * (cells + 1) + int(i)};
  }
  template <class Real>
  static Real between(const Spot<Real>& spot, float g0, float g1, float g2, float g3) {
    const Real a = Real(g0) + spot.x * Real(g1 - g0), b = Real(g2) + spot.x * Real(g3 - g2);
    return within(a + spot.c * (b - a));
  }
  const float* guesses() const { return guesses_.data(); }
  int guesses_stride() const { return cells_ + 1; }
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
    template <class Nodes>
    void add(const Nodes& q, const SplineWeights<Real>& sx, const SplineWeights<Real>& sc, int row) {
      const Real q0 = q(row, 0), q1 = q(row, 1), q2 = q(row, 2), q3 = q(row, 3);
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
