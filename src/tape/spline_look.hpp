#pragma once
/// \file spline_look.hpp — look-ups in splines of two variables, a batch at a time: loops find where the lanes lie and what
/// follows from the numbers there; between them each lane fetches its rows by whole loads.

#include "base/spline.hpp"
#include "etchcast/batch.hpp"

namespace etchcast {

template <class Real>
struct SplineSpots {
  alignas(64) Real x[kLanes], y[kLanes];
  alignas(64) int at[kLanes];
  void set(int i, const Spline2::Spot<Real>& spot) { x[i] = spot.x, y[i] = spot.y, at[i] = spot.at; }
};

/// The coefficients about the spots of one table.
template <class Real>
struct SplineRows {
  alignas(64) Real rows[4][4 * kLanes];
  void fetch(const Spline2& spline, const SplineSpots<Real>& spots) {
    const Real* c = spline.coefficients().data<Real>();
    const int stride = spline.columns() + 2;
    for (int i = 0; i < kLanes; ++i)
      for (int row = 0; row < 4; ++row) __builtin_memcpy(rows[row] + 4 * i, c + spots.at[i] + row * stride, 4 * sizeof(Real));
  }
  Spline2::Jet<Real> jet(int i, const SplineSpots<Real>& spots, const Spline2::Frame<Real>& frame) const {
    return frame.jet(spots.x[i], spots.y[i], [this, i](int row, int k) { return rows[row][4 * i + k]; });
  }
};

/// A number with derivatives, at each lane.
template <class Real>
struct Duals {
  alignas(64) Real v[kLanes], dp[kLanes], dq[kLanes];
  Dual<Real> at(int i) const { return {v[i], dp[i], dq[i]}; }
  void set(int i, const Dual<Real>& a) { v[i] = a.v, dp[i] = a.dp, dq[i] = a.dq; }
};

}  // namespace etchcast
