#pragma once
/// \file footprints.hpp — footprints taken through a steel's tables, a batch at a time: the loops of the band table.

#include "coverage/band_table.hpp"

namespace etchcast {

/// A trapezoid's shorter half width is at least this share of the longer: what that blurs is far below a level.
inline constexpr double kNarrowest = 0.02;
/// Distance of what is not there: beyond the reach of any footprint, in cells.
inline constexpr double kFar = 1e6;

/// Even cells, and what all footprints share. `floor`: the least half width, mm; `soft2`: what blur adds to a half width's square.
template <class Real>
struct Frame {
  Real per_mm, cell_mm, top, floor, mean, soft2;
};

/// Shortest stretches that hold one edge more than two, three, four and eight.
struct Spans {
  float two, three, four, eight;
};

/// What the loops need of a steel's tables.
template <class Real>
struct Tables {
  const BandTable::Ahead *ahead, *beyond;
  const BandTable::Record<Real>* cells;
  Spans spans;
  Frame<float> near;
  Frame<Real> far;
};

/// The steel's shares under n footprints.
template <class Real>
void weigh(const Tables<Real>& tables, const float* s, const float* p, const float* q, int n, float* out);
/// What a steel leaves of the whole, or of what others left.
void leave(const float* took, int n, bool whole, float* rest);
/// Adds to within[i] whether one of the edges ahead lies within s_i +- reach_i; n at most kLanes.
void meet_edges(const BandTable::Ahead* ahead, const Frame<float>& frame, const float* s, const float* reach, int n, int* within);

}  // namespace etchcast
