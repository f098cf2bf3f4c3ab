// Cubic B-splines between mirrors.
#include "metal/basis.hpp"

#include <algorithm>
#include <cmath>

namespace etchcast::metal {

namespace {

constexpr double kPi = 3.14159265358979323846;

/// Value of the cubic B-spline number i over `knots` at t (Cox and de Boor).
double cox_de_boor(const std::vector<double>& knots, int i, int degree, double t, int span) {
  if (degree == 0) return i == span ? 1 : 0;
  const double low = knots[i + degree] - knots[i], high = knots[i + degree + 1] - knots[i + 1];
  double sum = 0;
  if (low > 0) sum += (t - knots[i]) / low * cox_de_boor(knots, i, degree - 1, t, span);
  if (high > 0) sum += (knots[i + degree + 1] - t) / high * cox_de_boor(knots, i + 1, degree - 1, t, span);
  return sum;
}

}  // namespace

double RepeatBasis::within(double xi) const {
  return mirrored_ ? std::clamp(xi, 0.0, 1.0) : xi - 2 * std::floor((xi + 1) / 2);
}

int RepeatBasis::cell(double xi) const { return std::clamp(int(fraction(xi, 0)), 0, cells_ - 1); }

Four RepeatBasis::at(int cell, double fraction) const {
  const SplineWeights<double> s(fraction);
  const double k = 1 / width();
  Four four;
  for (int a = 0; a < 4; ++a) {
    const int j = cell - 1 + a;
    const double sign = !mirrored_ ? 1 : (j == 0 || j == cells_) ? 0 : (j < 0 || j > cells_) ? -1 : 1;
    four.f[a] = sign * s.w[a];
    four.d[a] = sign * s.d[a] * k;
    four.dd[a] = sign * s.e[a] * k * k;
  }
  if (axis_ && cell <= 1) at_axis(s, cell, four);
  return four;
}

/// c[-1] + 4 c[0] + c[1] = 0: the coefficient beyond the axis goes to those of the next two.
void RepeatBasis::at_axis(const SplineWeights<double>& s, int cell, Four& four) const {
  const double k = 1 / width();
  const auto set = [&](int a, double from) {
    const double* parts[3] = {s.w, s.d, s.e};
    const auto part = [&](int order) { return parts[order][a] + (from == 0 ? 0 : from * parts[order][0]); };
    four.f[a] = part(0), four.d[a] = part(1) * k, four.dd[a] = part(2) * k * k;
  };
  if (cell == 1) return set(0, 0);
  four.f[0] = four.d[0] = four.dd[0] = 0;
  set(1, -4), set(2, -1);
}

int RepeatBasis::index(int cell, int a) const {
  int j = cell - 1 + a;
  if (!mirrored_) return (j + cells_) % cells_;
  if (j < 0) j = axis_ ? 0 : -j;
  if (j > cells_) j = 2 * cells_ - j;
  return axis_ ? std::min(j, cells_ - 1) : std::clamp(j, 1, cells_ - 1) - 1;
}

FaceBasis::FaceBasis(int cells) : cells_(cells) {
  // sigma = t - g sin(2 pi t) / (2 pi): cells at the faces (1 - g) as wide as even ones. Chosen by trial on round-nosed
  // dies: errors change little between 0.3 and 0.6.
  constexpr double g = 0.5;
  for (int i = -3; i <= cells + 3; ++i) {
    const double t = std::clamp(double(i) / cells, 0.0, 1.0);
    knots_.push_back(t - g * std::sin(2 * kPi * t) / (2 * kPi));
  }
  for (int cell = 0; cell < cells; ++cell) {
    const double from = start(cell), wide = width(cell);
    for (int a = 0; a < 4; ++a) {
      double v[4];
      for (int k = 0; k < 4; ++k) v[k] = cox_de_boor(knots_, cell + a, 3, from + wide * k / 3, cell + 3);
      // The cubic through values at fractions 0, 1/3, 2/3, 1.
      powers_.push_back(v[0]);
      powers_.push_back((-11 * v[0] + 18 * v[1] - 9 * v[2] + 2 * v[3]) / 2);
      powers_.push_back((18 * v[0] - 45 * v[1] + 36 * v[2] - 9 * v[3]) / 2);
      powers_.push_back((-9 * v[0] + 27 * v[1] - 27 * v[2] + 9 * v[3]) / 2);
    }
  }
}

int FaceBasis::cell(double sigma) const {
  const auto first = knots_.begin() + 3, last = first + cells_;
  return std::clamp(int(std::upper_bound(first, last, sigma) - first) - 1, 0, cells_ - 1);
}

Four FaceBasis::at(int cell, double t) const {
  const double k = 1 / width(cell);
  Four four;
  for (int a = 0; a < 4; ++a) {
    const double* p = powers_.data() + 16 * cell + 4 * a;
    four.f[a] = p[0] + t * (p[1] + t * (p[2] + t * p[3]));
    four.d[a] = k * (p[1] + t * (2 * p[2] + 3 * t * p[3]));
    four.dd[a] = k * k * (2 * p[2] + 6 * t * p[3]);
  }
  return four;
}

namespace {

/// (c[j-1] + 4 c[j] + c[j+1]) / 6 = height[j], mirrored: c[-1] = c[0], c[n] = c[n-1]. Tridiagonal, by elimination. At an axis
/// c[-1] = 2 c[0] - c[1], without bend.
std::vector<double> between_mirrors(const std::vector<double>& heights, bool axis = false) {
  const int n = int(heights.size());
  std::vector<double> c(heights.size()), upper(heights.size());
  for (int j = 0; j < n; ++j) {
    const bool free = axis && j == 0;
    const double pivot = (free ? 6 : (j == 0 || j == n - 1) ? 5 : 4) - (j == 0 ? 0 : upper[size_t(j) - 1]);
    upper[size_t(j)] = free ? 0 : 1 / pivot;
    c[size_t(j)] = (6 * heights[size_t(j)] - (j == 0 ? 0 : c[size_t(j) - 1])) / pivot;
  }
  for (int j = n - 2; j >= 0; --j) c[size_t(j)] -= upper[size_t(j)] * c[size_t(j) + 1];
  return c;
}

}  // namespace

Face::Face(const std::vector<double>& heights, bool mirrored, bool axis)
    : cells_(int(heights.size())), mirrored_(mirrored), coefficients_(heights.size() + 4) {
  const int n = cells_;
  double* c = coefficients_.data() + 2;
  if (mirrored) {
    const auto found = between_mirrors(heights, axis);
    std::copy(found.begin(), found.end(), c);
    c[-1] = c[0], c[-2] = c[1], c[n] = c[n - 1], c[n + 1] = c[n - 2];
    if (axis) c[-1] = 2 * c[0] - c[1], c[-2] = 3 * c[0] - 2 * c[1];
    return;
  }
  // An end is felt 0.27 times as much a cell further in: two dozen cells more on both sides, and it is not felt at all.
  constexpr int kMore = 24;
  std::vector<double> longer(static_cast<size_t>(n) + 2 * kMore);
  for (int j = 0; j < n + 2 * kMore; ++j) longer[size_t(j)] = heights[size_t((j - kMore % n + n) % n)];
  const auto found = between_mirrors(longer);
  for (int j = -2; j < n + 2; ++j) c[j] = found[size_t(j + kMore)];
}

Face::Jet Face::jet(double xi) const {
  const double r = mirrored_ ? xi * cells_ - 0.5 : (xi + 1) / 2 * cells_ - 0.5, scale = mirrored_ ? cells_ : 0.5 * cells_;
  const int cell = std::clamp(int(std::floor(r)), -1, cells_ - 1);
  const SplineWeights<double> s(r - cell);
  const double* c = coefficients_.data() + 2 + cell - 1;
  Jet jet{0, 0, 0};
  for (int a = 0; a < 4; ++a) jet.f += s.w[a] * c[a], jet.d += s.d[a] * c[a], jet.dd += s.e[a] * c[a];
  jet.d *= scale, jet.dd *= scale * scale;
  return jet;
}

}  // namespace etchcast::metal
