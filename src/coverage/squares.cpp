// Squares of pixels on trial, and filled.
#include "coverage/squares.hpp"

#include "base/clones.hpp"

namespace etchcast {

namespace {

/// How far the polynomial may be off, in pixels' footprints, but where the layers lie along the face in bands; and the
/// ground's slope.
constexpr float kOffPixels = 0.012f, kOffLeast = 0.0001f, kOffSlope = 6e-4f;
/// Slopes, as a share of the footprint.
constexpr float kOffFootprint = 0.06f;
/// What a trial may find for the quarters to pass: where the map is smooth a quarter's value is 16 times as good, of which
/// half is trusted, its slopes 8 times, the ground's 4 times; a kink is worth half.
constexpr float kHalvedBulge = 8, kHalvedKink = 2, kHalvedSlope = 4, kHalvedLight = 2;

/// The largest shares of what may pass.
struct Strain {
  float bulge = 0, kink = 0, slope = 0;
  /// `across`, `down`: how much of a slope's error lies along a line of corners, where a kink would show.
  inline void see(const Corner& said, const Corner& told, float side, float least, bool across, bool down) {
    const float footprint = std::abs(said.right) + std::abs(said.down), most = 1 / std::max(kOffPixels * footprint, least);
    const float right_off = std::abs(said.right - told.right), down_off = std::abs(said.down - told.down);
    const float along = std::max(across ? right_off : 0.0f, down ? down_off : 0.0f);
    bulge = std::max(bulge, std::abs(said.value - told.value) * most);
    // A kink three quarters along leaves the middle's value right and its slope off by an eighth of what it turns.
    kink = std::max(kink, along * side * 0.25f * most);
    slope = std::max(slope, (right_off + down_off) / std::max(kOffFootprint * footprint, least));
  }
};

/// The ground's slopes between corners are taken as even; where they are not, at a bevel's line, the light would show it.
inline float strain_of_light(const float (&p)[Squares::kPoints][kSquares], int i) {
  const float a = p[0][i], b = p[1][i], c = p[2][i], d = p[3][i];
  const float off = std::max(std::abs(p[4][i] - (a + b + c + d) / 4), std::max(std::max(std::abs(p[5][i] - (a + b) / 2), std::abs(p[6][i] - (a + c) / 2)),
                                                                            std::max(std::abs(p[7][i] - (b + d) / 2), std::abs(p[8][i] - (c + d) / 2))));
  return off * (1 / kOffSlope);
}

}  // namespace

ETCHCAST_CLONES void try_squares(const Squares& q, int side, float band_mm, Verdict (&verdict)[kSquares]) {
  const float length = float(side), least = kOffLeast * band_mm;
#pragma GCC ivdep
  for (int i = 0; i < kSquares; ++i) {
    const Foretold told = foretell(q.corners(i, length));
    const auto said = [&](int point) { return Corner{q.value[point][i], q.sp[point][i], q.sq[point][i]}; };
    Strain worst;
    worst.see(said(4), told.middle, length, least, true, true);
    worst.see(said(5), told.upper, length, least, true, false);
    worst.see(said(6), told.left, length, least, false, true);
    worst.see(said(7), told.right, length, least, false, true);
    worst.see(said(8), told.lower, length, least, true, false);
    const float light = std::max(strain_of_light(q.right, i), strain_of_light(q.up, i));
    // Bit by bit, not one after another: a loop over squares then has no branch.
    const bool good = (worst.bulge <= 1) & (worst.kink <= 1) & (worst.slope <= 1) & (light <= 1);
    const bool halved = (worst.bulge <= kHalvedBulge) & (worst.kink <= kHalvedKink) & (worst.slope <= kHalvedSlope) & (light <= kHalvedLight);
    verdict[i] = good ? Verdict::good : halved ? Verdict::halved : Verdict::no;
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

}  // namespace

void fill_square(const Squares& q, int i, double first, short leaf, int side, int row, int column, const Planes& to) {
  if (row >= to.rows || column >= to.columns) return;
  if (side == 16) fill<16>(q, i, float(first), leaf, row, column, to);
  if (side == 8) fill<8>(q, i, float(first), leaf, row, column, to);
  if (side == 4) fill<4>(q, i, float(first), leaf, row, column, to);
  if (side == 2) fill<2>(q, i, float(first), leaf, row, column, to);
}

}  // namespace etchcast
