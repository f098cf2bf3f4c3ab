#pragma once
/// \file dual.hpp — arithmetic on numbers that carry two derivatives, written so that loops over lanes vectorise:
/// no branch, only selections.

#include <cmath>

#include "etchcast/batch.hpp"

namespace etchcast {

template <class R> inline Dual<R> operator+(Dual<R> a, Dual<R> b) { return {a.v + b.v, a.dp + b.dp, a.dq + b.dq}; }
template <class R> inline Dual<R> operator-(Dual<R> a, Dual<R> b) { return {a.v - b.v, a.dp - b.dp, a.dq - b.dq}; }
template <class R> inline Dual<R> operator-(Dual<R> a) { return {-a.v, -a.dp, -a.dq}; }
template <class R> inline Dual<R> operator*(Dual<R> a, Dual<R> b) {
  return {a.v * b.v, a.v * b.dp + a.dp * b.v, a.v * b.dq + a.dq * b.v};
}
template <class R> inline Dual<R> operator*(R k, Dual<R> a) { return {k * a.v, k * a.dp, k * a.dq}; }
template <class R> inline Dual<R> operator+(Dual<R> a, R k) { return {a.v + k, a.dp, a.dq}; }
template <class R> inline Dual<R> operator-(Dual<R> a, R k) { return {a.v - k, a.dp, a.dq}; }
template <class R> inline Dual<R> operator-(R k, Dual<R> a) { return {k - a.v, -a.dp, -a.dq}; }
template <class R> inline Dual<R> operator/(Dual<R> a, Dual<R> b) {
  const R inverse = 1 / b.v, f = a.v * inverse;
  return {f, (a.dp - f * b.dp) * inverse, (a.dq - f * b.dq) * inverse};
}

/// f(a) with the derivative of f known.
template <class R> inline Dual<R> chain(R f, R slope, Dual<R> a) { return {f, slope * a.dp, slope * a.dq}; }

template <class R> inline Dual<R> select(bool yes, Dual<R> a, Dual<R> b) {
  return {yes ? a.v : b.v, yes ? a.dp : b.dp, yes ? a.dq : b.dq};
}
template <class R> inline Dual<R> sqrt(Dual<R> a) {
  const R root = std::sqrt(a.v > R(1e-20) ? a.v : R(1e-20));
  return chain(root, R(0.5) / root, a);
}
template <class R> inline Dual<R> abs(Dual<R> a) { return select(a.v < 0, -a, a); }

/// Sine and cosine. In float a polynomial after reduction to an eighth turn: error below 2e-7 for |x| < 1e3, and a loop
/// over it vectorises, which the library's functions do not. In double the library's own, for tests and probes.
inline void sine_cosine(double x, double& s, double& c) {
  s = std::sin(x);
  c = std::cos(x);
}
/// The same for 0 <= x <= pi/4, where nothing needs to be taken off first.
inline void sine_cosine_eighth(double x, double& s, double& c) { sine_cosine(x, s, c); }
inline void sine_cosine_eighth(float r, float& s, float& c) {
  const float r2 = r * r;
  s = r + r * r2 * (-0.16666654611f + r2 * (8.3321608736e-3f + r2 * -1.9515295891e-4f));
  c = 1.0f - 0.5f * r2 + r2 * r2 * (4.166664568298827e-2f + r2 * (-1.388731625493765e-3f + r2 * 2.443315711809948e-5f));
}
inline void sine_cosine(float x, float& s, float& c) {
  // Quarter turns taken off in three pieces, so that the remainder keeps its digits (Cody and Waite).
  constexpr float kMagic = 12582912.0f;  // 1.5 * 2^23: adding it rounds to a whole number
  const float shifted = x * 0.636619772f + kMagic;
  const float turns = shifted - kMagic;
  float r = x - turns * 1.5703125f;
  r = r - turns * 4.837512969970703125e-4f;
  r = r - turns * 7.549789948768648e-8f;
  const int quadrant = int(turns);
  const float r2 = r * r;
  // Taylor terms with the last coefficients eased for the interval |r| <= pi/4.
  const float sr = r + r * r2 * (-0.16666654611f + r2 * (8.3321608736e-3f + r2 * -1.9515295891e-4f));
  const float cr = 1.0f - 0.5f * r2 + r2 * r2 * (4.166664568298827e-2f + r2 * (-1.388731625493765e-3f + r2 * 2.443315711809948e-5f));
  const bool odd = quadrant & 1;
  const float a = odd ? cr : sr, b = odd ? sr : cr;
  s = (quadrant & 2) ? -a : a;
  c = ((quadrant + 1) & 2) ? -b : b;
}
template <class R> inline void sine_cosine(Dual<R> x, Dual<R>& s, Dual<R>& c) {
  R sv, cv;
  sine_cosine(x.v, sv, cv);
  s = chain(sv, cv, x);
  c = chain(cv, -sv, x);
}

}  // namespace etchcast
