// Squares of pixels, tried and quartered.
#include "coverage/survey.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstring>
#include <limits>

#include "base/clones.hpp"
#include "coverage/ask.hpp"

namespace etchcast {

namespace {

constexpr int kLargest = 16, kSmallest = 4;  // pixels a side
/// Points asked for stand no farther apart than this, mm, so that no die's nose or stud's rim falls between them. Pictures
/// of 4 px/mm and less are asked pixel by pixel.
constexpr double kClosest = 0.49;
/// How far the polynomial may be off, in pixels' footprints, but where the layers lie along the face in bands; and the
/// ground's slope.
constexpr double kOffPixels = 0.012, kOffLeast = 0.0001, kOffSlope = 6e-4;
/// Slopes, as a share of the footprint.
constexpr double kOffFootprint = 0.06;
constexpr double kTooMuch = 1e3;

/// The points a square is tried at, in halves of its side, in the order of foretell().
constexpr int kTried[5][2] = {{1, 1}, {0, 1}, {1, 0}, {1, 2}, {2, 1}};  // row, column

constexpr Survey::Strain kNever{kTooMuch, kTooMuch, kTooMuch, kTooMuch};

}  // namespace

void Survey::lay_out(const View& view, const Field& field) {
  const auto behind = [](long long pixel) { return int(((pixel + Field::kHalo) % kLargest + kLargest) % kLargest); };
  const auto up_to = [](int n) { return (n + kLargest - 1) / kLargest * kLargest + 1; };
  // Squares are counted from the view's corner (less a halo), not from the window's: neighbouring windows tell the same.
  before_ = behind(std::llround(field.left_mm / field.mm_per_px));
  above_ = behind(std::llround((view.height() - field.top_mm) / field.mm_per_px));
  stride_ = up_to(before_ + field.columns), height_ = up_to(above_ + field.rows);
  const size_t n = size_t(stride_) * height_;
  // Where nobody asks there must be numbers all the same.
  const bool all = std::memchr(wanted_->data(), 0, wanted_->size()) == nullptr;
  for (auto* plane : {&s, &sp, &sq, &right, &up}) all ? plane->resize(n) : plane->assign(n, 0.0f);
  exact_.resize(n);
  leaf.assign(n, -1);
  known_.assign(n, 0);
  state.assign(n, State::unknown);
}

bool Survey::wanted_in(const Square& q) const {
  const int first = std::max(q.column - before_, 0), last = std::min(q.column + q.side - before_, field_->columns);
  if (last <= first) return false;
  for (int r = std::max(q.row - above_, 0); r < std::min(q.row + q.side - above_, field_->rows); ++r)
    if (std::memchr(&(*wanted_)[field_->index(r, first)], 1, size_t(last - first))) return true;
  return false;
}

void Survey::want(int row, int column) {
  const size_t at = size_t(row) * stride_ + column;
  if (known_[at]) return;
  known_[at] = 1;
  list_.push_back({row, column});
}

void Survey::want_square(const Square& q, bool corners) {
  if (corners)
    for (const int r : {0, q.side})
      for (const int c : {0, q.side}) want(q.row + r, q.column + c);
  for (const auto& t : kTried) want(q.row + t[0] * q.side / 2, q.column + t[1] * q.side / 2);
}

void Survey::ask_batch(const View& view, size_t first, size_t n) {
  Answers answers;
  double u[kLanes], v[kLanes];
  const double px = field_->mm_per_px;
  for (size_t i = 0; i < kLanes; ++i) {
    const Spot& spot = list_[first + std::min(i, n - 1)];
    u[i] = field_->left_mm + (spot.column - before_ + 0.5) * px;
    v[i] = field_->top_mm - (spot.row - above_ + 0.5) * px;
  }
  ask(bar_, view, u, v, fit_.precise, answers);
  for (size_t i = 0; i < n; ++i) {
    const size_t at = size_t(list_[first + i].row) * stride_ + list_[first + i].column;
    exact_[at] = answers.s[i];
    s[at] = float(answers.s[i]), sp[at] = answers.sp[i] * float(px), sq[at] = -answers.sq[i] * float(px);
    right[at] = answers.right[i], up[at] = answers.up[i];
    leaf[at] = short(answers.leaf[i]);
    if (!std::isfinite(s[at] + sp[at] + sq[at])) s[at] = sp[at] = sq[at] = 0, leaf[at] = -1;  // beyond the bar
  }
}

void Survey::ask_all(const View& view) {
  for (size_t first = 0; first < list_.size(); first += kLanes) ask_batch(view, first, std::min<size_t>(kLanes, list_.size() - first));
  asked_ += long(list_.size());
  list_.clear();
}

Corner Survey::corner(int row, int column) const {
  const size_t at = size_t(row) * stride_ + column;
  return {exact_[at], sp[at], sq[at]};
}

Corners Survey::corners(const Square& q) const {
  return {corner(q.row, q.column), corner(q.row, q.column + q.side), corner(q.row + q.side, q.column), corner(q.row + q.side, q.column + q.side), double(q.side)};
}

/// How far the polynomial of a square's corners is off at the points tried. Written so that what is not a number fails.
Survey::Strain Survey::strain(const Square& q) const {
  const size_t first = size_t(q.row) * stride_ + q.column, down = size_t(q.side) * stride_;
  const short own = leaf[first];
  if (own < 0 || leaf[first + q.side] != own || leaf[first + down] != own || leaf[first + down + q.side] != own) return kNever;
  Corner told[5];
  foretell(corners(q), told);
  Strain worst;
  double low = exact_[first], high = low, footprint = 0;
  const auto see = [&](size_t at) { low = std::min(low, exact_[at]), high = std::max(high, exact_[at]); };
  for (const size_t at : {first + q.side, first + down, first + down + q.side}) see(at);
  for (int k = 0; k < 5; ++k) {
    const int row = kTried[k][0] * q.side / 2, column = kTried[k][1] * q.side / 2;
    const size_t at = first + size_t(row) * stride_ + column;
    if (leaf[at] != own) return kNever;
    const Corner said = corner(q.row + row, q.column + column);
    footprint = std::abs(said.right) + std::abs(said.down);
    const double most = std::max(kOffPixels * footprint, kOffLeast * fit_.band_mm);
    const double right_off = std::abs(said.right - told[k].right), down_off = std::abs(said.down - told[k].down);
    const double along = std::max(row % q.side == 0 || k == 0 ? right_off : 0.0, column % q.side == 0 || k == 0 ? down_off : 0.0);
    const double off = std::abs(said.value - told[k].value) / most;
    if (!(off < kTooMuch)) return kNever;
    worst.bulge = std::max(worst.bulge, off);
    // A kink three quarters along leaves the middle's value right and its slope off by an eighth of what it turns.
    worst.kink = std::max(worst.kink, along * q.side / 4 / most);
    worst.slope = std::max(worst.slope, (right_off + down_off) / std::max(kOffFootprint * footprint, kOffLeast * fit_.band_mm));
    see(at);
  }
  if (own == 0 && meets_inset(low, high, (high - low) / 4 + footprint)) return kNever;
  worst.light = strain_of_light(q);
  return worst;
}

bool Survey::meets_inset(double low, double high, double reach) const {
  for (size_t i = 0; i < inset_edges_.size(); i += 2)
    if (high + reach >= inset_edges_[i] && low - reach <= inset_edges_[i + 1]) return true;
  return false;
}

/// The ground's slopes between corners are taken as even; where they are not, at a bevel's line, the light would show it.
double Survey::strain_of_light(const Square& q) const {
  const size_t first = size_t(q.row) * stride_ + q.column, down = size_t(q.side) * stride_;
  double worst = 0;
  for (const auto* plane : {&right, &up}) {
    const float* p = &(*plane)[first];
    for (const auto& t : kTried) {
      const float r = float(t[0]) / 2, c = float(t[1]) / 2;
      const float told = (1 - r) * ((1 - c) * p[0] + c * p[q.side]) + r * ((1 - c) * p[down] + c * p[down + q.side]);
      worst = std::max(worst, std::abs(double(told) - p[size_t(t[0] * q.side / 2) * stride_ + t[1] * q.side / 2]) / kOffSlope);
    }
  }
  return worst;
}

namespace {

/// One row of a square: places in the planes it is written to.
struct Out {
  float *s, *sp, *sq, *right, *up;
  short* leaf;
  Survey::State* state;
};

/// What is alike all over the square.
struct Alike {
  short leaf;
  Survey::State state;
};

/// Ground slopes at the left and right side of the row, and what they gain a pixel.
struct Ground {
  float right, right_gain, up, up_gain;
};

/// All rows of a square; `out` is its upper left pixel.
template <int kSide>
ETCHCAST_CLONES void fill_square(const Patch& patch, const std::array<Ground, 2>& ground, Alike alike, size_t stride, Out out) {
  const float base = float(patch.base());
  const Ground &a = ground[0], &b = ground[1];
  Patch::Rows<kSide> r;
  patch.rows(r);
  for (int j = 0; j < kSide; ++j) {
    const float t = float(j) / kSide;
    const Ground g{a.right + t * (b.right - a.right), a.right_gain + t * (b.right_gain - a.right_gain), a.up + t * (b.up - a.up),
                   a.up_gain + t * (b.up_gain - a.up_gain)};
#pragma GCC ivdep
    for (int i = 0; i < kSide; ++i) {
      const float x = float(i);
      out.s[i] = base + (r.value[0][j] + x * (r.value[1][j] + x * (r.value[2][j] + x * r.value[3][j])));
      out.sp[i] = r.value[1][j] + x * (2 * r.value[2][j] + x * (3 * r.value[3][j]));
      out.sq[i] = r.down[0][j] + x * (r.down[1][j] + x * (r.down[2][j] + x * r.down[3][j]));
      out.right[i] = g.right + x * g.right_gain;
      out.up[i] = g.up + x * g.up_gain;
    }
    for (int i = 0; i < kSide; ++i) out.leaf[i] = alike.leaf, out.state[i] = alike.state;
    out.s += stride, out.sp += stride, out.sq += stride, out.right += stride, out.up += stride, out.leaf += stride, out.state += stride;
  }
}

}  // namespace

void Survey::fill(const Square& q) {
  const size_t first = size_t(q.row) * stride_ + q.column, down = size_t(q.side) * stride_;
  const Corners c = corners(q);
  const Patch patch(c);
  const auto ground_at = [&](size_t at) {
    return Ground{right[at], (right[at + q.side] - right[at]) / float(q.side), up[at], (up[at + q.side] - up[at]) / float(q.side)};
  };
  const std::array<Ground, 2> ground{ground_at(first), ground_at(first + down)};
  const Out out{&s[first], &sp[first], &sq[first], &right[first], &up[first], &leaf[first], &state[first]};
  const double footprint = std::min(std::abs(c.upper_left.right) + std::abs(c.upper_left.down), std::abs(c.lower_right.right) + std::abs(c.lower_right.down));
  const Alike alike{leaf[first], patch.bend() > fit_.bend * std::max(fit_.band_mm, footprint) ? State::bent : State::smooth};
  if (q.side == 16) fill_square<16>(patch, ground, alike, size_t(stride_), out);
  if (q.side == 8) fill_square<8>(patch, ground, alike, size_t(stride_), out);
  if (q.side == 4) fill_square<4>(patch, ground, alike, size_t(stride_), out);
  if (q.side == 2) fill_square<2>(patch, ground, alike, size_t(stride_), out);
}

void Survey::run(const View& view, const Field& field, const std::vector<char>& wanted) {
  field_ = &field, wanted_ = &wanted;
  lay_out(view, field);
  int side = kLargest;
  while (side >= kSmallest && side / 2 * field.mm_per_px > kClosest) side /= 2;
  std::vector<Square> open, harder;
  for (int r = 0; r + side < height_; r += side)
    for (int c = 0; c + side < stride_; c += side)
      if (const Square q{r, c, side}; wanted_in(q)) open.push_back(q);
  for (bool corners = true; side >= kSmallest; side /= 2, corners = false) {
    for (const Square& q : open) want_square(q, corners);
    ask_all(view);
    // Tried before any is filled: a square's corners are its neighbours' too.
    harder.clear();
    for (const Square& q : open) {
      const Strain off = strain(q);
      if (off.passes()) {
        fill(q);
        continue;
      }
      const int half = q.side / 2;
      for (const int r : {0, half})
        for (const int c : {0, half})
          if (const Square quarter{q.row + r, q.column + c, half}; off.passes_halved())
            fill(quarter);
          else if (wanted_in(quarter))
            harder.push_back(quarter);
    }
    open.swap(harder);
  }
  // What is left: pixel by pixel.
  for (const Square& q : open)
    for (int r = std::max(q.row, above_); r < std::min(q.row + q.side, field.rows + above_); ++r)
      for (int c = std::max(q.column, before_); c < std::min(q.column + q.side, field.columns + before_); ++c) {
        if (!wanted[field.index(r - above_, c - before_)]) continue;
        want(r, c);
        state[size_t(r) * stride_ + c] = State::asked;
      }
  ask_all(view);
}

}  // namespace etchcast
