#pragma once
/// \file squares.hpp — squares of pixels, many side by side: put on trial, and filled.

#include <vector>

#include "coverage/patch.hpp"
#include "etchcast/picture.hpp"

namespace etchcast {

/// What the bar said at a pixel's middle; slopes per pixel, right and down, and of the ground surface.
struct Told {
  double s;
  float sp, sq, right, up;
  int leaf;
};

/// Squares of one size, on trial or to be filled: numbers of 4 corners and 5 points between, for many squares side by side.
inline constexpr int kSquares = 32;
struct Squares {
  /// Upper left, upper right, lower left and lower right corner; middle; middles of the upper, left, right and lower side.
  static constexpr int kPoints = 9, kCorners = 4;
  /// Where the points stand, in halves of the side: row, column.
  static constexpr int kPlaces[kPoints][2] = {{0, 0}, {0, 2}, {2, 0}, {2, 2}, {1, 1}, {0, 1}, {1, 0}, {1, 2}, {2, 1}};
  alignas(64) float value[kPoints][kSquares], sp[kPoints][kSquares], sq[kPoints][kSquares];
  alignas(64) float right[kPoints][kSquares], up[kPoints][kSquares];
  /// Puts what is told at a square's point; values from that of its upper left corner, so that float keeps their digits.
  void put(int square, int point, const Told& t, double first) {
    value[point][square] = float(t.s - first), sp[point][square] = t.sp, sq[point][square] = t.sq;
    right[point][square] = t.right, up[point][square] = t.up;
  }
  Corners corners(int i, float side) const {
    return {{value[0][i], sp[0][i], sq[0][i]}, {value[1][i], sp[1][i], sq[1][i]}, {value[2][i], sp[2][i], sq[2][i]}, {value[3][i], sp[3][i], sq[3][i]}, side};
  }
};

/// What a trial found: kWhole if the polynomial may stand for the bar all over the square, else one bit for each quarter (upper
/// left, upper right, lower left, lower right) whose own polynomial may, its corners being known already.
inline constexpr int kWhole = 16;
/// Holds the polynomials of squares `side` pixels large against what was told between their corners. Footprints narrower than
/// `narrow_mm` need be told no better than those.
void try_squares(const Squares& squares, int side, float narrow_mm, int (&found)[kSquares]);

/// How far the squares' polynomials bend within a pixel, mm, and the smallest footprint there may be in them.
struct Bends {
  float bend[kSquares], footprint[kSquares];
};
void find_bends(const Squares& squares, int side, Bends& bends);

/// Pixels' arrays, all of one shape: `columns` to a row.
struct Planes {
  float *s, *sp, *sq, *right, *up;
  short* leaf;
  int columns, rows;
};
/// Writes the pixels of a square of `side` whose upper left one stands at (row, column), as far as they lie in the planes.
void fill_square(const Squares& squares, int square, double first, short leaf, int side, int row, int column, const Planes& planes);

}  // namespace etchcast
