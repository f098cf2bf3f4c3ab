// src/finish/etch.cpp — what the acid leaves: heights by attack and coverage, with flanks as wide as the step is deep.
#include <algorithm>
#include <cmath>

#include "base/clones.hpp"
#include "finish/relief.hpp"

namespace etchcast {
namespace {

/// A box of `width` pixels, centred; its outermost pixels count in part. At width 1 it changes nothing.
struct Box {
  int radius;
  float edge;  ///< weight of the outermost pixels, against 1 inside
  explicit Box(float width) : radius(int(std::ceil((width - 1) / 2))), edge((width + 1) / 2 - float(radius)) {}
};

/// Adds `share` of a neighbour to each pixel's sum; pixels without weight count for nothing.
inline void add_shares(const float* from, const float* weight, float share, int count, float* sum, float* total) {
#pragma GCC ivdep
  for (int i = 0; i < count; ++i) {
    const float part = weight[i] * share;
    sum[i] += part * from[i];
    total[i] += part;
  }
}

inline void divide(float* sum, const float* total, int count) {
#pragma GCC ivdep
  for (int i = 0; i < count; ++i) sum[i] = total[i] > 0 ? sum[i] / total[i] : 0.0f;
}

/// Mean of a line around each of its values; values beyond its ends are taken as the last: those pixels belong to the
/// halo.
inline void smooth_along(const float* from, const float* weight, float* to, float* total, int count, Box box) {
  std::fill(to, to + count, 0.0f);
  std::fill(total, total + count, 0.0f);
  for (int k = -box.radius; k <= box.radius; ++k) {
    const float share = std::abs(k) == box.radius ? box.edge : 1.0f;
    const int first = std::clamp(-k, 0, count), last = std::clamp(count - k, 0, count);
    for (int i = 0; i < first; ++i) add_shares(from, weight, share, 1, to + i, total + i);
    if (first < last) add_shares(from + first + k, weight + first + k, share, last - first, to + first, total + first);
    for (int i = last; i < count; ++i) add_shares(from + count - 1, weight + count - 1, share, 1, to + i, total + i);
  }
  divide(to, total, count);
}

/// Only what has weight counts, so that metal does not slope down to the ground it lies on. Columns are walked side by
/// side, a row at a time.
ETCHCAST_CLONES void smooth_flanks(const Field& field, Box box, Relief& relief) {
  const int columns = field.columns, rows = field.rows;
  const size_t pixels = field.mask.size();
  relief.weight.resize(pixels), relief.across.resize(pixels);
  float *weight = relief.weight.data(), *across = relief.across.data(), *total = relief.total.data();
  for (size_t i = 0; i < pixels; ++i) weight[i] = field.mask[i] > 0 ? 1.0f : 0.0f;
  for (int r = 0; r < rows; ++r) {
    const size_t at = field.index(r, 0);
    smooth_along(&relief.height[at], weight + at, across + at, total, columns, box);
  }
  for (int r = 0; r < rows; ++r) {
    float* to = &relief.height[field.index(r, 0)];
    std::fill(to, to + columns, 0.0f);
    std::fill(total, total + columns, 0.0f);
    for (int k = -box.radius; k <= box.radius; ++k) {
      const size_t at = field.index(std::clamp(r + k, 0, rows - 1), 0);
      add_shares(across + at, weight + at, std::abs(k) == box.radius ? box.edge : 1.0f, columns, to, total);
    }
    divide(to, total, columns);
  }
}

/// Mean of what the steels lose, row by row, the last two at once: mostly there are no more. Ground after the etch: no
/// relief is left there.
ETCHCAST_CLONES void lower(const Field& field, const std::vector<Steel>& steels, double depth_mm, Relief& relief) {
  const int columns = field.columns;
  float* total = relief.total.data();
  const auto below_mm = [&](int k) { return -float(depth_mm * steels[size_t(k)].attack); };
  for (int r = 0; r < field.rows; ++r) {
    const size_t start = field.index(r, 0);
    const auto share = [&](int k) { return &field.coverage[field.mask.size() * size_t(k) + start]; };
    float* height = &relief.height[start];
    std::fill(height, height + columns, 0.0f);
    std::fill(total, total + columns, 0.0f);
    int k = 0;
    for (; k + 2 < field.steels; k += 1) {
      const float *of = share(k), below = below_mm(k);
#pragma GCC ivdep
      for (int c = 0; c < columns; ++c) height[c] += below * of[c], total[c] += of[c];
    }
    const float *one = share(k), *two = share(std::min(k + 1, field.steels - 1));
    const float below_one = below_mm(k), is_two = k + 1 < field.steels ? 1.0f : 0.0f;
    const float below_two = is_two * below_mm(std::min(k + 1, field.steels - 1));
    const float *mask = &field.mask[start], *bare = &field.bare[start];
#pragma GCC ivdep
    for (int c = 0; c < columns; ++c) {
      const float sum = height[c] + below_one * one[c] + below_two * two[c];
      const float shares = total[c] + one[c] + is_two * two[c];
      height[c] = shares > 0 && mask[c] > 0 ? (1 - bare[c]) * sum / shares : 0.0f;
    }
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
  creases.clear();
  s.resize(pixels);
}

void Relief::etch(const Field& field, const std::vector<Steel>& steels, const EtchPlan& plan) {
  height.resize(field.mask.size());
  fit(total, field.columns);
  lower(field, steels, plan.depth_mm, *this);
  // Isotropic attack eats sideways as far as down (etch factor 1). A step seen through pixels wider than that is
  // already spread over one pixel; a wider box must leave one pixel of the halo for the gradient, so beyond 5 px (200
  // px/mm at 25 um) flanks are drawn steeper than they are rather than dependent on the window.
  constexpr float kWidest = 2 * (Field::kHalo - 1) + 1;
  const float width_px = std::min(float(plan.depth_mm / field.mm_per_px), kWidest);
  if (width_px > 1) smooth_flanks(field, Box(width_px), *this);
}

std::vector<float> etched_height(const Field& field, const std::vector<Steel>& steels, const EtchPlan& etch) {
  Relief relief;
  relief.etch(field, steels, etch);
  return std::move(relief.height);
}

}  // namespace etchcast
