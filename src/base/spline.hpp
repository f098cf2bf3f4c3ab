#pragma once
/// \file spline.hpp — smooth interpolation of evenly spaced samples, for tables inside maps.
///
/// Cubic B-splines: twice continuously differentiable, so a map built on one and on its derivative still has continuous
/// slopes, and a table costs one number a node. Interpolation error is O(step^4) for the value, O(step^3) for the slope
/// between nodes. Beyond the ends the last cubic goes on; callers keep their points inside.

#include <cmath>
#include <vector>

#include "base/coefficients.hpp"

namespace etchcast {

/// A number of cells kept within 0 .. top; what is not a number, from a point far outside the metal, becomes 0 and never an
/// index.
template <class Real>
inline Real clamped(Real cell, Real top) {
  cell = cell > 0 ? cell : Real(0);
  return cell < top ? cell : top;
}

/// Coefficients c[-1..n] of the interpolating cubic B-spline of `values`, slopes at both ends estimated by one-sided
/// differences of fourth order. Result has values.size() + 2 entries. Needs at least 5 values.
std::vector<double> bspline_coefficients(const std::vector<double>& values);
/// The same with the slopes at both ends given, per step.
std::vector<double> bspline_coefficients(const std::vector<double>& values, double left, double right);

/// Weights of four neighbouring coefficients at the fraction t of a step, and of the first and second derivative.
template <class Real>
struct SplineWeights {
  Real w[4], d[4], e[4];
  explicit SplineWeights(Real t) {
    const Real u = 1 - t, sixth = Real(1) / 6;
    w[0] = sixth * u * u * u;
    w[1] = sixth * (4 - 3 * t * t * (2 - t));
    w[2] = sixth * (4 - 3 * u * u * (2 - u));
    w[3] = sixth * t * t * t;
    d[0] = Real(-0.5) * u * u;
    d[1] = Real(0.5) * t * (3 * t - 4);
    d[2] = Real(-0.5) * u * (3 * u - 4);
    d[3] = Real(0.5) * t * t;
    e[0] = u;
    e[1] = 3 * t - 2;
    e[2] = 3 * u - 2;
    e[3] = t;
  }
};

/// A function of one variable.
class Spline1 {
 public:
  Spline1() = default;
  Spline1(double start, double step, const std::vector<double>& values)
      : start_(start), step_(step), count_(int(values.size())), coefficients_(bspline_coefficients(values)) {}

  bool empty() const { return count_ == 0; }
  double start() const { return start_; }
  double end() const { return start_ + step_ * (count_ - 1); }
  double step() const { return step_; }
  int count() const { return count_; }

  template <class Real>
  struct Jet {
    Real f, d, dd;  ///< value, first and second derivative
  };

  /// Where a place lies in the table: the fraction of a step, and the first of its four coefficients.
  template <class Real>
  struct Spot {
    Real part;
    int at;
  };
  /// What a loop over places needs of the table.
  template <class Real>
  struct Frame {
    Real start, per_step, top;
    explicit Frame(const Spline1& s) : start(Real(s.start_)), per_step(Real(1 / s.step_)), top(Real(s.count_ - 2)) {}
    Spot<Real> spot(Real x) const {
      const Real r = (x - start) * per_step, cell = clamped(std::floor(r), top);
      return {r - cell, int(cell)};
    }
    /// `c(k)`: the four coefficients.
    template <class Nodes>
    Jet<Real> jet(Real part, const Nodes& c) const {
      const SplineWeights<Real> s(part);
      const Real c0 = c(0), c1 = c(1), c2 = c(2), c3 = c(3), k = per_step;
      return {s.w[0] * c0 + s.w[1] * c1 + s.w[2] * c2 + s.w[3] * c3,
              k * (s.d[0] * c0 + s.d[1] * c1 + s.d[2] * c2 + s.d[3] * c3),
              k * k * (s.e[0] * c0 + s.e[1] * c1 + s.e[2] * c2 + s.e[3] * c3)};
    }
  };
  template <class Real>
  Jet<Real> jet(Real x) const {
    const Frame<Real> frame(*this);
    const Spot<Real> spot = frame.spot(x);
    // Indexed from the table's start, not through a moved pointer: only so the loads become gathers in a vector loop.
    const Real* c = coefficients_.data<Real>();
    return frame.jet(spot.part, [c, at = spot.at](int k) { return c[at + k]; });
  }
  const Coefficients& coefficients() const { return coefficients_; }
  double operator()(double x) const { return jet(x).f; }

