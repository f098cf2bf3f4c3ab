// Shares of steel for every pixel of a window.
#include "coverage/sampler.hpp"

#include <algorithm>
#include <cmath>
#include <memory>

#include "base/clones.hpp"

namespace etchcast {

namespace {
constexpr int kDivide = 4, kFinest = 16;  // parts a side; 16 x 16 fill a batch
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
  double u[kLanes], vs[kLanes];
  std::fill(vs, vs + kLanes, v);
  for (int first = 0; first < field.columns; first += kLanes) {
    const int n = std::min(kLanes, field.columns - first);
    const size_t at = field.index(row, first);
    const auto* wanted = &w.wanted[at];
    if (std::find(wanted, wanted + n, 1) == wanted + n) continue;
    for (int i = 0; i < kLanes; ++i) u[i] = field.left_mm + (first + std::min(i, n - 1) + 0.5) * px;
    float right[kLanes], up[kLanes];
    view.points(u, vs, kLanes, batch, right, up);
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

namespace {

/// Row of a window and its neighbours above and below, as far as they exist.
struct Rows {
  const float *s, *sp, *sq;
  const short* leaf;
};

/// Compares pixels with their four neighbours: a step in s that the slopes do not foretell is a seam or a crease; a change
/// of slope bends the footprint. `most` is what may pass, mm. Both ends of the row must be pixels of the halo.
/// A quarter and an eighth: how far a footprint's end and its middle stray for a slope that changes evenly.
ETCHCAST_CLONES void find_bent(const Rows& at, const Rows& above, const Rows& below, float most, int n, unsigned char* bent) {
#pragma GCC ivdep
  for (int c = 1; c < n - 1; ++c) {
    const float s = at.s[c], sp = at.sp[c], sq = at.sq[c];
    const float right = std::abs(at.s[c + 1] - s - 0.5f * (sp + at.sp[c + 1])), left = std::abs(s - at.s[c - 1] - 0.5f * (sp + at.sp[c - 1]));
    const float up = std::abs(above.s[c] - s - 0.5f * (sq + above.sq[c])), down = std::abs(s - below.s[c] - 0.5f * (sq + below.sq[c]));
    const float turn_p = std::max(std::abs(at.sp[c + 1] - sp), std::abs(at.sp[c - 1] - sp)) * 0.125f;
    const float turn_q = std::max(std::abs(above.sq[c] - sq), std::abs(below.sq[c] - sq)) * 0.125f;
    const float cross_p = std::max(std::abs(at.sq[c + 1] - sq), std::abs(at.sq[c - 1] - sq)) * 0.25f;
    const float cross_q = std::max(std::abs(above.sp[c] - sp), std::abs(below.sp[c] - sp)) * 0.25f;
    const float step = std::max(std::max(right, left), std::max(up, down));
    const float turn = std::max(std::max(turn_p, turn_q), std::max(cross_p, cross_q));
    bent[c] = std::max(step, turn) > most;
  }
}

}  // namespace

/// Pixels that one footprint does not do justice to.
void Sampler::find_hard(const Field& field, const Window& w, int row, std::vector<unsigned char>& hard) const {
  const auto rows = [&](int r) {
    const size_t at = field.index(std::clamp(r, 0, field.rows - 1), 0);
    return Rows{&field.s[at], &w.sp[at], &w.sq[at], &w.leaf[at]};
  };
  const Rows at = rows(row), above = rows(row - 1), below = rows(row + 1);
  std::fill(hard.begin(), hard.end(), 0);
  find_bent(at, above, below, kTolerance * float(tables_[0].mean_band()), field.columns, hard.data());
  if (tables_.size() == 1) {
    // A neighbour outside the metal has nothing to compare with.
    for (int c = 1; c + 1 < field.columns; ++c)
      if (hard[c] && (at.leaf[c + 1] < 0 || at.leaf[c - 1] < 0 || above.leaf[c] < 0 || below.leaf[c] < 0)) hard[c] = 0;
    return;
  }
  for (int c = 1; c + 1 < field.columns; ++c) {
    const short own = at.leaf[c];
    if (own < 0) continue;
    const bool seam = at.leaf[c + 1] != own || at.leaf[c - 1] != own || above.leaf[c] != own || below.leaf[c] != own;
    hard[c] = hard[c] || seam || (own == 0 && tables_[0].touches_inset(at.s[c], std::abs(at.sp[c]) + std::abs(at.sq[c])));
  }
}

/// Shares for a run of pixels whose origins are known, whatever band lists they come from.
void Sampler::cover(const float* s, const float* a, const float* b, const int* leaf, int n, float* shares, size_t stride) const {
  if (tables_.size() == 1) return tables_[0].shares(s, a, b, n, shares, stride);
  std::vector<float> own(size_t(n) * steels_);
  for (size_t l = 0; l < tables_.size(); ++l) {
    if (std::find(leaf, leaf + n, int(l)) == leaf + n) continue;
    tables_[l].shares(s, a, b, n, own.data(), size_t(n));
    for (int k = 0; k < steels_; ++k)
      for (int i = 0; i < n; ++i)
        if (leaf[i] == int(l)) shares[k * stride + i] = own[size_t(k) * n + i];
  }
}

void Sampler::cover_row(const View& view, Field& field, const Window& w, int row) const {
  const size_t plane = size_t(field.columns) * field.rows;
  std::vector<unsigned char> hard(field.columns);
  find_hard(field, w, row, hard);
  std::vector<int> columns;
  float a[kLanes], b[kLanes];
  int leaf[kLanes];
  for (int first = 0; first < field.columns; first += kLanes) {
    const int n = std::min(kLanes, field.columns - first);
    const size_t at = field.index(row, first);
    const auto* wanted = &w.wanted[at];
    if (std::find(wanted, wanted + n, 1) == wanted + n) continue;
    for (int i = 0; i < n; ++i) {
      a[i] = 0.5f * std::abs(w.sp[at + i]), b[i] = 0.5f * std::abs(w.sq[at + i]);
      leaf[i] = w.leaf[at + i];
    }
    cover(&field.s[at], a, b, leaf, n, &field.coverage[at], plane);
    for (int i = 0; i < n; ++i)
      if (hard[first + i] && field.mask[at + i] > 0) columns.push_back(first + i);
  }
  if (columns.empty()) return;
  divide(view, field, columns, row, kDivide);
#pragma omp atomic
  divided_ += long(columns.size());
}

namespace {

/// Whether the parts of one pixel, n x n of them, still disagree by more than `most` with what their slopes foretell.
bool still_bent(const Origins<float>& o, int first, int n, float part, float most) {
  for (int j = 0; j < n; ++j)
    for (int i = 0; i < n; ++i) {
      const int at = first + j * n + i, right = at + 1, below = at + n;
      if (i + 1 < n && (o.leaf[at] != o.leaf[right] || std::abs(o.s[right] - o.s[at] - 0.5f * part * (o.sp[at] + o.sp[right])) > most)) return true;
      if (j + 1 < n && (o.leaf[at] != o.leaf[below] || std::abs(o.s[at] - o.s[below] - 0.5f * part * (o.sq[at] + o.sq[below])) > most)) return true;
    }
  return false;
}

}  // namespace

void Sampler::divide(const View& view, Field& field, const std::vector<int>& columns, int row, int n) const {
  const int parts = n * n, per_batch = kLanes / parts;  // pixels a batch holds
  const double px = field.mm_per_px, part = px / n;
  const size_t plane = size_t(field.columns) * field.rows;
  Batch<float> batch;
  Origins<float> origin;
  double u[kLanes], v[kLanes];
  float right[kLanes], up[kLanes], a[kLanes], b[kLanes];
  std::vector<float> shares(size_t(steels_) * kLanes);
  std::vector<int> harder;
  for (size_t first = 0; first < columns.size(); first += size_t(per_batch)) {
    const int pixels = int(std::min<size_t>(size_t(per_batch), columns.size() - first));
    for (int lane = 0; lane < kLanes; ++lane) {
      const int column = columns[first + size_t(std::min(lane / parts, pixels - 1))], k = lane % parts;
      u[lane] = field.left_mm + column * px + (k % n + 0.5) * part;
      v[lane] = field.top_mm - row * px - (k / n + 0.5) * part;
    }
    view.points(u, v, kLanes, batch, right, up);
    bar_.origins(batch, origin);
    for (int i = 0; i < kLanes; ++i) a[i] = std::abs(origin.sp[i]) * float(part / 2), b[i] = std::abs(origin.sq[i]) * float(part / 2);
    cover(origin.s, a, b, origin.leaf, kLanes, shares.data(), kLanes);
    for (int i = 0; i < pixels; ++i) {
      const int column = columns[first + size_t(i)];
      const size_t at = field.index(row, column);
      for (int k = 0; k < steels_; ++k) {
        float sum = 0;
        for (int j = 0; j < parts; ++j) sum += shares[size_t(k) * kLanes + i * parts + j];
        field.coverage[k * plane + at] = sum / float(parts);
      }
      const float most = kTolerance * float(tables_[0].mean_band());
      if (n < kFinest && still_bent(origin, i * parts, n, float(part), most)) harder.push_back(column);
    }
  }
  if (!harder.empty()) divide(view, field, harder, row, kFinest);
}

namespace {

/// Metal within the halo of a pixel makes it wanted: slopes at the outline need it.
void want_row(const Field& field, int row, char* wanted) {
  constexpr int kHalo = Field::kHalo;
  const int n = field.columns;
  std::vector<char> near(size_t(n) + 2 * kHalo, 0);
  for (int r = std::max(0, row - kHalo); r <= std::min(field.rows - 1, row + kHalo); ++r) {
    const float* mask = &field.mask[field.index(r, 0)];
    for (int c = 0; c < n; ++c) near[c + kHalo] |= mask[c] > 0;
  }
  for (int k = 0; k <= 2 * kHalo; ++k)
    for (int c = 0; c < n; ++c) wanted[c] |= near[c + k];
}

}  // namespace

void Sampler::sample(const View& view, Field& field) const {
  const size_t plane = size_t(field.columns) * field.rows;
  Window w;
  w.sp.assign(plane, 0), w.sq.assign(plane, 0);
  w.leaf.assign(plane, -1);
  w.wanted.assign(plane, 0);
  field.mask = polygon_mask(view.outline(), {field.left_mm, field.top_mm, field.mm_per_px, field.columns, field.rows});
#pragma omp parallel for schedule(dynamic, 4)
  for (int row = 0; row < field.rows; ++row) {
    want_row(field, row, &w.wanted[field.index(row, 0)]);
    evaluate_row(view, field, w, row);
  }
#pragma omp parallel for schedule(dynamic, 4)
  for (int row = 0; row < field.rows; ++row) cover_row(view, field, w, row);
}

}  // namespace etchcast
