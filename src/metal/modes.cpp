// Fields through their Fourier transforms.
#include "metal/modes.hpp"

#include <algorithm>
#include <cmath>

#include "base/fourier.hpp"
#include "base/spline.hpp"
#include "metal/rough.hpp"

namespace etchcast::metal {

namespace {

constexpr double kPi = 3.14159265358979323846;

/// What is left of a wave at each level: of one on the upper face, then of one on the lower face. Told from a table over
/// the wave number, for there are as many waves as nodes.
class Shapes {
 public:
  Shapes(const std::vector<double>& sigma, double friction) : sigma_(sigma), friction_(friction) {
    std::vector<double> over_k(kCells + 1);
    for (const double s : sigma) {
      for (int i = 0; i <= kCells; ++i) over_k[size_t(i)] = exact(i * kStep, s);
      tables_.emplace_back(0, kStep, over_k);
    }
    // The lower face's waves are the upper face's upside down; levels need not lie evenly about the middle.
    for (const double s : sigma) {
      for (int i = 0; i <= kCells; ++i) over_k[size_t(i)] = exact(i * kStep, 1 - s);
      tables_.emplace_back(0, kStep, over_k);
    }
  }
  /// For a wave number; its mean, 0, lies on a straight line between the faces.
  void at(double k, double* shares) const {
    const size_t levels = sigma_.size();
    for (size_t l = 0; l < 2 * levels; ++l) {
      const double s = l < levels ? sigma_[l] : 1 - sigma_[l - levels];
      shares[l] = k == 0 ? s : k < kCells * kStep ? tables_[l](k) : exact(k, s);
    }
  }

 private:
  static constexpr int kCells = 800;
  static constexpr double kStep = 0.05;
  double exact(double k, double s) const {
    k = std::max(k, 0.02);  // below it stand the limits, which have a step there
    double sum = 0;
    if (friction_ > 0) sum += friction_ * layer_wave(k, s, true);
    if (friction_ < 1) sum += (1 - friction_) * layer_wave(k, s, false);
    return sum;
  }
  std::vector<double> sigma_;
  double friction_;
  std::vector<Spline1> tables_;
};

}  // namespace

std::vector<std::vector<double>> layers_under(const Grid2& grid, const std::vector<double>& bottom,
                                              const std::vector<double>& top, const std::vector<double>& sigma,
                                              double friction) {
  const Fourier fourier(grid.columns, grid.rows);
  const size_t nodes = grid.size(), levels = sigma.size(), pairs = (levels + 1) / 2;
  std::vector<Fourier::Complex> low(bottom.begin(), bottom.end()), high(top.begin(), top.end());
  fourier.forward(low), fourier.forward(high);
  const Shapes shapes(sigma, friction);
  // Two levels a transform, one in the real and one in the imaginary parts.
  std::vector<std::vector<Fourier::Complex>> both(pairs, std::vector<Fourier::Complex>(nodes));
  std::vector<double> f(2 * levels + 2);
  for (int j = 0; 2 * j <= grid.rows; ++j)
    for (int i = 0; 2 * i <= grid.columns; ++i) {
      shapes.at(std::hypot(2 * kPi * fourier.waves_x(i) / grid.wide, 2 * kPi * fourier.waves_y(j) / grid.high), f.data());
      // All four waves of that length, or fewer.
      for (const int row : {j, (grid.rows - j) % grid.rows})
        for (const int column : {i, (grid.columns - i) % grid.columns}) {
          const size_t at = size_t(row) * grid.columns + column;
          for (size_t l = 0; l < levels; l += 2) {
            const auto one = high[at] * f[l] + low[at] * f[levels + l];
            const auto next = l + 1 < levels ? high[at] * f[l + 1] + low[at] * f[levels + l + 1] : 0;
            both[l / 2][at] = {one.real() - next.imag(), one.imag() + next.real()};
          }
        }
    }
  std::vector<std::vector<double>> rise(levels, std::vector<double>(nodes));
  for (size_t l = 0; l < levels; l += 2) {
    fourier.backward(both[l / 2]);
    for (size_t i = 0; i < nodes; ++i) rise[l][i] = both[l / 2][i].real();
    for (size_t i = 0; i < nodes && l + 1 < levels; ++i) rise[l + 1][i] = both[l / 2][i].imag();
  }
  return rise;
}

}  // namespace etchcast::metal
