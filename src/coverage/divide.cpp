// Pixels that one footprint does not do justice to, part by part.
#include <algorithm>
#include <cmath>
#include <cstdint>

#include "base/clones.hpp"
#include "coverage/ask.hpp"
#include "coverage/sampler.hpp"

namespace etchcast {

namespace {
/// Parts a side of a pixel a seam tears: one along the pixel's rim that no part's middle lies beyond goes unseen, a sixteenth of the
/// pixel at most. Of a pixel with a crease few at first, since most that it only touches are well then, and once more as many of
/// those that are still bent: metal hangs together there, so what is left of a bend is small.
/// Parts along the rim are held against pixels farther off, where smooth metal bends more too.
constexpr float kRim = 10;
constexpr int kTear[] = {4, 2}, kBreak[] = {2, 2};
}  // namespace

/// Which parts of a square, n x n of them from `first` on, disagree with what a neighbour's slopes foretell where it matters: a
/// seam or crease passes between the two.
std::uint64_t Sampler::bent_parts(const Answers& o, int first, int n, float part) const {
  std::uint64_t bent = 0;
  const auto compare = [&](int at, int other, float slopes, float rise) {
    const int i = first + at, k = first + other;
    const float footprint = part * (std::abs(o.sp[i]) + std::abs(o.sq[i])), off = std::abs(rise - 0.5f * part * slopes);
    if (o.leaf[i] != o.leaf[k] || (!(off <= fit_.may_stray(footprint)) && (changes(short(o.leaf[i]), float(o.s[i]), footprint, 4 * off) ||
                                                                        changes(short(o.leaf[k]), float(o.s[k]), footprint, 4 * off))))
      bent |= std::uint64_t(1) << at | std::uint64_t(1) << other;
  };
  for (int at = 0; at < n * n; ++at) {
    const int i = first + at;
    if (at % n + 1 < n) compare(at, at + 1, o.sp[i] + o.sp[i + 1], float(o.s[i + 1] - o.s[i]));
    if (at / n + 1 < n) compare(at, at + n, o.sq[i] + o.sq[i + n], float(o.s[i] - o.s[i + n]));
  }
  return bent;
}

/// Which parts along a pixel's rim disagree with what the neighbouring pixels foretell: a seam or crease passes between the rim and the last
/// part's middle.
std::uint64_t Sampler::rim_parts(const Answers& o, int first, int n, const Field& field, const Survey& w, size_t pixel) const {
  std::uint64_t bent = 0;
  const float px = float(field.mm_per_px);
  const auto compare = [&](int at, int right, int up) {
    const int i = first + at;
    const size_t other = pixel + size_t(right) - size_t(up) * size_t(field.columns);
    const float x = float(right) + 0.5f - (float(at % n) + 0.5f) / float(n), y = float(up) - 0.5f + (float(at / n) + 0.5f) / float(n);  // of the way
    const float foretold = 0.5f * ((o.sp[i] * px + w.sp[other]) * x + (o.sq[i] * px - w.sq[other]) * y);
    const float footprint = px / float(n) * (std::abs(o.sp[i]) + std::abs(o.sq[i])), off = std::abs(field.s[other] - float(o.s[i]) - foretold);
    const bool same = w.leaf[other] == o.leaf[i] || w.leaf[other] < 0;
    if (!same || (!(off <= kRim * fit_.may_stray(footprint)) && changes(short(o.leaf[i]), float(o.s[i]), footprint, 4 * off))) bent |= std::uint64_t(1) << at;
  };
  const int row = int(pixel) / field.columns, column = int(pixel) % field.columns;
  for (int k = 0; k < n; ++k) {
    if (row > 0) compare(k, 0, 1);
    if (row + 1 < field.rows) compare((n - 1) * n + k, 0, -1);
    if (column > 0) compare(k * n, -1, 0);
    if (column + 1 < field.columns) compare(k * n + n - 1, 1, 0);
  }
  return bent;
}

namespace {

/// A batch of footprints.
struct Parts {
  alignas(64) float s[kLanes], sp[kLanes], sq[kLanes];
  short leaf[kLanes];
};

ETCHCAST_CLONES void take(const Answers& answers, float size, Parts& parts) {
#pragma GCC ivdep
  for (int i = 0; i < kLanes; ++i) {
    parts.s[i] = float(answers.s[i]), parts.sp[i] = answers.sp[i] * size, parts.sq[i] = answers.sq[i] * size;
    parts.leaf[i] = short(answers.leaf[i]);
  }
}

/// The middles of n x n parts of squares, row by row; what is left of the batch repeats the last square.
void place_parts(const Sampler::Part* squares, int some, double size, int n, double* u, double* v) {
  for (int i = 0, lane = 0; lane < kLanes; ++i) {
    const Sampler::Part& square = squares[std::min(i, some - 1)];
    for (int row = 0; row < n; ++row)
      for (int column = 0; column < n; ++column, ++lane) u[lane] = square.left + (column + 0.5) * size, v[lane] = square.top - (row + 0.5) * size;
  }
}

}  // namespace

/// Adds the shares of squares, sampled in n x n parts, to the pixels they belong to. Parts that are still bent go into `finer`
/// instead, unless that is null.
void Sampler::add_divided(const View& view, Field& field, Desk& desk, const std::vector<Part>& squares, double size, int n, std::vector<Part>* finer) const {
  const int parts = n * n, room = kLanes / parts;  // squares a batch holds
  const double part = size / n, weight = part * part / (field.mm_per_px * field.mm_per_px);
  const size_t plane = size_t(field.columns) * field.rows;
  Answers answers;
  Parts batch;
  double u[kLanes], v[kLanes];
  desk.shares.resize(size_t(steels_) * kLanes);
  for (size_t first = 0; first < squares.size(); first += size_t(room)) {
    const int some = int(std::min<size_t>(size_t(room), squares.size() - first));
    place_parts(&squares[first], some, part, n, u, v);
    ask(bar_, view, u, v, fit_.precise, answers);
    desk.asked += long(some) * parts;
    take(answers, float(part), batch);
    cover(batch.s, batch.sp, batch.sq, batch.leaf, kLanes, desk.shares.data(), kLanes, desk);
    for (int i = 0; i < some; ++i) {
      const size_t pixel = squares[first + size_t(i)].pixel;
      std::uint64_t bent = finer ? bent_parts(answers, i * parts, n, float(part)) : 0;
      if (finer && size >= field.mm_per_px) bent |= rim_parts(answers, i * parts, n, field, desk.survey, pixel);
      for (int lane = i * parts; lane < (i + 1) * parts; ++lane) {
        if (bent >> (lane - i * parts) & 1)
          finer->push_back({u[lane] - part / 2, v[lane] + part / 2, pixel});
        else
          for (int k = 0; k < steels_; ++k) field.coverage[k * plane + pixel] += float(weight) * desk.shares[size_t(k) * kLanes + lane];
      }
    }
  }
}

/// A pixel that bends too much for one footprint, but has no crease: s over it is a parabola whose second derivatives its
/// neighbours' slopes give, and its parts need no more questions. False where a neighbour is of other metal.
bool Sampler::parabola(const Field& field, const Survey& w, size_t pixel, Parabola& p) const {
  const int row = int(pixel / field.columns), column = int(pixel % field.columns);
  if (row < 1 || column < 1 || row + 1 >= field.rows || column + 1 >= field.columns) return false;
  const size_t at = pixel, above = at - field.columns, below = at + field.columns;
  for (const size_t i : {at - 1, at + 1, above, below})
    if (w.leaf[i] != w.leaf[at]) return false;
  p = {field.s[at], w.sp[at], w.sq[at], (w.sp[at + 1] - w.sp[at - 1]) / 2, (w.sq[at + 1] - w.sq[at - 1] + w.sp[below] - w.sp[above]) / 4,
       (w.sq[below] - w.sq[above]) / 2, w.leaf[at], pixel};
  return true;
}

/// How far a footprint strays from the parabola at its ends and its middle, in what may pass. Halves of a pixel stray a quarter.
float Sampler::strayed(const Parabola& p) const {
  return std::max(std::max(std::abs(p.spp), std::abs(p.sqq)) / 8, std::abs(p.spq) / 4) / fit_.may_stray(std::abs(p.sp) + std::abs(p.sq));
}

namespace {

/// The footprints of n x n parts of each of `some` pixels; what is left of the batch repeats the last.
template <int n>
ETCHCAST_CLONES void part(const Sampler::Parabola* pixels, int some, Parts& parts) {
  alignas(64) float x[n * n], y[n * n];
  for (int i = 0; i < n * n; ++i) x[i] = (float(i % n) + 0.5f) / n - 0.5f, y[i] = (float(i / n) + 0.5f) / n - 0.5f;
  for (int k = 0; k < kLanes / (n * n); ++k) {
    const Sampler::Parabola p = pixels[std::min(k, some - 1)];
    const int first = k * n * n;
#pragma GCC ivdep
    for (int i = 0; i < n * n; ++i) {
      parts.s[first + i] = p.s + x[i] * (p.sp + 0.5f * x[i] * p.spp + y[i] * p.spq) + y[i] * (p.sq + 0.5f * y[i] * p.sqq);
      parts.sp[first + i] = (p.sp + x[i] * p.spp + y[i] * p.spq) / n;
      parts.sq[first + i] = (p.sq + x[i] * p.spq + y[i] * p.sqq) / n;
    }
  }
}

/// Four sums side by side, so that none waits for another.
template <int n>
float mean(const float* parts) {
  float sum[4] = {};
  for (int i = 0; i < n * n; i += 4)
    for (int k = 0; k < 4; ++k) sum[k] += parts[i + k];
  return (sum[0] + sum[1] + sum[2] + sum[3]) / (n * n);
}

}  // namespace

template <int n>
void Sampler::add_parabolas(Field& field, Desk& desk, const std::vector<Parabola>& parabolas) const {
  constexpr size_t kPixels = kLanes / (n * n);
  const size_t plane = size_t(field.columns) * field.rows;
  Parts parts;
  desk.shares.resize(size_t(steels_) * kLanes);
  for (size_t first = 0; first < parabolas.size(); first += kPixels) {
    const size_t some = std::min(kPixels, parabolas.size() - first);
    part<n>(&parabolas[first], int(some), parts);
    for (size_t k = 0; k < kPixels; ++k) std::fill_n(&parts.leaf[k * n * n], n * n, parabolas[first + std::min(k, some - 1)].leaf);
    cover(parts.s, parts.sp, parts.sq, parts.leaf, kLanes, desk.shares.data(), kLanes, desk);
    for (int k = 0; k < steels_; ++k)
      for (size_t i = 0; i < some; ++i) field.coverage[k * plane + parabolas[first + i].pixel] = mean<n>(&desk.shares[size_t(k) * kLanes + i * n * n]);
  }
}

/// Pixels asked part by part, and parts that are still bent again.
void Sampler::add_rounds(const View& view, Field& field, Desk& desk, const std::vector<size_t>& pixels, std::span<const int> rounds) const {
  const double px = field.mm_per_px;
  const size_t plane = size_t(field.columns) * field.rows;
  desk.coarse.clear();
  for (const size_t pixel : pixels) {
    desk.coarse.push_back({field.left_mm + double(pixel % field.columns) * px, field.top_mm - double(pixel / field.columns) * px, pixel});
    for (int k = 0; k < steels_; ++k) field.coverage[k * plane + pixel] = 0;
  }
  double size = px;
  for (const int& n : rounds) {
    desk.fine.clear();
    add_divided(view, field, desk, desk.coarse, size, n, &n == &rounds.back() ? nullptr : &desk.fine);
    size /= n;
    desk.coarse.swap(desk.fine);
  }
}

void Sampler::divide(const View& view, Field& field, Desk& desk) const {
  desk.slight.clear(), desk.strong.clear();
  Parabola own;
  for (const size_t pixel : desk.curved)
    parabola(field, desk.survey, pixel, own) ? (strayed(own) <= 4 ? desk.slight : desk.strong).push_back(own) : desk.broken.push_back(pixel);
  add_parabolas<2>(field, desk, desk.slight);
  add_parabolas<4>(field, desk, desk.strong);
  add_rounds(view, field, desk, desk.broken, kBreak);
  add_rounds(view, field, desk, desk.torn, kTear);
  desk.divided += long(desk.slight.size() + desk.strong.size() + desk.broken.size() + desk.torn.size());
}

}  // namespace etchcast
