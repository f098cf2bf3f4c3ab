#pragma once
/// \file flow_look.hpp — look-ups in a flow's table, a batch at a time.
///
/// Loops find where the lanes lie and what follows from the numbers there; between them each lane fetches its rows by whole
/// loads. Gathering number by number in a loop over lanes takes several times as long.

#include "base/flow_table.hpp"
#include "etchcast/batch.hpp"

namespace etchcast {

/// Places in a table: u along it, and either the height or the line; the spot, and the coefficients about it.
template <class Real>
struct FlowPlaces {
  alignas(64) Real u[kLanes], height[kLanes], c[kLanes];
  alignas(64) Real x_part[kLanes], c_part[kLanes], side[kLanes];
  alignas(64) int at[kLanes];
  alignas(64) Real rows[4][4 * kLanes];
  alignas(64) float guesses[2][2 * kLanes];

  FlowTable::Spot<Real> spot(int i) const { return {x_part[i], c_part[i], side[i], at[i]}; }
  void set(int i, const FlowTable::Spot<Real>& spot) {
    x_part[i] = spot.x, c_part[i] = spot.c, side[i] = spot.side, at[i] = spot.at;
  }
  void set_line(int i, Real line, const FlowTable::Frame<Real>& frame) {
    c[i] = line;
    set(i, frame.spot(u[i], line));
  }
  Real guess(int i) const {
    return FlowTable::between(spot(i), guesses[0][2 * i], guesses[0][2 * i + 1], guesses[1][2 * i], guesses[1][2 * i + 1]);
  }
  FlowTable::Jet<Real> jet(int i, const FlowTable::Frame<Real>& frame) const {
    return frame.jet(spot(i), c[i], [this, i](int row, int k) { return rows[row][4 * i + k]; });
  }
  Real xcc(int i, const FlowTable::Frame<Real>& frame) const {
    return frame.xcc(spot(i), [this, i](int row, int k) { return rows[row][4 * i + k]; });
  }

  void fetch_guesses(const FlowTable& table) {
    for (int i = 0; i < kLanes; ++i)
      for (int row = 0; row < 2; ++row)
        __builtin_memcpy(guesses[row] + 2 * i, table.guesses() + at[i] + row * table.guesses_stride(), 2 * sizeof(float));
  }
  void fetch(const FlowTable& table) {
    const Real* q = table.coefficients<Real>();
    const int stride = table.columns() + 3;
    for (int i = 0; i < kLanes; ++i)
      for (int row = 0; row < 4; ++row) __builtin_memcpy(rows[row] + 4 * i, q + at[i] + row * stride, 4 * sizeof(Real));
  }
};

}  // namespace etchcast