 private:
  double start_ = 0, step_ = 1;
  int count_ = 0;
  Coefficients coefficients_;
};

/// A function of two variables on an even grid, x fastest.
class Spline2 {
 public:
  Spline2() = default;
  /// values[j * columns + i] stands at (x0 + i dx, y0 + j dy); at least 5 each way.
  Spline2(double x0, double dx, int columns, double y0, double dy, int rows, const std::vector<double>& values);

  bool empty() const { return columns_ == 0; }
  int columns() const { return columns_; }
  int rows() const { return rows_; }
  double x(int i) const { return x0_ + i * dx_; }
  double y(int j) const { return y0_ + j * dy_; }

  template <class Real>
  struct Jet {
    Real f, x, y, xx, xy;  ///< value and derivatives
  };

  /// Where a place lies in the table: fractions of a step, and the first of its coefficients, four rows of four.
  template <class Real>
  struct Spot {
    Real x, y;
    int at;
  };
  /// What a loop over places needs of the table.
  template <class Real>
  struct Frame {
    Real x0, y0, per_x, per_y, right, top;
    int stride;  ///< from one row of coefficients to the next
    explicit Frame(const Spline2& s)
        : x0(Real(s.x0_)), y0(Real(s.y0_)), per_x(Real(1 / s.dx_)), per_y(Real(1 / s.dy_)), right(Real(s.columns_ - 2)),
          top(Real(s.rows_ - 2)), stride(s.columns_ + 2) {}
    Spot<Real> spot(Real px, Real py) const {
      const Real fx = (px - x0) * per_x, fy = (py - y0) * per_y;
      const Real i = clamped(std::floor(fx), right), j = clamped(std::floor(fy), top);
      return {fx - i, fy - j, int(j) * stride + int(i)};
    }
    /// `c(row, k)`: the coefficients of the spot.
    template <class Nodes>
    Jet<Real> jet(Real part_x, Real part_y, const Nodes& c) const {
      const SplineWeights<Real> sx(part_x), sy(part_y);
      Real f = 0, gx = 0, gy = 0, gxx = 0, gxy = 0;
#pragma GCC unroll 4
      for (int row = 0; row < 4; ++row) {
        const Real c0 = c(row, 0), c1 = c(row, 1), c2 = c(row, 2), c3 = c(row, 3);
        const Real v = sx.w[0] * c0 + sx.w[1] * c1 + sx.w[2] * c2 + sx.w[3] * c3;
        const Real d = sx.d[0] * c0 + sx.d[1] * c1 + sx.d[2] * c2 + sx.d[3] * c3;
        const Real e = sx.e[0] * c0 + sx.e[1] * c1 + sx.e[2] * c2 + sx.e[3] * c3;
        f += sy.w[row] * v;
        gx += sy.w[row] * d;
        gxx += sy.w[row] * e;
        gy += sy.d[row] * v;
        gxy += sy.d[row] * d;
      }
      return {f, per_x * gx, per_y * gy, per_x * per_x * gxx, per_x * per_y * gxy};
    }
  };
  template <class Real>
  Jet<Real> jet(Real px, Real py) const {
    const Frame<Real> frame(*this);
    const Spot<Real> spot = frame.spot(px, py);
    const Real* c = coefficients_.data<Real>();
    return frame.jet(spot.x, spot.y, [c, &spot, &frame](int row, int k) { return c[spot.at + row * frame.stride + k]; });
  }
  const Coefficients& coefficients() const { return coefficients_; }
  double operator()(double px, double py) const { return jet(px, py).f; }

 private:
  double x0_ = 0, dx_ = 1, y0_ = 0, dy_ = 1;
  int columns_ = 0, rows_ = 0;
  Coefficients coefficients_;
};

}  // namespace etchcast
