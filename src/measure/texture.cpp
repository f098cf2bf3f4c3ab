// The structure tensor (mean products of the slopes of the tones), on cells.
#include "measure/texture.hpp"

#include <algorithm>
#include <cmath>

#include <Eigen/Dense>

namespace etchcast {
namespace {

constexpr double kFine = 0.06;  // mm; slopes are taken on tones evened out so far, but no less than 0.7 pixels
constexpr double kLocal = 0.5;  // mm; over which the tensor is a mean: less than half of any repeat that is looked for
constexpr double kRim = 0.35;   // mm; slopes nearer to the rim of the metal see the rim
constexpr double kFade = 1.0;   // mm; over which the weight goes up from the rim, so that the rim makes no waves
constexpr double kFloor = 0.1;  // of the median strength: where it is weaker there are hardly lines, and no direction

using Plane = std::vector<float>;

std::vector<float> bell(double sigma) {
  std::vector<float> kernel(size_t(std::ceil(3 * sigma)) + 1);
  for (size_t i = 0; i < kernel.size(); ++i) kernel[i] = float(std::exp(-0.5 * std::pow(double(i) / sigma, 2)));
  float sum = kernel[0];
  for (size_t i = 1; i < kernel.size(); ++i) sum += 2 * kernel[i];
  for (float& k : kernel) k /= sum;
  return kernel;
}

/// Metal that lies further than `rim` pixels from all that is none, as 0 or 1: a running minimum, rows then columns.
Plane inner(const Tones& tones, int rim) {
  const int w = tones.columns, h = tones.rows;
  Plane wide(tones.metal.size(), 0), both(tones.metal.size(), 0);
  for (int r = 0; r < h; ++r)
    for (int c = 0, run = 0; c < w; ++c) {
      run = tones.metal[size_t(r) * w + c] > 0.999f ? run + 1 : 0;
      if (run > 2 * rim) wide[size_t(r) * w + c - rim] = 1;
    }
  for (int c = 0; c < w; ++c)
    for (int r = 0, run = 0; r < h; ++r) {
      run = wide[size_t(r) * w + c] > 0 ? run + 1 : 0;
      if (run > 2 * rim) both[size_t(r - rim) * w + c] = 1;
    }
  return both;
}

/// Tones evened out within the metal.
Plane smooth_tones(const Tones& tones) {
  const double sigma = std::max(0.7, kFine * tones.px_per_mm);
  Plane sum(tones.bright.size()), weight = tones.metal;
  for (size_t i = 0; i < sum.size(); ++i) sum[i] = tones.bright[i] * weight[i];
  blur(sum, tones.columns, tones.rows, sigma);
  blur(weight, tones.columns, tones.rows, sigma);
  for (size_t i = 0; i < sum.size(); ++i) sum[i] = weight[i] > 1e-3f ? sum[i] / weight[i] : 0;
  return sum;
}

/// Sums of the products of slopes over each cell, and the share of it that counts.
struct Tensor {
  Plane xx, xy, yy, weight;
};

Tensor tensor_of(const Tones& tones, int columns, int rows) {
  const Plane tone = smooth_tones(tones), counts = inner(tones, std::max(2, int(kRim * tones.px_per_mm)));
  const size_t cells = size_t(columns) * rows;
  Tensor t{Plane(cells), Plane(cells), Plane(cells), Plane(cells)};
  const int w = tones.columns;
  const double cell_px = Texture::kCell * tones.px_per_mm;
  for (int r = 1; r + 1 < tones.rows; ++r)
    for (int c = 1; c + 1 < w; ++c) {
      const size_t at = size_t(r) * w + c;
      if (counts[at] == 0) continue;
      const float x = tone[at + 1] - tone[at - 1], y = tone[at - size_t(w)] - tone[at + size_t(w)];
      const size_t to =
          size_t(std::min(rows - 1, int(r / cell_px))) * columns + std::min(columns - 1, int(c / cell_px));
      t.xx[to] += x * x, t.xy[to] += x * y, t.yy[to] += y * y, t.weight[to] += 1;
    }
  const float full = float(cell_px * cell_px);
  for (size_t i = 0; i < cells; ++i)
    t.xx[i] /= full, t.xy[i] /= full, t.yy[i] /= full, t.weight[i] = std::min(1.0f, t.weight[i] / full);
  return t;
}

float median_of(const Plane& values, const Plane& weight) {
  Plane some;
  for (size_t i = 0; i < values.size(); ++i)
    if (weight[i] > 0.5f) some.push_back(values[i]);
  if (some.empty()) return 0;
  std::nth_element(some.begin(), some.begin() + long(some.size() / 2), some.end());
  return some[some.size() / 2];
}

/// Takes away the mean and what changes slowly over the picture (a parabola along, a slope across), by least squares.
void level(Plane& plane, const Texture& t) {
  Eigen::Matrix4d normal = Eigen::Matrix4d::Zero();
  Eigen::Vector4d right = Eigen::Vector4d::Zero();
  const auto terms = [&](int c, int r) {
    const double x = double(c) / t.columns - 0.5, y = double(r) / t.rows - 0.5;
    return Eigen::Vector4d(1, x, y, x * x);
  };
  for (int r = 0; r < t.rows; ++r)
    for (int c = 0; c < t.columns; ++c) {
      const size_t at = size_t(r) * t.columns + c;
      const Eigen::Vector4d a = terms(c, r);
      normal += t.weight[at] * a * a.transpose(), right += double(t.weight[at]) * plane[at] * a;
    }
  const Eigen::Vector4d fit = normal.ldlt().solve(right);
  for (int r = 0; r < t.rows; ++r)
    for (int c = 0; c < t.columns; ++c) plane[size_t(r) * t.columns + c] -= float(fit.dot(terms(c, r)));
}

}  // namespace

void blur(std::vector<float>& plane, int columns, int rows, double sigma) {
  const std::vector<float> kernel = bell(sigma);
  const int reach = int(kernel.size()) - 1;
  std::vector<float> wide(plane.size());
#pragma omp parallel for schedule(static)
  for (int r = 0; r < rows; ++r) {
    const float* in = &plane[size_t(r) * columns];
    float* out = &wide[size_t(r) * columns];
    for (int c = 0; c < columns; ++c) {
      float sum = kernel[0] * in[c];
      for (int i = 1; i <= reach; ++i)
        sum += kernel[size_t(i)] * ((c >= i ? in[c - i] : 0) + (c + i < columns ? in[c + i] : 0));
      out[c] = sum;
    }
  }
#pragma omp parallel for schedule(static)
  for (int r = 0; r < rows; ++r) {
    float* out = &plane[size_t(r) * columns];
    for (int c = 0; c < columns; ++c) out[c] = kernel[0] * wide[size_t(r) * columns + c];
    for (int i = 1; i <= reach; ++i)
      for (const int from : {r - i, r + i})
        if (from >= 0 && from < rows)
          for (int c = 0; c < columns; ++c) out[c] += kernel[size_t(i)] * wide[size_t(from) * columns + c];
  }
}

Texture texture_of(const Tones& tones) {
  Texture t;
  t.columns = std::max(1, int(std::ceil(tones.columns / tones.px_per_mm / Texture::kCell)));
  t.rows = std::max(1, int(std::ceil(tones.rows / tones.px_per_mm / Texture::kCell)));
  Tensor tensor = tensor_of(tones, t.columns, t.rows);
  Plane near = tensor.weight;
  for (Plane* plane : {&tensor.xx, &tensor.xy, &tensor.yy, &near})
    blur(*plane, t.columns, t.rows, kLocal / Texture::kCell);
  Plane strength(near.size());
  for (size_t i = 0; i < near.size(); ++i) strength[i] = near[i] > 0.02f ? (tensor.xx[i] + tensor.yy[i]) / near[i] : 0;
  const float least = std::max(1e-12f, float(kFloor) * median_of(strength, tensor.weight));
  for (Plane& plane : t.planes) plane.resize(near.size());
  for (size_t i = 0; i < near.size(); ++i) {
    const float n = std::max(near[i], 0.02f), whole = strength[i] + least;
    t.planes[0][i] = (tensor.xx[i] - tensor.yy[i]) / n / whole;
    t.planes[1][i] = 2 * tensor.xy[i] / n / whole;
    t.planes[2][i] = std::log(whole / least / 11);
  }
  t.weight = tensor.weight;
  blur(t.weight, t.columns, t.rows, kFade / Texture::kCell);
  for (size_t i = 0; i < near.size(); ++i) t.weight[i] *= tensor.weight[i];
  for (Plane& plane : t.planes) level(plane, t);
  for (Plane& plane : t.planes)
    for (size_t i = 0; i < near.size(); ++i) plane[i] *= t.weight[i];
  return t;
}

}  // namespace etchcast
