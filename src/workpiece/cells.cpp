// Blending of cells over a pattern.
#include "workpiece/cells.hpp"

#include <algorithm>
#include <cmath>

#include "base/fourier.hpp"
#include "tape/plan_map.hpp"

namespace etchcast {

namespace {
constexpr int kLevels = LayerTarget::kLevels;
}  // namespace

RoundCell::RoundCell(double edge_mm, const std::array<Profile, kLevels>& rises) : edge_(edge_mm) {
  for (int l = 0; l < kLevels; ++l) over_r_[size_t(l)] = Spline1(0, edge_mm / kSteps, rises[size_t(l)]);
}

RoundCell RoundCell::upside_down() const {
  std::array<Profile, kLevels> rises;
  for (int l = 0; l < kLevels; ++l)
    for (int i = 0; i <= kSteps; ++i) rises[size_t(l)].push_back(-rise(kLevels - 1 - l, edge_ * i / kSteps));
  return RoundCell(edge_, rises);
}

RoundCell RoundCell::evened_out(double length) const {
  // A bell over the plan, by sums over a square of points about each place.
  constexpr int kHalf = 5;
  std::array<Profile, kLevels> rises;
  for (int i = 0; i <= kSteps; ++i) {
    std::array<double, kLevels> sum{};
    double total = 0;
    for (int a = -kHalf; a <= kHalf; ++a)
      for (int b = -kHalf; b <= kHalf; ++b) {
        const double x = 2.5 * length * a / kHalf, y = 2.5 * length * b / kHalf;
        const double weight = std::exp(-(x * x + y * y) / (2 * length * length)),
                     r = std::hypot(edge_ * i / kSteps + x, y);
        total += weight;
        for (int l = 0; l < kLevels; ++l) sum[size_t(l)] += weight * rise(l, r > edge_ ? 2 * edge_ - r : r);
      }
    for (int l = 0; l < kLevels; ++l) rises[size_t(l)].push_back(sum[size_t(l)] / total);
  }
  return RoundCell(edge_, rises);
}

Grid2 grid_of(Pattern& pattern, double length_mm, double width_mm, double step_mm) {
  Grid2 g;
  const double row = pattern.row();
  if (pattern.set == Pattern::Set::random) {
    pattern.first_column = -1, pattern.columns = int(std::ceil(length_mm / pattern.spacing)) + 2;
    // Rows stagger, so an even number of them repeats.
    pattern.first_row = -int(std::ceil(width_mm / row / 2 + 0.3)), pattern.rows = -2 * pattern.first_row;
    g.x0 = pattern.first_column * pattern.spacing, g.y0 = pattern.first_row * row;
    g.wide = pattern.columns * pattern.spacing, g.high = pattern.rows * row;
  } else {
    g.wide = pattern.spacing, g.high = pattern.set == Pattern::Set::square ? row : 2 * row;
  }
  g.columns = smooth_size(std::max(12, int(std::ceil(g.wide / step_mm))));
  g.rows = smooth_size(std::max(12, int(std::ceil(g.high / step_mm))));
  return g;
}

Grid2 coarser(const Grid2& grid, int nodes) {
  Grid2 g = grid;
  const double less = std::min(1.0, std::sqrt(double(nodes) / double(grid.size())));
  g.columns = smooth_size(std::max(12, int(less * grid.columns)));
  g.rows = smooth_size(std::max(12, int(less * grid.rows)));
  return g;
}

std::vector<double> told_at(const Grid2& to, const Grid2& from, const std::vector<double>& values) {
  const RepeatingSpline field(from, values);
  std::vector<double> told(to.size());
  for (size_t i = 0; i < told.size(); ++i) told[i] = field(to.x(i), to.y(i));
  return told;
}

std::vector<double> evened_out(const Grid2& grid, const std::vector<double>& values, double length) {
  const Fourier fourier(grid.columns, grid.rows);
  std::vector<Fourier::Complex> wave(values.begin(), values.end());
  fourier.forward(wave);
  for (int j = 0; j < grid.rows; ++j)
    for (int i = 0; i < grid.columns; ++i) {
      const double k = 6.283185307179586 * std::hypot(fourier.waves_x(i) / grid.wide, fourier.waves_y(j) / grid.high);
      wave[size_t(j) * grid.columns + i] *= std::exp(-0.5 * k * k * length * length);
    }
  fourier.backward(wave);
  std::vector<double> even;
  for (const auto& v : wave) even.push_back(v.real());
  return even;
}

void add_cells(LayerTarget& target, const Pattern& pattern, const RoundCell& cell, const CellLie& lie) {
  const double soft = 0.05 * pattern.spacing * pattern.spacing;
  double squares[Pattern::kNear];
  for (size_t node = 0; node < target.grid.size(); ++node) {
    const int count = pattern.near(lie.share_x * target.grid.x(node), target.grid.y(node), squares);
    const double least = *std::min_element(squares, squares + count);
    double total = 0;
    for (int k = 0; k < count; ++k) total += std::exp((least - squares[k]) / soft);
    for (int k = 0; k < count; ++k) {
      const double part = std::exp((least - squares[k]) / soft) / total;
      if (part < 1e-6) continue;
      const double r = lie.distance * std::sqrt(squares[k]);
      for (int l = 0; l < kLevels; ++l) target.rise[size_t(l)][node] += part * cell.rise(l, r);
    }
  }
}

}  // namespace etchcast
