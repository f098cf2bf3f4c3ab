// src/finish/etch.cpp — what the acid leaves: heights by attack and coverage, with flanks as wide as the step is deep.
#include <algorithm>
#include <cmath>

#include "etchcast/picture.hpp"

namespace etchcast {
namespace {

/// A box of `width` pixels, centred; its outermost pixels count in part. At width 1 it changes nothing.
struct Box {
  int radius;
  float edge;  ///< weight of the outermost pixels, against 1 inside
  explicit Box(float width) : radius(int(std::ceil((width - 1) / 2))), edge((width + 1) / 2 - float(radius)) {}
};

/// Mean of `count` values `stride` apart around each; only what has weight counts, so that metal does not slope down to
/// the ground it lies on. Values beyond the ends are taken as the last: those pixels belong to the halo.
void smooth_line(const float* from, const float* weight, float* to, int count, int stride, Box box) {
  for (int i = 0; i < count; ++i) {
    float sum = 0, total = 0;
    for (int k = -box.radius; k <= box.radius; ++k) {
      const int at = std::clamp(i + k, 0, count - 1) * stride;
      const float share = weight[at] * (std::abs(k) == box.radius ? box.edge : 1.0f);
      sum += share * from[at];
      total += share;
    }
    to[i * stride] = total > 0 ? sum / total : 0.0f;
  }
}

void smooth_flanks(const Field& field, float width_px, std::vector<float>& height) {
  const Box box(width_px);
  std::vector<float> weight(height.size()), rows(height.size());
  for (size_t i = 0; i < weight.size(); ++i) weight[i] = field.mask[i] > 0 ? 1.0f : 0.0f;
  for (int r = 0; r < field.rows; ++r) {
    const size_t at = field.index(r, 0);
    smooth_line(&height[at], &weight[at], &rows[at], field.columns, 1, box);
  }
  for (int c = 0; c < field.columns; ++c) {
    smooth_line(&rows[c], &weight[c], &height[c], field.rows, field.columns, box);
  }
}

}  // namespace

void Field::resize(int new_columns, int new_rows, int new_steels) {
  columns = new_columns;
  rows = new_rows;
  steels = new_steels;
  const size_t pixels = size_t(columns) * rows;
  mask.resize(pixels);
  coverage.resize(pixels * steels);
  slope_right.resize(pixels);
  slope_up.resize(pixels);
  bare.assign(pixels, 0.0f);
  s.resize(pixels);
}

std::vector<float> etched_height(const Field& field, const std::vector<Steel>& steels, const EtchPlan& etch) {
  const size_t pixels = size_t(field.columns) * field.rows;
  std::vector<float> height(pixels, 0.0f), total(pixels, 0.0f);
  for (int k = 0; k < field.steels; ++k) {
    const float* share = &field.coverage[pixels * k];
    const float below_mm = -float(etch.depth_mm * steels[k].attack);
    for (size_t i = 0; i < pixels; ++i) {
      height[i] += below_mm * share[i];
      total[i] += share[i];
    }
  }
  // Ground after the etch: no relief is left there.
  for (size_t i = 0; i < pixels; ++i)
    height[i] = total[i] > 0 && field.mask[i] > 0 ? (1 - field.bare[i]) * height[i] / total[i] : 0.0f;

  // Isotropic attack eats sideways as far as down (etch factor 1). A step seen through pixels wider than that is
  // already spread over one pixel; a wider box must leave one pixel of the halo for the gradient, so beyond 5 px (200
  // px/mm at 25 um) flanks are drawn steeper than they are rather than dependent on the window.
  constexpr float kWidest = 2 * (Field::kHalo - 1) + 1;
  const float width_px = std::min(float(etch.depth_mm / field.mm_per_px), kWidest);
  if (width_px > 1) smooth_flanks(field, width_px, height);
  return height;
}

}  // namespace etchcast
