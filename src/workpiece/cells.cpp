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

RoundCell::RoundCell(double edge_mm, const std::array<Profile, kLevels>& rises, bool alone)
    : edge_(edge_mm), alone_(alone), coefficients_(size_t(kSteps + 3) * kLevels) {
  for (int l = 0; l < kLevels; ++l) {
    const auto own = bspline_coefficients(rises[size_t(l)]);
    for (size_t i = 0; i < own.size(); ++i) coefficients_[i * kLevels + size_t(l)] = own[i];
  }
}

RoundCell::Rises RoundCell::rises(double r) const {
  Rises sum{};
  double share = 1;
  if (r > edge_) {
    const double t = std::min(1.0, (r / edge_ - 1) / (kFade - 1));
    share = alone_ ? 1 - t * t * t * (10 - 15 * t + 6 * t * t) : 1;
    if (share == 0) return sum;
    r = edge_;
  }
  const double place = r / edge_ * kSteps;
  const int cell = std::min(int(place), kSteps - 1);
  const SplineWeights<double> weights(place - cell);
  const double* c = coefficients_.data() + size_t(cell) * kLevels;
  for (int k = 0; k < 4; ++k)
    for (int l = 0; l < kLevels; ++l) sum[size_t(l)] += share * weights.w[k] * c[k * kLevels + l];
  return sum;
}

RoundCell RoundCell::upside_down() const {
  std::array<Profile, kLevels> upside;
  for (int i = 0; i <= kSteps; ++i) {
    const Rises upright = rises(edge_ * i / kSteps);
    for (int l = 0; l < kLevels; ++l) upside[size_t(l)].push_back(-upright[size_t(kLevels - 1 - l)]);
  }
  return RoundCell(edge_, upside, alone_);
}

RoundCell RoundCell::evened_out(double length) const {
  // A bell over the plan, by sums over a square of points about each place.
  constexpr int kHalf = 5;
  std::array<Profile, kLevels> even;
  for (int i = 0; i <= kSteps; ++i) {
    Rises sum{};
    double total = 0;
    for (int a = -kHalf; a <= kHalf; ++a)
      for (int b = -kHalf; b <= kHalf; ++b) {
        const double x = 2.5 * length * a / kHalf, y = 2.5 * length * b / kHalf;
        const double weight = std::exp(-(x * x + y * y) / (2 * length * length)),
                     r = std::hypot(edge_ * i / kSteps + x, y);
        total += weight;
        const Rises here = rises(r > edge_ ? 2 * edge_ - r : r);
        for (int l = 0; l < kLevels; ++l) sum[size_t(l)] += weight * here[size_t(l)];
      }
    for (int l = 0; l < kLevels; ++l) even[size_t(l)].push_back(sum[size_t(l)] / total);
  }
  return RoundCell(edge_, even, alone_);
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
  // Less than that share of a cell tells nothing.
  constexpr double kNothing = 1e-6;
  const double soft = 0.05 * pattern.spacing * pattern.spacing, beyond = -soft * std::log(kNothing);
  double squares[Pattern::kNear], parts[Pattern::kNear];
  for (size_t node = 0; node < target.grid.size(); ++node) {
    int count = pattern.near(lie.share_x * target.grid.x(node), target.grid.y(node), squares);
    if (count == 0) continue;
    const double least = *std::min_element(squares, squares + count);
    count = int(std::remove_if(squares, squares + count, [=](double s) { return s > least + beyond; }) - squares);
    double total = 0;
    for (int k = 0; k < count; ++k) total += parts[k] = std::exp((least - squares[k]) / soft);
    for (int k = 0; k < count; ++k) {
      const auto rises = cell.rises(lie.distance * std::sqrt(squares[k]));
      for (int l = 0; l < kLevels; ++l) target.rise[size_t(l)][node] += parts[k] / total * rises[size_t(l)];
    }
  }
}

}  // namespace etchcast
