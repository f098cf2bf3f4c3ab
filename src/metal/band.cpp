// Banded Cholesky with two bordering rows.
#include "metal/band.hpp"

#include <algorithm>
#include <cmath>

#include "base/clones.hpp"

namespace etchcast::metal {

namespace {
/// Couplings of nothing: a body no die touches may drift; this keeps it where it is.
constexpr double kHeld = 1e-9;
}  // namespace

/// Factors the band; columns are `stride` apart and hold `stride` entries. Only sums over whole columns: the same bits
/// in any register width.
ETCHCAST_CLONES bool factor_band(double* band, int size, int stride) {
  // Two columns at a time: each later column is fetched and put back half as often.
  for (int j = 0; j < size; j += 2) {
    double *first = band + size_t(j) * stride, *second = first + stride;
    if (!(first[0] > 0)) return false;
    first[0] = std::sqrt(first[0]);
    const double inverse = 1 / first[0];
    for (int k = 1; k < stride; ++k) first[k] *= inverse;
    const double beside = first[1];
    for (int k = 1; k < stride; ++k) second[k - 1] -= beside * first[k];
    if (j + 1 == size) second[0] = 1;  // past the end; nothing comes after
    if (!(second[0] > 0)) return false;
    second[0] = std::sqrt(second[0]);
    const double inverse2 = 1 / second[0];
    for (int k = 1; k < stride; ++k) second[k] *= inverse2;
    for (int k = 2; k < stride; ++k) {
      double* next = band + size_t(j + k) * stride;
      const double f1 = first[k], f2 = second[k - 1];
      for (int i = k; i < stride; ++i) next[i - k] = next[i - k] - f1 * first[i] - f2 * second[i - 1];
      next[stride - k] -= f2 * second[stride - 1];  // the second reaches a row further
    }
    band[size_t(j + stride) * stride] -= second[stride - 1] * second[stride - 1];
  }
  return true;
}

void BorderedBand::clear() {
  std::fill(band_.begin(), band_.end(), 0.0);
  std::fill(border_.begin(), border_.end(), 0.0);
}

bool BorderedBand::factor() {
  if (!factor_band(band_.data(), size_, stride_)) return false;
  const int row = size_ + 2;
  double corner[3] = {border_[size_] + kHeld, border_[row + size_], border_[row + size_ + 1] + kHeld};
  for (int b = 0; b < 2; ++b) {
    double* y = border_.data() + b * row;
    for (int j = 0; j < size_; ++j) {
      const double* column = band_.data() + size_t(j) * stride_;
      y[j] /= column[0];
      const int most = std::min(stride_, size_ - j);
      for (int k = 1; k < most; ++k) y[j + k] -= column[k] * y[j];
    }
  }
  const double *y0 = border_.data(), *y1 = y0 + row;
  for (int j = 0; j < size_; ++j) corner[0] -= y0[j] * y0[j], corner[1] -= y0[j] * y1[j], corner[2] -= y1[j] * y1[j];
  corner_[0] = std::sqrt(std::max(corner[0], kHeld));
  corner_[1] = corner[1] / corner_[0];
  corner_[2] = std::sqrt(std::max(corner[2] - corner_[1] * corner_[1], kHeld));
  return true;
}

void BorderedBand::solve(std::vector<double>& x) const {
  const double *y0 = border_.data(), *y1 = y0 + size_ + 2;
  double e0 = x[size_], e1 = x[size_ + 1];
  for (int j = 0; j < size_; ++j) {
    const double* column = band_.data() + size_t(j) * stride_;
    const double v = x[j] /= column[0];
    const int most = std::min(stride_, size_ - j);
    for (int k = 1; k < most; ++k) x[j + k] -= column[k] * v;
    e0 -= y0[j] * v, e1 -= y1[j] * v;
  }
  e0 /= corner_[0];
  e1 = (e1 - corner_[1] * e0) / corner_[2];
  e1 /= corner_[2];
  e0 = (e0 - corner_[1] * e1) / corner_[0];
  x[size_] = e0, x[size_ + 1] = e1;
  for (int j = size_ - 1; j >= 0; --j) {
    const double* column = band_.data() + size_t(j) * stride_;
    double v = x[j] - y0[j] * e0 - y1[j] * e1;
    const int most = std::min(stride_, size_ - j);
    for (int k = 1; k < most; ++k) v -= column[k] * x[j + k];
    x[j] = v / column[0];
  }
}

}  // namespace etchcast::metal
