// The third rate of shear, which a flow about an axis has and a plane one has not.
#include <cmath>

#include "metal/creep.hpp"
#include "metal/loops.hpp"

namespace etchcast::metal {

/// From 2 psi_xz and psi_zz - psi_xx of the sixteen functions, as they stand for plane strain, to the rates about an
/// axis.
void Creep::place_round_point(size_t number, double x, const double* speed, const double* bend) {
  double *stretching = stretching_.data() + 16 * number, *shearing = shearing_.data() + 16 * number;
  const double r = std::sqrt(2 * x);
  for (int i = 0; i < 16; ++i) {
    hoop_[16 * number + size_t(i)] = stretching[i] / 2 - speed[i] / x;
    stretching[i] *= std::sqrt(0.75);
    shearing[i] = bend[i] / r + r * (shearing[i] - bend[i]);
  }
}

/// What the third rate adds about an axis: its own part, and what couples it with the other two.
void Creep::gather_hoops(size_t cell, bool secant) {
  double matrix[256], with_first[3 * kPoints], with_second[3 * kPoints], factors[4 * kPoints], gradient[16],
      coupling[16];
  for (int point = 0; point < kPoints; ++point) {
    const size_t p = cell * kPoints + point;
    const double ea = rates_[2 * p], eb = rates_[2 * p + 1], hoop = hoops_[p], eta = area_[p] * viscosity_[p];
    const double soft = secant ? 0 : (sensitivity_ - 1) * eta / (ea * ea + eb * eb + hoop * hoop + kSmall * kSmall);
    double *first = with_first + 3 * point, *second = with_second + 3 * point, *f = factors + 4 * point;
    first[0] = eta + soft * hoop * hoop, first[1] = soft * hoop * ea, first[2] = 0;
    second[0] = 0, second[1] = soft * hoop * eb, second[2] = 0;
    f[0] = eta * hoop, f[1] = 0, f[2] = pull() * soft * hoop * ea, f[3] = 0;
  }
  const int* number = numbers_.data() + 16 * cell;
  const size_t at = 16 * kPoints * cell;
  cell_vectors(hoop_.data() + at, shearing_.data() + at, factors, gradient, coupling);
  for (int i = 0; i < 16; ++i) {
    gradient_[size_t(number[i])] += gradient[i];
    equations_.add(mesh_.stretch(), number[i], coupling[i]);
  }
  cell_matrix(hoop_.data() + at, stretching_.data() + at, with_first, matrix);
  scatter(cell, matrix);
  cell_matrix(hoop_.data() + at, shearing_.data() + at, with_second, matrix);
  scatter(cell, matrix);
}

}  // namespace etchcast::metal
