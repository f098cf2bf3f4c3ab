// From heights of layers to the coefficients of both families.
#include "base/layer_table.hpp"

#include <cassert>
#include <cmath>
#include <utility>

#include "base/fourier.hpp"

namespace etchcast {

namespace {

constexpr double kPi = 3.14159265358979323846;

/// What a cubic B-spline with coefficients exp(i angle n) is at its nodes.
double at_nodes(double angle) { return (2 + std::cos(angle)) / 3; }

}  // namespace

LayerTable::LayerTable(const Grid2& grid, int ways, std::vector<double> depth)
    : grid_(grid), ways_(ways), depth_(std::move(depth)) {
  assert(ways >= 1 && ways <= kMostWays && depth_.exact().size() == size_t(ways) * (kDegree + 1));
  const std::vector<double> nothing(size_t(grid.columns + 3) * (grid.rows + 3) * kSlots);
  for (Coefficients& side : sides_) side = Coefficients(nothing);
}

void LayerTable::add(const std::vector<std::vector<double>>& rise) {
  const Fourier fourier(grid_.columns, grid_.rows);
  const int columns = grid_.columns, rows = grid_.rows;
  std::vector<Fourier::Complex> wave(grid_.size()), both(grid_.size());
  std::vector<double> side_a = sides_[0].exact(), side_b = sides_[1].exact();
  for (int way = 0; way < ways_; ++way) {
    for (size_t i = 0; i < wave.size(); ++i) wave[i] = rise[size_t(way)][i];
    fourier.forward(wave);
    for (int j = 0; j < rows; ++j)
      for (int i = 0; i < columns; ++i) {
        const int m = fourier.waves_x(i), n = fourier.waves_y(j);
        const double kx = 2 * kPi * m / grid_.wide, ky = 2 * kPi * n / grid_.high, square = kx * kx + ky * ky;
        const size_t at = size_t(j) * columns + i;
        // P = -rise / k^2 and A = i kx P; A + i B go back together.
        const double spline = at_nodes(2 * kPi * m / columns) * at_nodes(2 * kPi * n / rows);
        const Fourier::Complex p = square > 0 ? -wave[at] * fourier.trusted(i, j) / (square * spline) : 0;
        const Fourier::Complex a = Fourier::Complex(0, kx) * p, b = Fourier::Complex(0, ky) * p;
        both[at] = a + Fourier::Complex(0, 1) * b;
      }
    fourier.backward(both);
    for (int j = 0; j < rows + 3; ++j)
      for (int i = 0; i < columns + 3; ++i) {
        // The coefficient before the first node stands first.
        const auto& v = both[size_t((j + rows - 1) % rows) * columns + (i + columns - 1) % columns];
        const size_t at = (size_t(j) * (columns + 3) + i) * kSlots + way;
        side_a[at] += v.real(), side_b[at] += v.imag();
      }
  }
  sides_[0] = Coefficients(std::move(side_a)), sides_[1] = Coefficients(std::move(side_b));
}

}  // namespace etchcast
