// Shares of steel for every pixel of a window.
#include "coverage/sampler.hpp"

#include <algorithm>
#include <cmath>
#include <cstring>
#include <memory>

#include "base/clones.hpp"
#include "coverage/ask.hpp"

namespace etchcast {

namespace {
/// How far the footprint may be off within a pixel before it is divided, in bands.
constexpr float kTolerance = 0.02f;
/// Why a pixel is hard: s bends too much for one footprint, or a crease goes through, or a seam.
constexpr unsigned char kCurved = 1, kBroken = 2, kTorn = 3;
/// A step of so many times what may pass is a seam.
constexpr float kSeam = 10;
}  // namespace

Sampler::Sampler(const Bar& bar, int steels) : bar_(bar), steels_(steels) {
  for (const BandList* list : bar.leaves()) tables_.emplace_back(*list, steels);
  fit_ = {tables_[0].mean_band(), kTolerance, needs_double(bar)};
}

namespace {

/// Row of a window and its neighbours above and below, as far as they exist.
struct Rows {
  const float *s, *sp, *sq;
  const short* leaf;
};

/// Compares pixels with their four neighbours: a step in s that the slopes do not foretell is a seam or a crease; a change
/// of slope bends the footprint. What may pass is kTolerance of a band, mm, or of the footprint if that holds several. `first` must not be the row's first pixel, nor `last` lie beyond its last.
/// A quarter and an eighth: how far a footprint's end and its middle stray for a slope that changes evenly.
ETCHCAST_CLONES void find_bent(const Rows& at, const Rows& above, const Rows& below, float band, int first, int last, unsigned char* bent) {
#pragma GCC ivdep
  for (int c = first; c < last; ++c) {
    const float s = at.s[c], sp = at.sp[c], sq = at.sq[c];
    const float right = std::abs(at.s[c + 1] - s - 0.5f * (sp + at.sp[c + 1])), left = std::abs(s - at.s[c - 1] - 0.5f * (sp + at.sp[c - 1]));
    const float up = std::abs(s - above.s[c] - 0.5f * (sq + above.sq[c])), down = std::abs(below.s[c] - s - 0.5f * (sq + below.sq[c]));
    const float turn_p = std::max(std::abs(at.sp[c + 1] - sp), std::abs(at.sp[c - 1] - sp)) * 0.125f;
    const float turn_q = std::max(std::abs(above.sq[c] - sq), std::abs(below.sq[c] - sq)) * 0.125f;
    const float cross_p = std::max(std::abs(at.sq[c + 1] - sq), std::abs(at.sq[c - 1] - sq)) * 0.25f;
    const float cross_q = std::max(std::abs(above.sp[c] - sp), std::abs(below.sp[c] - sp)) * 0.25f;
    const float step = std::max(std::max(right, left), std::max(up, down));
    const float turn = std::max(std::max(turn_p, turn_q), std::max(cross_p, cross_q));
    const float most = kTolerance * std::max(band, std::abs(sp) + std::abs(sq));
    bent[c] = step > kSeam * most ? kTorn : step > most ? kBroken : (turn > most ? kCurved : 0);
  }
}

}  // namespace

/// Pixels that one footprint does not do justice to; false if the row has none.
bool Sampler::find_hard(Desk& desk, int row, int columns) const {
  using State = Survey::State;
  const Survey& w = desk.survey;
  std::vector<unsigned char>&hard = desk.hard, &bent = desk.bent;
  hard.resize(columns), bent.resize(columns);
  const size_t first = w.index(row, 0);
  const State* state = &w.state[first];
  const void* asked = std::memchr(state, int(State::asked), size_t(columns));
  if (!asked && !std::memchr(state, int(State::bent), size_t(columns))) return false;
  for (int c = 0; c < columns; ++c) hard[c] = state[c] == State::bent ? kCurved : 0;
  if (!asked) return true;
  const auto rows = [&](size_t at) { return Rows{&w.s[at], &w.sp[at], &w.sq[at], &w.leaf[at]}; };
  const Rows at = rows(first), above = rows(row > 0 ? first - w.stride() : first), below = rows(first + w.stride());
  constexpr int kRun = 32;  // pixels compared at a time: those asked lie along lines
  for (int from = int(static_cast<const State*>(asked) - state) / kRun * kRun; from < columns; from += kRun) {
    const int n = std::min(kRun, columns - from);
    if (!std::memchr(state + from, int(State::asked), size_t(n))) continue;
    find_bent(at, above, below, float(fit_.band_mm), std::max(1, from), std::min(from + n, columns - 1), bent.data());
  }
  for (int c = 1; c + 1 < columns; ++c) {
    if (state[c] != State::asked) continue;
    const short own = at.leaf[c], around[] = {at.leaf[c + 1], at.leaf[c - 1], above.leaf[c], below.leaf[c]};
    const short corners[] = {above.leaf[c - 1], above.leaf[c + 1], below.leaf[c - 1], below.leaf[c + 1]};  // a seam may clip one
    // A neighbour outside the metal has nothing to compare with.
    if (std::find_if(around, around + 4, [](short leaf) { return leaf < 0; }) != around + 4) continue;
    const auto other = [own](short leaf) { return leaf >= 0 && leaf != own; };
    const bool seam = std::any_of(around, around + 4, other) || std::any_of(corners, corners + 4, other);
    const bool torn = seam || (own == 0 && tables_[0].touches_inset(at.s[c], std::abs(at.sp[c]) + std::abs(at.sq[c])));
    hard[c] = torn ? kTorn : bent[c];
  }
  return true;
}

/// Shares for a run of pixels whose origins are known, whatever band lists they come from.
void Sampler::cover(const float* s, const float* p, const float* q, const short* leaf, int n, float* shares, size_t stride) const {
  if (tables_.size() == 1) return tables_[0].shares(s, p, q, n, shares, stride);
  std::vector<float> own(size_t(n) * steels_);
  for (size_t l = 0; l < tables_.size(); ++l) {
    if (std::find(leaf, leaf + n, short(l)) == leaf + n) continue;
    tables_[l].shares(s, p, q, n, own.data(), size_t(n));
    for (int k = 0; k < steels_; ++k)
      for (int i = 0; i < n; ++i)
        if (leaf[i] == short(l)) shares[k * stride + i] = own[size_t(k) * n + i];
  }
}

void Sampler::cover_row(const View& view, Field& field, Desk& desk, int row) const {
  const Survey& w = desk.survey;
  const size_t plane = size_t(field.columns) * field.rows;
  const bool any = find_hard(desk, row, field.columns);
  for (int first = 0; first < field.columns; first += kLanes) {
    const int n = std::min(kLanes, field.columns - first);
    const size_t to = field.index(row, first), from = w.index(row, first);
    if (std::all_of(&w.state[from], &w.state[from] + n, [](Survey::State s) { return s == Survey::State::unknown; })) continue;  // ends at the first
    cover(&w.s[from], &w.sp[from], &w.sq[from], &w.leaf[from], n, &field.coverage[to], plane);
    if (!any) continue;
    for (int i = 0; i < n; ++i)
      if (const auto how = desk.hard[first + i]; how && field.mask[to + i] > 0) (how == kCurved ? desk.curved : how == kBroken ? desk.broken : desk.torn).push_back(to + i);
  }
  copy_ground(view, field, w, row);
}

/// What the light needs of the ground surface.
void Sampler::copy_ground(const View& view, Field& field, const Survey& w, int row) const {
  const size_t to = field.index(row, 0), from = w.index(row, 0);
  const int n = field.columns;
  std::copy_n(&w.s[from], n, &field.s[to]);
  std::copy_n(&w.right[from], n, &field.slope_right[to]);
  std::copy_n(&w.up[from], n, &field.slope_up[to]);
  const double px = field.mm_per_px, v = field.top_mm - (row + 0.5) * px;
  if (v > view.bare_top() + px) return;
  double u[kLanes];
  for (int first = 0; first < n; first += kLanes) {
    const int some = std::min(kLanes, n - first);
    for (int i = 0; i < some; ++i) u[i] = field.left_mm + (first + i + 0.5) * px;
    view.bare(u, v, px, some, &field.bare[to + first]);
    // The sharpened bevel faces down and away, where a card throws light back at it: as bright as if turned up a little.
    for (int i = first; i < first + some; ++i) field.slope_up[to + i] -= 0.035f * field.bare[to + i];
  }
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

void Sampler::sample(const View& view, Field& field, Desk& desk) const {
  const bool alike = polygon_mask(view.outline(), {field.left_mm, field.top_mm, field.mm_per_px, field.columns, field.rows}, field.mask);
  desk.wanted.assign(field.mask.size(), alike && field.mask[0] > 0);
  if (alike && field.mask[0] <= 0) return;  // no metal here
  if (!alike)
    for (int row = 0; row < field.rows; ++row) want_row(field, row, &desk.wanted[field.index(row, 0)]);
  const long long before = desk.survey.asked();
  desk.survey.run(view, field, desk.wanted);
  desk.asked += desk.survey.asked() - before;
  desk.curved.clear(), desk.broken.clear(), desk.torn.clear();
  for (int row = 0; row < field.rows; ++row) cover_row(view, field, desk, row);
  divide(view, field, desk);
}

}  // namespace etchcast
