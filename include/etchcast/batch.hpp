#pragma once
/// \file batch.hpp — points on their way back through the forge, 128 at a time, with their derivatives.
/// Reads after: step.hpp. Read next: forging.hpp.
///
/// Frame: x along the bar (heel to tip), 0 .. L; y across it (edge to spine), -W/2 .. W/2; z through the thickness,
/// -T/2 .. T/2, +z is the top of the stack and the right side of the blade. All in mm.

namespace etchcast {

inline constexpr int kLanes = 128;

/// A number that carries its derivatives along two directions p and q of a surface (forward differentiation).
template <class Real>
struct Dual {
  Real v;       ///< value
  Real dp, dq;  ///< derivatives, per unit of p and q
  Dual() = default;
  Dual(Real value) : v(value), dp(0), dq(0) {}  // NOLINT: a constant is a number whose derivatives are zero
  Dual(Real value, Real p, Real q) : v(value), dp(p), dq(q) {}
};

template <class Number>
struct Point {
  Number x, y, z;
};

/// 128 points as separate arrays, so that one loop per map fills the widest registers there are.
/// `*p` and `*q` hold d/dp and d/dq of each coordinate. Whole batches only: pad the last one with copies.
template <class Real>
struct Batch {
  alignas(64) Real x[kLanes], y[kLanes], z[kLanes];
  alignas(64) Real xp[kLanes], yp[kLanes], zp[kLanes];
  alignas(64) Real xq[kLanes], yq[kLanes], zq[kLanes];
};

/// Where each point's metal came from: a coordinate `s` (mm) through the band list `leaf` of a Forging, with its
/// derivatives. `leaf` < 0 marks a point outside the bar.
template <class Real>
struct Origins {
  alignas(64) Real s[kLanes], sp[kLanes], sq[kLanes];
  alignas(64) int leaf[kLanes];
};

}  // namespace etchcast
