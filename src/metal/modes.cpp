// Four conditions a wave; fields through their Fourier transforms.
#include "metal/modes.hpp"

#include <cmath>
#include <map>
#include <utility>

#include "base/fourier.hpp"

namespace etchcast::metal {

namespace {

constexpr double kPi = 3.14159265358979323846;
constexpr double kLong = 0.02;  ///< wave numbers below it are taken for 0: shapes differ by its square

/// The four functions, scaled so that none overflows: e, s e, g, (1 - s) g with e = exp(-ks), g = exp(-k (1 - s)).
void functions(double k, double s, double f[4], double first[4], double second[4]) {
  const double e = std::exp(-k * s), g = std::exp(-k * (1 - s)), t = 1 - s;
  f[0] = e, f[1] = s * e, f[2] = g, f[3] = t * g;
  first[0] = -k * e, first[1] = (1 - k * s) * e, first[2] = k * g, first[3] = (k * t - 1) * g;
  second[0] = k * k * e, second[1] = (k * k * s - 2 * k) * e, second[2] = k * k * g, second[3] = (k * k * t - 2 * k) * g;
}

/// Gauss with pivots.
std::array<double, 4> solved(double a[4][4], std::array<double, 4> b) {
  for (int p = 0; p < 4; ++p) {
    int best = p;
    for (int r = p + 1; r < 4; ++r)
      if (std::abs(a[r][p]) > std::abs(a[best][p])) best = r;
    std::swap(b[size_t(p)], b[size_t(best)]);
    for (int c = 0; c < 4; ++c) std::swap(a[p][c], a[best][c]);
    for (int r = p + 1; r < 4; ++r) {
      const double k = a[r][p] / a[p][p];
      for (int c = p; c < 4; ++c) a[r][c] -= k * a[p][c];
      b[size_t(r)] -= k * b[size_t(p)];
    }
  }
  for (int p = 3; p >= 0; --p) {
    for (int c = p + 1; c < 4; ++c) b[size_t(p)] -= a[p][c] * b[size_t(c)];
    b[size_t(p)] /= a[p][p];
  }
  return b;
}

std::array<double, 4> shape_of(double k, bool sticks) {
  double a[4][4], f[4], first[4], second[4];
  for (int end = 0; end < 2; ++end) {
    functions(k, end, f, first, second);
    for (int c = 0; c < 4; ++c) {
      a[2 * end][c] = f[c];
      a[2 * end + 1][c] = sticks ? first[c] : second[c] + k * k * f[c];
    }
  }
  return solved(a, {0, 0, 1, 0});
}

}  // namespace

DepthShape::DepthShape(double wave_number, double friction) : k_(wave_number), friction_(friction) {
  if (k_ < kLong) return;
  stick_ = shape_of(k_, true), slip_ = shape_of(k_, false);
}

double DepthShape::operator()(double s) const {
  if (k_ < kLong) return friction_ * s * s * (3 - 2 * s) + (1 - friction_) * s;
  double f[4], first[4], second[4], sum = 0;
  functions(k_, s, f, first, second);
  for (size_t i = 0; i < 4; ++i) sum += f[i] * (friction_ * stick_[i] + (1 - friction_) * slip_[i]);
  return sum;
}

std::vector<std::vector<double>> layers_under(const Grid2& grid, const std::vector<double>& bottom,
                                              const std::vector<double>& top, const std::vector<double>& sigma,
                                              double friction) {
  const Fourier fourier(grid.columns, grid.rows);
  const size_t nodes = grid.size();
  std::vector<Fourier::Complex> low(nodes), high(nodes), both(nodes);
  for (size_t i = 0; i < nodes; ++i) low[i] = bottom[i], high[i] = top[i];
  fourier.forward(low), fourier.forward(high);
  // Shapes of all levels for each length of wave, which many nodes share.
  std::map<std::pair<int, int>, std::vector<double>> shapes;
  const auto shape = [&](int m, int n) -> const std::vector<double>& {
    auto& known = shapes[{std::abs(m), std::abs(n)}];
    if (known.empty()) {
      const DepthShape f(std::hypot(2 * kPi * m / grid.wide, 2 * kPi * n / grid.high), friction);
      for (const double s : sigma) known.push_back(m || n ? f(s) : s);
      for (const double s : sigma) known.push_back(m || n ? f(1 - s) : 1 - s);
    }
    return known;
  };
  std::vector<std::vector<double>> rise(sigma.size(), std::vector<double>(nodes));
  for (size_t l = 0; l < sigma.size(); l += 2) {  // two levels a transform
    const size_t next = std::min(l + 1, sigma.size() - 1);
    for (int j = 0; j < grid.rows; ++j)
      for (int i = 0; i < grid.columns; ++i) {
        const auto& f = shape(fourier.waves_x(i), fourier.waves_y(j));
        const size_t at = size_t(j) * grid.columns + i;
        both[at] = high[at] * f[l] + low[at] * f[sigma.size() + l] +
                   Fourier::Complex(0, 1) * (high[at] * f[next] + low[at] * f[sigma.size() + next]);
      }
    fourier.backward(both);
    for (size_t i = 0; i < nodes; ++i) rise[l][i] = both[i].real(), rise[next][i] = l == next ? both[i].real() : both[i].imag();
  }
  return rise;
}

}  // namespace etchcast::metal
