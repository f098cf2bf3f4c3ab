// Shares of steel for every pixel of a window.
#include "coverage/sampler.hpp"

#include <algorithm>
#include <cmath>
#include <memory>

namespace etchcast {

namespace {
constexpr int kDivide = 4;
/// How far the footprint may be off within a pixel before it is divided, in bands.
constexpr float kTolerance = 0.06f;
}  // namespace

struct Sampler::Window {
  std::vector<float> sp, sq;     ///< mm of stack per pixel, right and up
  std::vector<short> leaf;       ///< -1 where nothing was evaluated
  std::vector<char> wanted;      ///< pixels within the halo of metal
};

Sampler::Sampler(const Bar& bar, int steels) : bar_(bar), steels_(steels) {
  for (const BandList* list : bar.leaves()) tables_.emplace_back(*list, steels);
}

void Sampler::evaluate_row(const View& view, Field& field, Window& w, int row) const {
  const double px = field.mm_per_px, v = field.top_mm - (row + 0.5) * px;
  Batch<float> batch;
  Origins<float> origin;
  double u[kLanes];
  for (int first = 0; first < field.columns; first += kLanes) {
    const int n = std::min(kLanes, field.columns - first);
    const size_t at = field.index(row, first);
    const auto* wanted = &w.wanted[at];
    if (std::find(wanted, wanted + n, 1) == wanted + n) continue;
    for (int i = 0; i < kLanes; ++i) u[i] = field.left_mm + (first + std::min(i, n - 1) + 0.5) * px;
    float right[kLanes], up[kLanes];
    view.points(u, v, kLanes, batch, right, up);
    bar_.origins(batch, origin);
    view.bare(u, v, px, n, &field.bare[at]);
    for (int i = 0; i < n; ++i) {
      // The sharpened bevel faces down and away, where a card throws light back at it: as bright as if turned up a little.
      field.slope_right[at + i] = right[i], field.slope_up[at + i] = up[i] - 0.035f * field.bare[at + i];
      field.s[at + i] = origin.s[i];
      w.sp[at + i] = origin.sp[i] * float(px), w.sq[at + i] = origin.sq[i] * float(px);
      w.leaf[at + i] = short(origin.leaf[i]);
    }
  }
}

/// Compares a pixel with its four neighbours: a step in s that the slopes do not foretell is a seam or a crease; a change of
/// slope bends the footprint.
bool Sampler::needs_division(const Field& field, const Window& w, int row, int column) const {
  const size_t at = field.index(row, column);
  const BandTable& table = tables_[w.leaf[at]];
  const float most = kTolerance * float(table.mean_band());
  if (tables_.size() > 1 && w.leaf[at] == 0 && table.touches_inset(field.s[at], std::abs(w.sp[at]) + std::abs(w.sq[at]))) return true;
  const auto differs = [&](size_t other, const std::vector<float>& slope, const std::vector<float>& cross, float way) {
    if (w.leaf[other] < 0) return false;
    if (w.leaf[other] != w.leaf[at]) return true;
    const float step = field.s[other] - field.s[at], foretold = way * 0.5f * (slope[at] + slope[other]);
    // A quarter and an eighth: how far a footprint's end and its middle stray for a slope that changes evenly.
    return std::abs(step - foretold) > most || std::abs(slope[other] - slope[at]) * 0.125f > most ||
           std::abs(cross[other] - cross[at]) * 0.25f > most;
  };
  return (column > 0 && differs(at - 1, w.sp, w.sq, -1)) || (column + 1 < field.columns && differs(at + 1, w.sp, w.sq, 1)) ||
         (row > 0 && differs(at - field.columns, w.sq, w.sp, 1)) ||
         (row + 1 < field.rows && differs(at + field.columns, w.sq, w.sp, -1));
}

void Sampler::cover_row(const View& view, Field& field, const Window& w, int row) const {
  const size_t plane = size_t(field.columns) * field.rows;
  std::vector<int> hard;
  for (int column = 0; column < field.columns; ++column) {
    const size_t at = field.index(row, column);
    if (w.leaf[at] < 0) continue;
    if (needs_division(field, w, row, column))
      hard.push_back(column);
    else
      tables_[w.leaf[at]].shares(field.s[at], std::abs(w.sp[at]) / 2, std::abs(w.sq[at]) / 2, &field.coverage[at], plane);
  }
  if (hard.empty()) return;
  divide(view, field, hard, row);
#pragma omp atomic
  divided_ += long(hard.size());
}

void Sampler::divide(const View& view, Field& field, const std::vector<int>& columns, int row) const {
  constexpr int kPerBatch = kLanes / kDivide;  // pixels a batch holds of one row of parts
  const double px = field.mm_per_px, part = px / kDivide;
  const size_t plane = size_t(field.columns) * field.rows;
  Batch<float> batch;
  Origins<float> origin;
  double u[kLanes];
  float right[kLanes], up[kLanes];
  std::vector<float> shares(steels_);
  for (size_t first = 0; first < columns.size(); first += kPerBatch) {
    const int pixels = int(std::min<size_t>(kPerBatch, columns.size() - first));
    for (int i = 0; i < pixels; ++i)
      for (int k = 0; k < steels_; ++k) field.coverage[k * plane + field.index(row, columns[first + i])] = 0;
    for (int j = 0; j < kDivide; ++j) {
      for (int i = 0; i < kLanes; ++i) {
        const int pixel = columns[first + std::min(i / kDivide, pixels - 1)];
        u[i] = field.left_mm + pixel * px + (i % kDivide + 0.5) * part;
      }
      view.points(u, field.top_mm - row * px - (j + 0.5) * part, kLanes, batch, right, up);
      bar_.origins(batch, origin);
      for (int i = 0; i < pixels * kDivide; ++i) {
        tables_[origin.leaf[i]].shares(origin.s[i], std::abs(origin.sp[i]) * part / 2, std::abs(origin.sq[i]) * part / 2, shares.data(), 1);
        const size_t at = field.index(row, columns[first + i / kDivide]);
        for (int k = 0; k < steels_; ++k) field.coverage[k * plane + at] += shares[k] / (kDivide * kDivide);
      }
    }
  }
}

void Sampler::sample(const View& view, Field& field) const {
  const size_t plane = size_t(field.columns) * field.rows;
  Window w;
  w.sp.assign(plane, 0), w.sq.assign(plane, 0);
  w.leaf.assign(plane, -1);
  w.wanted.assign(plane, 0);
  field.mask = polygon_mask(view.outline(), {field.left_mm, field.top_mm, field.mm_per_px, field.columns, field.rows});
  constexpr int kHalo = Field::kHalo;
#pragma omp parallel for schedule(dynamic, 4)
  for (int row = 0; row < field.rows; ++row) {
    // Metal within the halo of a pixel makes it wanted: slopes at the outline need it.
    for (int r = std::max(0, row - kHalo); r <= std::min(field.rows - 1, row + kHalo); ++r)
      for (int c = 0; c < field.columns; ++c)
        if (field.mask[field.index(r, c)] > 0) w.wanted[field.index(row, c)] = 1;
    for (int c = 0; c < field.columns; ++c)
      if (w.wanted[field.index(row, c)] == 1)
        for (int k = std::max(0, c - kHalo); k <= std::min(field.columns - 1, c + kHalo); ++k)
          if (!w.wanted[field.index(row, k)]) w.wanted[field.index(row, k)] = 2;
    for (int c = 0; c < field.columns; ++c) w.wanted[field.index(row, c)] = w.wanted[field.index(row, c)] ? 1 : 0;
    evaluate_row(view, field, w, row);
  }
#pragma omp parallel for schedule(dynamic, 4)
  for (int row = 0; row < field.rows; ++row) cover_row(view, field, w, row);
}

}  // namespace etchcast
