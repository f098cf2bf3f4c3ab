// Pixels that one footprint does not do justice to, part by part.
#include <algorithm>
#include <cmath>
#include <numeric>

#include "coverage/ask.hpp"
#include "coverage/sampler.hpp"

namespace etchcast {

namespace {
constexpr int kDivide = 4;  // parts a side
}  // namespace

namespace {

/// Which parts of a square, kDivide x kDivide of them from `first` on, disagree with what a neighbour's slopes
/// foretell: a seam or crease passes between the two.
unsigned bent_parts(const Answers& o, int first, float part, float band, float tolerance) {
  constexpr int n = kDivide;
  unsigned bent = 0;
  const auto compare = [&](int at, int other, float slopes, float rise) {
    const float most = tolerance * std::max(band, part * (std::abs(o.sp[first + at]) + std::abs(o.sq[first + at])));
    if (o.leaf[first + at] != o.leaf[first + other] || !(std::abs(rise - 0.5f * part * slopes) <= most)) bent |= 1u << at | 1u << other;
  };
  for (int at = 0; at < n * n; ++at) {
    const int i = first + at;
    if (at % n + 1 < n) compare(at, at + 1, o.sp[i] + o.sp[i + 1], float(o.s[i + 1] - o.s[i]));
    if (at / n + 1 < n) compare(at, at + n, o.sq[i] + o.sq[i + n], float(o.s[i] - o.s[i + n]));
  }
  return bent;
}

}  // namespace

/// Adds the shares of squares, sampled in 4 x 4 parts, to the pixels they belong to. Parts that are still bent go into `finer`
/// instead, unless that is null.
void Sampler::add_divided(const View& view, Field& field, Desk& desk, const std::vector<Part>& squares, double size, std::vector<Part>* finer) const {
  constexpr int kParts = kDivide * kDivide, kSquares = kLanes / kParts;  // squares a batch holds
  const double part = size / kDivide, weight = part * part / (field.mm_per_px * field.mm_per_px);
  const size_t plane = size_t(field.columns) * field.rows;
  Answers answers;
  double u[kLanes], v[kLanes];
  float s[kLanes], a[kLanes], b[kLanes];
  short leaf[kLanes];
  desk.shares.resize(size_t(steels_) * kLanes);
  for (size_t first = 0; first < squares.size(); first += kSquares) {
    const int some = int(std::min<size_t>(kSquares, squares.size() - first));
    for (int lane = 0; lane < kLanes; ++lane) {
      const Part& square = squares[first + size_t(std::min(lane / kParts, some - 1))];
      u[lane] = square.left + (lane % kDivide + 0.5) * part;
      v[lane] = square.top - (lane % kParts / kDivide + 0.5) * part;
    }
    ask(bar_, view, u, v, fit_.precise, answers);
    desk.asked += long(some) * kParts;
    for (int i = 0; i < kLanes; ++i) {
      s[i] = float(answers.s[i]), a[i] = std::abs(answers.sp[i]) * float(part / 2), b[i] = std::abs(answers.sq[i]) * float(part / 2);
      leaf[i] = short(answers.leaf[i]);
    }
    cover(s, a, b, leaf, kLanes, desk.shares.data(), kLanes);
    for (int i = 0; i < some; ++i) {
      const unsigned bent = finer ? bent_parts(answers, i * kParts, float(part), float(fit_.band_mm), float(fit_.bend)) : 0;
      const size_t pixel = squares[first + size_t(i)].pixel;
      for (int lane = i * kParts; lane < (i + 1) * kParts; ++lane) {
        if (bent >> (lane - i * kParts) & 1)
          finer->push_back({u[lane] - part / 2, v[lane] + part / 2, pixel});
        else
          for (int k = 0; k < steels_; ++k) field.coverage[k * plane + pixel] += float(weight) * desk.shares[size_t(k) * kLanes + lane];
      }
    }
  }
}

/// A pixel of a smooth square that bends too much for one footprint: s over it is a parabola whose second derivatives its
/// neighbours' slopes give, and its 4 x 4 parts need no more questions. False where a neighbour is not of that kind.
bool Sampler::parabola(const Field& field, const Survey& w, size_t pixel, Parabola& p) const {
  const int row = int(pixel / field.columns), column = int(pixel % field.columns);
  if (row < 1 || column < 1 || row + 1 >= field.rows || column + 1 >= field.columns) return false;
  const size_t at = w.index(row, column), above = at - w.stride(), below = at + w.stride();
  for (const size_t i : {at, at - 1, at + 1, above, below})
    if ((w.state[i] != Survey::State::bent && w.state[i] != Survey::State::smooth) || w.leaf[i] != w.leaf[at]) return false;
  p = {w.s[at], w.sp[at], w.sq[at], (w.sp[at + 1] - w.sp[at - 1]) / 2, (w.sq[at + 1] - w.sq[at - 1] + w.sp[below] - w.sp[above]) / 4,
       (w.sq[below] - w.sq[above]) / 2, w.leaf[at], pixel};
  return true;
}

void Sampler::add_parabolas(Field& field, Desk& desk) const {
  constexpr int kParts = kDivide * kDivide, kPixels = kLanes / kParts;
  const size_t plane = size_t(field.columns) * field.rows;
  float s[kLanes], a[kLanes], b[kLanes];
  short leaf[kLanes];
  desk.shares.resize(size_t(steels_) * kLanes);
  for (size_t first = 0; first < desk.parabolas.size(); first += kPixels) {
    const int some = int(std::min<size_t>(kPixels, desk.parabolas.size() - first));
    for (int lane = 0; lane < kLanes; ++lane) {
      const Parabola& p = desk.parabolas[first + size_t(std::min(lane / kParts, some - 1))];
      const float x = (float(lane % kDivide) + 0.5f) / kDivide - 0.5f, y = (float(lane % kParts / kDivide) + 0.5f) / kDivide - 0.5f;
      s[lane] = p.s + x * (p.sp + 0.5f * x * p.spp + y * p.spq) + y * (p.sq + 0.5f * y * p.sqq);
      a[lane] = std::abs(p.sp + x * p.spp + y * p.spq) / (2 * kDivide), b[lane] = std::abs(p.sq + x * p.spq + y * p.sqq) / (2 * kDivide);
      leaf[lane] = p.leaf;
    }
    cover(s, a, b, leaf, kLanes, desk.shares.data(), kLanes);
    for (int k = 0; k < steels_; ++k)
      for (int i = 0; i < some; ++i) {
        const float* parts = &desk.shares[size_t(k) * kLanes + size_t(i) * kParts];
        field.coverage[k * plane + desk.parabolas[first + size_t(i)].pixel] = std::accumulate(parts, parts + kParts, 0.0f) / kParts;
      }
  }
}

/// The hard pixels, part by part: each in 4 x 4, and parts that are still bent again.
void Sampler::divide(const View& view, Field& field, Desk& desk) const {
  const double px = field.mm_per_px;
  const size_t plane = size_t(field.columns) * field.rows;
  desk.coarse.clear(), desk.fine.clear(), desk.parabolas.clear();
  for (const size_t pixel : desk.hard_pixels) {
    Parabola own;
    if (parabola(field, desk.survey, pixel, own)) {
      desk.parabolas.push_back(own);
      continue;
    }
    desk.coarse.push_back({field.left_mm + double(pixel % field.columns) * px, field.top_mm - double(pixel / field.columns) * px, pixel});
    for (int k = 0; k < steels_; ++k) field.coverage[k * plane + pixel] = 0;
  }
  add_parabolas(field, desk);
  add_divided(view, field, desk, desk.coarse, px, &desk.fine);
  add_divided(view, field, desk, desk.fine, px / kDivide, nullptr);
  desk.divided += long(desk.hard_pixels.size());
}

}  // namespace etchcast
