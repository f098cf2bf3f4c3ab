// Fields through their Fourier transforms.
#include "metal/modes.hpp"

#include <cmath>
#include <map>
#include <utility>

#include "base/fourier.hpp"
#include "metal/rough.hpp"

namespace etchcast::metal {

namespace {
constexpr double kPi = 3.14159265358979323846;
}  // namespace

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
      const double k = std::hypot(2 * kPi * m / grid.wide, 2 * kPi * n / grid.high);
      const auto f = [&](double s) {
        return friction * layer_wave(k, s, true) + (1 - friction) * layer_wave(k, s, false);
      };
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
    for (size_t i = 0; i < nodes; ++i)
      rise[l][i] = both[i].real(), rise[next][i] = l == next ? both[i].real() : both[i].imag();
  }
  return rise;
}

}  // namespace etchcast::metal
