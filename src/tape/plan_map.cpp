// The potential whose slopes give each column the room it needs, found by trying.
#include "tape/plan_map.hpp"

#include <algorithm>
#include <cmath>

#include "base/fourier.hpp"

namespace etchcast {

namespace {

constexpr double kPi = 3.14159265358979323846;
constexpr int kPad = 6;  ///< nodes beyond each side, so that the ends of the spline are not met
constexpr int kRounds = 4;

Spline2 padded(const Grid2& g, const std::vector<double>& values) {
  const int columns = g.columns + 2 * kPad, rows = g.rows + 2 * kPad;
  std::vector<double> wide(size_t(columns) * rows);
  for (int j = 0; j < rows; ++j)
    for (int i = 0; i < columns; ++i)
      wide[size_t(j) * columns + i] =
          values[size_t((j + kPad * (g.rows - 1)) % g.rows) * g.columns + (i + kPad * (g.columns - 1)) % g.columns];
  return Spline2(g.x0 - kPad * g.dx(), g.dx(), columns, g.y0 - kPad * g.dy(), g.dy(), rows, wide);
}

std::vector<double> turned(const Grid2& g, const std::vector<double>& values) {
  std::vector<double> t(values.size());
  for (int j = 0; j < g.rows; ++j)
    for (int i = 0; i < g.columns; ++i) t[size_t(i) * g.rows + j] = values[size_t(j) * g.columns + i];
  return t;
}

Grid2 turned(const Grid2& g) { return {g.y0, g.x0, g.high, g.wide, g.rows, g.columns}; }

/// Slopes of the potential with that Laplacian, added to a and b; the mean is left out.
void add_slopes(const Fourier& fourier, const Grid2& g, const std::vector<double>& laplacian, std::vector<double>& a,
                std::vector<double>& b) {
  std::vector<Fourier::Complex> wave(laplacian.begin(), laplacian.end());
  fourier.forward(wave);
  for (int j = 0; j < g.rows; ++j)
    for (int i = 0; i < g.columns; ++i) {
      const int m = fourier.waves_x(i), n = fourier.waves_y(j);
      const double kx = 2 * kPi * m / g.wide, ky = 2 * kPi * n / g.high, square = kx * kx + ky * ky;
      auto& w = wave[size_t(j) * g.columns + i];
      // a + i b, the transforms of two real fields at once.
      w = square > 0 ? w * Fourier::Complex(ky, -kx) * fourier.trusted(i, j) / square : 0;
    }
  fourier.backward(wave);
  for (size_t i = 0; i < wave.size(); ++i) a[i] += wave[i].real(), b[i] += wave[i].imag();
}

}  // namespace

RepeatingSpline::RepeatingSpline(const Grid2& grid, const std::vector<double>& values)
    : grid_(grid), spline_(padded(grid, values)) {}

MapPtr plan_map(const Grid2& grid, const std::vector<double>& tall, const std::vector<double>& mid) {
  const Fourier fourier(grid.columns, grid.rows);
  double mean = 0;
  for (const double h : tall) mean += h / double(tall.size());
  const RepeatingSpline height(grid, tall);
  std::vector<double> a(tall.size(), 0.0), b(tall.size(), 0.0), missing(tall.size());
  auto tables = std::make_shared<PlanMotion::Tables>();
  tables->mid = RepeatingSpline(grid, mid);
  for (int round = 0; round < kRounds; ++round) {
    tables->a = RepeatingSpline(grid, a), tables->b = RepeatingSpline(turned(grid), turned(grid, b));
    double most = 0;
    for (size_t i = 0; i < tall.size(); ++i) {
      const double x = grid.x(i), y = grid.y(i);
      const auto ja = tables->a.jet(x, y);
      const auto jb = tables->b.jet(y, x + ja.f);
      missing[i] = mean / height(x + ja.f, y + jb.f) - (1 + ja.x) * (1 + jb.x);
      most = std::max(most, std::abs(missing[i]));
    }
    if (most < 1e-4) break;
    add_slopes(fourier, grid, missing, a, b);
  }
  tables->a = RepeatingSpline(grid, a), tables->b = RepeatingSpline(turned(grid), turned(grid, b));
  return make_map(PlanMotion(tables));
}

}  // namespace etchcast
