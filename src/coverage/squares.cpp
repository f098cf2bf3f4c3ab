// Squares of pixels on trial, and filled.
#include "coverage/squares.hpp"

#include "base/clones.hpp"

namespace etchcast {

namespace {

/// How far the polynomial may be off, in pixels' footprints; and the ground's slope.
constexpr float kOffPixels = 0.012f, kOffSlope = 6e-4f;
/// Slopes, as a share of the footprint.
constexpr float kOffFootprint = 0.06f;
/// What a trial may find for the quarters to pass: where the map is smooth a quarter's value is 16 times as good, of which
/// half is trusted, its slopes 8 times, the ground's 4 times; a kink is worth half.
constexpr float kHalvedBulge = 8, kHalvedKink = 2, kHalvedSlope = 4, kHalvedLight = 2;

/// How far off the polynomial is at a point, in what may pass.
struct Strain {
  float bulge, kink, slope;
  /// `across`, `down`: whether the point lies on a line of corners that way, along which a kink would show.
  Strain(const Corner& said, const Corner& told, float side, float narrow, bool across, bool down) {
    const float footprint = std::max(std::abs(said.right) + std::abs(said.down), narrow), most = 1 / (kOffPixels * footprint);
    const float right_off = std::abs(said.right - told.right), down_off = std::abs(said.down - told.down);
    const float along = std::max(across ? right_off : 0.0f, down ? down_off : 0.0f);
    bulge = std::abs(said.value - told.value) * most;
    // A kink three quarters along leaves the middle's value right and its slope off by an eighth of what it turns.
    kink = along * side * 0.25f * most;
    slope = (right_off + down_off) / (kOffFootprint * footprint);
  }
  float whole() const { return std::max(bulge, std::max(kink, slope)); }
  float halved() const { return std::max(bulge * (1 / kHalvedBulge), std::max(kink * (1 / kHalvedKink), slope * (1 / kHalvedSlope))); }
};

/// The ground's slopes between corners are taken as even; where they are not, at a bevel's line, the light would show it.
inline float strain_of_light(const float (&p)[Squares::kPoints][kSquares], int i) {
  const float a = p[0][i], b = p[1][i], c = p[2][i], d = p[3][i];
  const float off = std::max(std::abs(p[4][i] - (a + b + c + d) / 4), std::max(std::max(std::abs(p[5][i] - (a + b) / 2), std::abs(p[6][i] - (a + c) / 2)),
                                                                            std::max(std::abs(p[7][i] - (b + d) / 2), std::abs(p[8][i] - (c + d) / 2))));
  return off * (1 / kOffSlope);
}

}  // namespace

ETCHCAST_CLONES void try_squares(const Squares& q, int side, float narrow_mm, int (&found)[kSquares]) {
  const float length = float(side);
#pragma GCC ivdep
  for (int i = 0; i < kSquares; ++i) {
    const Foretold told = foretell(q.corners(i, length));
    const auto said = [&](int point) { return Corner{q.value[point][i], q.sp[point][i], q.sq[point][i]}; };
    const Strain middle(said(4), told.middle, length, narrow_mm, true, true), upper(said(5), told.upper, length, narrow_mm, true, false),
        left(said(6), told.left, length, narrow_mm, false, true), right(said(7), told.right, length, narrow_mm, false, true),
        lower(said(8), told.lower, length, narrow_mm, true, false);
    const float light = std::max(strain_of_light(q.right, i), strain_of_light(q.up, i));
    const float whole = std::max(std::max(middle.whole(), light), std::max(std::max(upper.whole(), left.whole()), std::max(right.whole(), lower.whole())));
    // A quarter is judged by the middle and the two points that are its corners too.
    const float all = std::max(middle.halved(), light * (1 / kHalvedLight)), u = std::max(all, upper.halved()), l = std::max(all, lower.halved());
    const auto passes = [](float side, float end) { return std::max(side, end) <= 1; };
    found[i] = (whole <= 1 ? kWhole : 0) | (passes(u, left.halved()) ? 1 : 0) | (passes(u, right.halved()) ? 2 : 0) | (passes(l, left.halved()) ? 4 : 0) |
               (passes(l, right.halved()) ? 8 : 0);
  }
}

ETCHCAST_CLONES void find_bends(const Squares& q, int side, Bends& bends) {
  const float length = float(side);
#pragma GCC ivdep
  for (int i = 0; i < kSquares; ++i) {
    const auto footprint = [&](int corner) { return std::abs(q.sp[corner][i]) + std::abs(q.sq[corner][i]); };
    const float bend = Patch(q.corners(i, length)).bend(length), least = std::min(std::min(footprint(0), footprint(1)), std::min(footprint(2), footprint(3)));
    // A bend is an eighth of what the slope gains in a pixel: half a square away from the corners it may be so much less.
    bends.bend[i] = bend, bends.footprint[i] = least - 4 * length * bend;
  }
}

namespace {

/// The ground's slope at the left of a row, and what it gains a pixel; along the left side and the right.
struct Ground {
  float from, fall, gain, turn;
  Ground(const float (&p)[Squares::kPoints][kSquares], int i, float side)
      : from(p[0][i]), fall((p[2][i] - p[0][i]) / side), gain((p[1][i] - p[0][i]) / side), turn((p[3][i] - p[2][i] - p[1][i] + p[0][i]) / (side * side)) {}
};

template <int kSide>
struct Fill {
  PatchRows<kSide> rows;
  float base;
  Ground right, up;
  short leaf;
};

/// One row, `some` pixels of it.
template <int kSide>
inline void fill_row(const Fill<kSide>& f, int j, int some, size_t at, const Planes& to) {
  const auto& r = f.rows;
  const float right = f.right.from + float(j) * f.right.fall, right_gain = f.right.gain + float(j) * f.right.turn;
  const float up = f.up.from + float(j) * f.up.fall, up_gain = f.up.gain + float(j) * f.up.turn;
#pragma GCC ivdep
  for (int i = 0; i < some; ++i) {
    const float x = float(i);
    to.s[at + i] = f.base + (r.value[0][j] + x * (r.value[1][j] + x * (r.value[2][j] + x * r.value[3][j])));
    to.sp[at + i] = r.value[1][j] + x * (2 * r.value[2][j] + x * (3 * r.value[3][j]));
    to.sq[at + i] = r.down[0][j] + x * (r.down[1][j] + x * (r.down[2][j] + x * r.down[3][j]));
    to.right[at + i] = right + x * right_gain;
    to.up[at + i] = up + x * up_gain;
  }
  for (int i = 0; i < some; ++i) to.leaf[at + i] = f.leaf;
}

template <int kSide>
ETCHCAST_CLONES void fill(const Squares& q, int i, float base, short leaf, int row, int column, const Planes& to) {
  const Fill<kSide> f{PatchRows<kSide>(Patch(q.corners(i, kSide))), base, Ground(q.right, i, kSide), Ground(q.up, i, kSide), leaf};
  const int rows = std::min(kSide, to.rows - row), columns = std::min(kSide, to.columns - column);
  size_t at = size_t(row) * to.columns + column;
  for (int j = 0; j < rows; ++j, at += size_t(to.columns)) columns == kSide ? fill_row(f, j, kSide, at, to) : fill_row(f, j, columns, at, to);
}

/// A small square's pixels side by side, since its rows are shorter than a register.
template <int kSide>
ETCHCAST_CLONES void fill_small(const Squares& q, int square, float base, short leaf, int row, int column, const Planes& to) {
  constexpr int kPixels = kSide * kSide;
  constexpr float kPer = 1.0f / kSide;
  const Patch patch(q.corners(square, kSide));
  const auto &top = patch.top, &foot = patch.foot;
  const auto [lp, lq] = patch.left;
  const auto [rp, rq] = patch.right;
  const Ground right(q.right, square, kSide), up(q.up, square, kSide);
  alignas(64) float out[5][kPixels];
#pragma GCC ivdep
  for (int i = 0; i < kPixels; ++i) {
    const float x = float(i % kSide) * kPer, t = float(i / kSide) * kPer, u = 1 - t;
    const float above = top[0] + x * (top[1] + x * (top[2] + x * top[3])), below = foot[0] + x * (foot[1] + x * (foot[2] + x * foot[3]));
    const float above_right = top[1] + x * (2 * top[2] + x * (3 * top[3])), below_right = foot[1] + x * (2 * foot[2] + x * (3 * foot[3]));
    const float l = t * u * (u * lp + t * lq), r = t * u * (u * rp + t * rq);
    const float ls = u * (1 - 3 * t) * lp + t * (2 - 3 * t) * lq, rs = u * (1 - 3 * t) * rp + t * (2 - 3 * t) * rq;
    out[0][i] = base + (above + t * (below - above) + l + x * (r - l));
    out[1][i] = (above_right + t * (below_right - above_right) + r - l) * kPer;
    out[2][i] = (below - above + ls + x * (rs - ls)) * kPer;
    const float across = float(i % kSide), down = float(i / kSide);
    out[3][i] = right.from + down * right.fall + across * (right.gain + down * right.turn);
    out[4][i] = up.from + down * up.fall + across * (up.gain + down * up.turn);
  }
  float* const planes[] = {to.s, to.sp, to.sq, to.right, to.up};
  const int rows = std::min(kSide, to.rows - row), columns = std::min(kSide, to.columns - column);
  size_t at = size_t(row) * to.columns + column;
  for (int j = 0; j < rows; ++j, at += size_t(to.columns)) {
    for (int k = 0; k < 5; ++k) columns == kSide ? std::copy_n(&out[k][j * kSide], kSide, planes[k] + at) : std::copy_n(&out[k][j * kSide], columns, planes[k] + at);
    for (int i = 0; i < columns; ++i) to.leaf[at + i] = leaf;
  }
}

}  // namespace

void fill_square(const Squares& q, int i, double first, short leaf, int side, int row, int column, const Planes& to) {
  if (row >= to.rows || column >= to.columns) return;
  if (side == 16) fill<16>(q, i, float(first), leaf, row, column, to);
  if (side == 8) fill<8>(q, i, float(first), leaf, row, column, to);
  if (side == 4) fill_small<4>(q, i, float(first), leaf, row, column, to);
  if (side == 2) fill_small<2>(q, i, float(first), leaf, row, column, to);
}

}  // namespace etchcast
