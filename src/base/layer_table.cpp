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
  const std::vector<double> nothing(size_t(grid.columns + 3) * (grid.rows + 3) * slots());
  for (Coefficients& side : sides_) side = Coefficients(nothing);
}

LayerTable::LayerTable(const Grid2& grid, int ways, std::vector<double> depth, const std::vector<float>& a,
                       const std::vector<float>& b)
    : grid_(grid), ways_(ways), depth_(std::move(depth)) {
  sides_[0] = Coefficients(std::vector<double>(a.begin(), a.end()));
  sides_[1] = Coefficients(std::vector<double>(b.begin(), b.end()));
}

void LayerTable::add(const std::vector<std::vector<double>>& rise) {
  const Fourier fourier(grid_.columns, grid_.rows);
  const int columns = grid_.columns, rows = grid_.rows;
  std::vector<Fourier::Complex> wave(grid_.size()), both(grid_.size());
  std::vector<double> side_a = sides_[0].exact(), side_b = sides_[1].exact();
  std::vector<double> spline_x, spline_y;
  for (int i = 0; i < columns; ++i) spline_x.push_back(at_nodes(2 * kPi * fourier.waves_x(i) / columns));
  for (int j = 0; j < rows; ++j) spline_y.push_back(at_nodes(2 * kPi * fourier.waves_y(j) / rows));
  for (int way = 0; way < ways_; ++way) {
    for (size_t i = 0; i < wave.size(); ++i) wave[i] = rise[size_t(way)][i];
    fourier.forward(wave);
    for (int j = 0; j < rows; ++j)
      for (int i = 0; i < columns; ++i) {
        const int m = fourier.waves_x(i), n = fourier.waves_y(j);
        const double kx = 2 * kPi * m / grid_.wide, ky = 2 * kPi * n / grid_.high, square = kx * kx + ky * ky;
        const size_t at = size_t(j) * columns + i;
        // P = -rise / k^2 and A = i kx P; A + i B go back together.
        const double share = square > 0 ? -fourier.trusted(i, j) / (square * spline_x[size_t(i)] * spline_y[size_t(j)]) : 0;
        const Fourier::Complex p = share * wave[at];
        both[at] = {-kx * p.imag() - ky * p.real(), kx * p.real() - ky * p.imag()};  // i kx p + i (i ky p)
      }
    fourier.backward(both);
    for (int j = 0; j < rows + 3; ++j)
      for (int i = 0; i < columns + 3; ++i) {
        // The coefficient before the first node stands first.
        const auto& v = both[size_t((j + rows - 1) % rows) * columns + (i + columns - 1) % columns];
        const size_t at = (size_t(j) * (columns + 3) + i) * size_t(slots()) + size_t(way);
        side_a[at] += v.real(), side_b[at] += v.imag();
      }
  }
  sides_[0] = Coefficients(std::move(side_a)), sides_[1] = Coefficients(std::move(side_b));
}

}  // namespace etchcast
