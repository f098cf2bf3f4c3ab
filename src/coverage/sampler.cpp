// Shares of steel for every pixel of a window.
#include "coverage/sampler.hpp"

#include <algorithm>
#include <cmath>
#include <cstring>
#include <memory>

#include "base/clones.hpp"
#include "coverage/ask.hpp"
#include "coverage/crease.hpp"

namespace etchcast {

namespace {
/// How far s may stray from a footprint before a pixel is divided, as a share of its width: two hundredths of the pixel's area.
constexpr float kStray = 0.02f;
/// Footprints are taken to be no narrower than this share of a band: a seam that runs along a face is not followed further.
constexpr double kNarrow = 0.04;
/// Standard deviations of a seam's blur that count as its width.
constexpr double kSoft = 2.4;
/// A step that no slope foretells, of so many bands or footprints, is a seam.
constexpr float kSeam = 0.2f;
}  // namespace

Sampler::Sampler(const Bar& bar, int steels) : bar_(bar), steels_(steels) {
  for (const BandList* list : bar.leaves()) tables_.emplace_back(*list, steels);
  double band = tables_[0].mean_band(), narrow = 1e9;
  for (const BandTable& table : tables_) {
    band = std::min(band, table.mean_band());
    narrow = std::min(narrow, std::max(kNarrow * table.mean_band(), kSoft * table.soft_mm()));
    insets_.push_back(table.inset_edges());
  }
  fit_ = {band, kStray, float(narrow), needs_double(bar)};
  torn_ = tables_.size() > 1 || !insets_[0].empty();
}

/// How far from a pixel's middle a seam may lie and still show in it, if s strays so far from the footprint.
float Sampler::reach(short leaf, float footprint, float stray) const { return footprint / 2 + stray + float(kSoft * tables_[size_t(leaf)].soft_mm()); }

/// Whether a pixel's metal may change within its reach: elsewhere it does not matter how s runs.
bool Sampler::changes(short leaf, float s, float footprint, float stray) const {
  return leaf >= 0 && tables_[size_t(leaf)].edge_within(s, reach(leaf, footprint, stray));
}

namespace {

/// Which pixels of a run are metal and bend more than their footprint allows; how many.
ETCHCAST_CLONES int flag_bent(const float* mask, const float* sp, const float* sq, float bend, const Survey::Fit& fit, int n, int* flags) {
  int count = 0;
  const float share = 2 * fit.stray, narrow = fit.narrow_mm;  // may_bend()
#pragma GCC ivdep
  for (int i = 0; i < n; ++i) {
    const float footprint = std::abs(sp[i]) + std::abs(sq[i]);
    flags[i] = int(mask[i] > 0) & int(bend > share * std::max(footprint, narrow));
    count += flags[i];
  }
  return count;
}

}  // namespace

/// Pixels of squares that bend too much for one footprint, and where that shows.
void Sampler::find_curved(const Field& field, Desk& desk) const {
  const Survey& w = desk.survey;
  float s[kLanes], reaches[kLanes];
  int within[kLanes], flags[16];
  size_t pixels[kLanes];
  int n = 0;
  short leaf = 0;
  const auto sort = [&] {
    tables_[size_t(leaf)].edges_within(s, reaches, n, within);
    for (int i = 0; i < n; ++i)
      if (within[i]) desk.curved.push_back(pixels[i]);
    n = 0;
  };
  for (const auto& [q, bend] : w.bent) {
    const short own = w.leaf[field.index(q.row, q.column)];
    if (n > 0 && own != leaf) sort();
    leaf = own;
    const int columns = std::min(q.side, field.columns - q.column);
    for (int r = q.row; r < std::min(q.row + q.side, field.rows); ++r) {
      const size_t first = field.index(r, q.column);
      if (!flag_bent(&field.mask[first], &w.sp[first], &w.sq[first], bend, fit_, columns, flags)) continue;
      for (int c = 0; c < columns; ++c) {
        if (!flags[c]) continue;
        const size_t at = first + size_t(c);
        s[n] = field.s[at], reaches[n] = reach(leaf, std::abs(w.sp[at]) + std::abs(w.sq[at]), bend), pixels[n] = at;
        if (++n == kLanes) sort();
      }
    }
  }
  if (n > 0) sort();
}

namespace {

/// Pixels and their right, left, upper and lower neighbours, side by side.
struct Crosses {
  alignas(64) float s[5][kLanes], sp[5][kLanes], sq[5][kLanes];
};

/// Compares pixels with their four neighbours, mm. `step`: what the slopes do not foretell, a seam or a crease, or a slope that turns
/// on one side only. `bend`: how far the footprint's ends and its middle stray for slopes that change evenly.
ETCHCAST_CLONES void measure(const Crosses& at, float* step, float* bend) {
#pragma GCC ivdep
  for (int i = 0; i < kLanes; ++i) {
    const float s = at.s[0][i], sp = at.sp[0][i], sq = at.sq[0][i];
    const float right = std::abs(at.s[1][i] - s - 0.5f * (sp + at.sp[1][i])), left = std::abs(s - at.s[2][i] - 0.5f * (sp + at.sp[2][i]));
    const float up = std::abs(s - at.s[3][i] - 0.5f * (sq + at.sq[3][i])), down = std::abs(at.s[4][i] - s - 0.5f * (sq + at.sq[4][i]));
    const float uneven = std::max(std::abs(at.sp[1][i] - 2 * sp + at.sp[2][i]), std::abs(at.sq[3][i] - 2 * sq + at.sq[4][i])) * 0.0625f;
    const float turn_p = std::max(std::abs(at.sp[1][i] - sp), std::abs(at.sp[2][i] - sp)) * 0.125f;
    const float turn_q = std::max(std::abs(at.sq[3][i] - sq), std::abs(at.sq[4][i] - sq)) * 0.125f;
    const float cross_p = std::max(std::abs(at.sq[1][i] - sq), std::abs(at.sq[2][i] - sq)) * 0.25f;
    const float cross_q = std::max(std::abs(at.sp[3][i] - sp), std::abs(at.sp[4][i] - sp)) * 0.25f;
    step[i] = std::max(std::max(std::max(right, left), std::max(up, down)), uneven);
    bend[i] = std::max(std::max(turn_p, turn_q), std::max(cross_p, cross_q));
  }
}

}  // namespace

/// Whether a neighbour's metal is another list's, or the pixel reaches an inset.
bool Sampler::seam_at(const Field& field, const Survey& w, size_t at) const {
  const short own = w.leaf[at];
  if (tables_.size() > 1)
    for (const size_t row : {at - field.columns, at, at + field.columns})
      for (const size_t i : {row - 1, row, row + 1})  // corners too, which a seam may clip
        if (w.leaf[i] >= 0 && w.leaf[i] != own) return true;
  return tables_[size_t(own)].touches_inset(field.s[at], std::abs(w.sp[at]) + std::abs(w.sq[at]));
}

/// Whether a pixel is metal among metal. Those of the window's rim, which lie in its halo, have nothing to compare with.
bool Sampler::comparable(const Field& field, const Survey& w, int row, int column) const {
  if (row < 1 || column < 1 || row + 1 >= field.rows || column + 1 >= field.columns) return false;
  const size_t at = field.index(row, column), across = size_t(field.columns);
  return field.mask[at] > 0 && w.leaf[at] >= 0 && w.leaf[at + 1] >= 0 && w.leaf[at - 1] >= 0 && w.leaf[at - across] >= 0 && w.leaf[at + across] >= 0;
}

/// Of the pixels asked one by one those that one footprint does not do justice to; and of their neighbours to the right and
/// below, filled from a polynomial, whose areas reach half a pixel out of its square.
void Sampler::find_broken(const Field& field, Desk& desk) const {
  const Survey& w = desk.survey;
  Crosses crosses{};
  float step[kLanes], bend[kLanes];
  size_t pixels[kLanes];
  int n = 0;
  const auto sort = [&] {
    measure(crosses, step, bend);
    for (int i = 0; i < n; ++i) {
      const size_t at = pixels[i];
      const float footprint = std::abs(w.sp[at]) + std::abs(w.sq[at]), most = fit_.may_stray(footprint);
      if ((torn_ && step[i] > kSeam * std::max(float(fit_.band_mm), footprint)) || seam_at(field, w, at))
        desk.torn.push_back(at);
      else if (std::max(step[i], bend[i]) > most && changes(w.leaf[at], field.s[at], footprint, 4 * std::max(step[i], bend[i])))
        (step[i] > most ? desk.broken : desk.curved).push_back(at);
    }
    n = 0;
  };
  const auto add = [&](int row, int column) {
    desk.asked_near.push_back(field.index(row, column));
    if (!comparable(field, w, row, column)) return;
    const size_t at = field.index(row, column), across = size_t(field.columns), around[] = {at, at + 1, at - 1, at - across, at + across};
    for (int k = 0; k < 5; ++k) crosses.s[k][n] = field.s[around[k]], crosses.sp[k][n] = w.sp[around[k]], crosses.sq[k][n] = w.sq[around[k]];
    pixels[n++] = at;
    if (n == kLanes) sort();
  };
  desk.seen.assign(field.mask.size(), 0);
  for (const Survey::Spot& spot : w.asked) desk.seen[field.index(spot.row, spot.column)] = 1;
  for (const Survey::Spot& spot : w.asked) {
    add(spot.row, spot.column);
    for (const auto& [row, column] : {Survey::Spot{spot.row, spot.column + 1}, Survey::Spot{spot.row + 1, spot.column}}) {
      if (row >= field.rows || column >= field.columns || desk.seen[field.index(row, column)]) continue;
      desk.seen[field.index(row, column)] = 1;
      add(row, column);
    }
  }
  if (n > 0) sort();
}

/// Shares for a run of pixels whose origins are known, whatever band lists they come from.
void Sampler::cover(const float* s, const float* p, const float* q, const short* leaf, int n, float* shares, size_t stride, Desk& desk) const {
  const bool alike = tables_.size() == 1 || std::all_of(leaf, leaf + n, [own = leaf[0]](short l) { return l == own; });
  if (alike) return tables_[size_t(std::max<short>(leaf[0], 0))].shares(s, p, q, n, shares, stride);
  desk.own.resize(size_t(n) * steels_);
  for (size_t l = 0; l < tables_.size(); ++l) {
    if (std::find(leaf, leaf + n, short(l)) == leaf + n) continue;
    tables_[l].shares(s, p, q, n, desk.own.data(), size_t(n));
    for (int k = 0; k < steels_; ++k)
      for (int i = 0; i < n; ++i)
        if (leaf[i] == short(l)) shares[k * stride + i] = desk.own[size_t(k) * n + i];
  }
}

void Sampler::cover_row(Field& field, Desk& desk, int row) const {
  const Survey& w = desk.survey;
  const size_t plane = size_t(field.columns) * field.rows;
  for (int first = 0; first < field.columns; first += kLanes) {
    const int n = std::min(kLanes, field.columns - first);
    const size_t at = field.index(row, first);
    if (std::all_of(&w.leaf[at], &w.leaf[at] + n, [](short leaf) { return leaf < 0; })) {  // ends at the first
      for (int k = 0; k < steels_; ++k) std::fill_n(&field.coverage[size_t(k) * plane + at], n, 0.0f);
      continue;
    }
    cover(&field.s[at], &w.sp[at], &w.sq[at], &w.leaf[at], n, &field.coverage[at], plane, desk);
  }
}

/// The sharpened edge, bright after the etch.
void Sampler::lay_bare(const View& view, Field& field, int row) const {
  const double px = field.mm_per_px, v = field.top_mm - (row + 0.5) * px;
  if (v > view.bare_top() + px) return;
  const size_t to = field.index(row, 0);
  double u[kLanes];
  for (int first = 0; first < field.columns; first += kLanes) {
    const int some = std::min(kLanes, field.columns - first);
    for (int i = 0; i < some; ++i) u[i] = field.left_mm + (first + i + 0.5) * px;
    view.bare(u, v, px, some, &field.bare[to + first]);
    // The sharpened bevel faces down and away, where a card throws light back at it: as bright as if turned up a little.
    for (int i = first; i < first + some; ++i) field.slope_up[to + i] -= 0.035f * field.bare[to + i];
  }
}

namespace {

/// Bytes of `from` into `to`.
ETCHCAST_CLONES void add_marks(const char* from, int n, char* to) {
#pragma GCC ivdep
  for (int i = 0; i < n; ++i) to[i] |= from[i];
}

ETCHCAST_CLONES void mark_metal(const float* mask, int n, char* metal) {
#pragma GCC ivdep
  for (int i = 0; i < n; ++i) metal[i] = mask[i] > 0;
}

/// Metal within the halo of a pixel makes it wanted: slopes at the outline need it. Rows first, then columns.
void want_near(const Field& field, std::vector<char>& metal, std::vector<char>& wanted) {
  constexpr int kHalo = Field::kHalo, kBoth = 2 * kHalo + 1;
  const int n = field.columns;
  metal.resize(field.mask.size() + size_t(n) + 2 * kHalo);
  char* near = &metal[field.mask.size()];  // a row of it, with halo
  mark_metal(field.mask.data(), int(field.mask.size()), metal.data());
  for (int row = 0; row < field.rows; ++row) {
    std::fill_n(near, n + 2 * kHalo, 0);
    for (int r = std::max(0, row - kHalo); r <= std::min(field.rows - 1, row + kHalo); ++r) add_marks(&metal[field.index(r, 0)], n, near + kHalo);
    for (int k = 0; k < kBoth; ++k) add_marks(near + k, n, &wanted[field.index(row, 0)]);
  }
}

}  // namespace

void Sampler::sample(const View& view, Field& field, Desk& desk) const {
  const bool alike = polygon_mask(view.outline(), {field.left_mm, field.top_mm, field.mm_per_px, field.columns, field.rows}, field.mask);
  desk.wanted.assign(field.mask.size(), alike && field.mask[0] > 0);
  if (alike && field.mask[0] <= 0) return;  // no metal here
  if (!alike) want_near(field, desk.metal, desk.wanted);
  const long long before = desk.survey.questions();
  desk.survey.run(view, field, desk.wanted);
  desk.asked += desk.survey.questions() - before;
  desk.curved.clear(), desk.broken.clear(), desk.torn.clear(), desk.asked_near.clear();
  find_curved(field, desk), find_broken(field, desk);
  find_creases(view, desk.asked_near, field);
  for (int row = 0; row < field.rows; ++row) cover_row(field, desk, row), lay_bare(view, field, row);
  divide(view, field, desk);
}

}  // namespace etchcast
