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

/// Sine and cosine: polynomials after reduction to an eighth turn, so that a loop over them vectorises, which the library's
/// functions do not. Error below 2e-7 in float for |x| < 1e3, below 3e-16 in double for |x| < 1e6.
/// The eighths first, 0 <= x <= pi/4 or so, where nothing needs to be taken off.
inline void sine_cosine_eighth(double r, double& s, double& c) {
  // Taylor's series to r^17 and r^16; the next terms are below 1e-19.
  const double r2 = r * r;
  constexpr double s3 = -1.0 / 6, s5 = 1.0 / 120, s7 = -1.0 / 5040, s9 = 1.0 / 362880, s11 = -1.0 / 39916800, s13 = 1.0 / 6227020800.0,
                   s15 = -1.0 / 1307674368000.0, s17 = 1.0 / 355687428096000.0;
  constexpr double c4 = 1.0 / 24, c6 = -1.0 / 720, c8 = 1.0 / 40320, c10 = -1.0 / 3628800, c12 = 1.0 / 479001600.0, c14 = -1.0 / 87178291200.0,
                   c16 = 1.0 / 20922789888000.0;
  s = r + r * r2 * (s3 + r2 * (s5 + r2 * (s7 + r2 * (s9 + r2 * (s11 + r2 * (s13 + r2 * (s15 + r2 * s17)))))));
  c = 1 - 0.5 * r2 + r2 * r2 * (c4 + r2 * (c6 + r2 * (c8 + r2 * (c10 + r2 * (c12 + r2 * (c14 + r2 * c16))))));
}
inline void sine_cosine(double x, double& s, double& c) {
  // Quarter turns taken off in three pieces of 33 bits, so that products with whole numbers are exact (Cody and Waite).
  constexpr double kMagic = 6755399441055744.0;  // 1.5 * 2^52: adding it rounds to a whole number
  const double shifted = x * 0.63661977236758134308 + kMagic;
  const double turns = shifted - kMagic;
  double r = x - turns * 1.57079632673412561417;
  r = r - turns * 6.07710050630396597660e-11;
  r = r - turns * 2.02226624871116645580e-21;
  double sr, cr;
  sine_cosine_eighth(r, sr, cr);
  // Which quarter, in double throughout: whole numbers of another width would keep the loop from vectorising.
  const double halves = std::floor(turns * 0.5), next = std::floor((turns + 1) * 0.5);
  const bool odd = turns != 2 * halves, lower = halves != 2 * std::floor(halves * 0.5), behind = next != 2 * std::floor(next * 0.5);
  const double a = odd ? cr : sr, b = odd ? sr : cr;
  s = lower ? -a : a;
  c = behind ? -b : b;
}
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
/// The same of an angle in turns, with neither quadrants nor a long reduction: whole turns fall off exactly, and a half turn
/// folded over its middle is told by one polynomial each (interpolation at Chebyshev's nodes). Error below 3e-7 and 5e-16.
inline void sine_cosine_of_turns(float turns, float& s, float& c) {
  constexpr float kMagic = 12582912.0f;
  const float rest = turns - ((turns + kMagic) - kMagic), r = std::abs(rest) - 0.25f, r2 = r * r;
  const float r4 = r2 * r2;  // taken together in pairs, so that fewer operations wait for each other
  c = -r * ((6.28318528f + r2 * -41.3416806f) + r4 * ((81.6024764f + r2 * -76.5811726f) + r4 * 39.7598271f));
  s = (0.999999953f + r2 * -19.7391712f) + r4 * ((64.9345727f + r2 * -85.2398703f) + r4 * 56.2387004f);
  s = std::copysign(s, rest);
}
inline void sine_cosine_of_turns(double turns, double& s, double& c) {
  constexpr double kMagic = 6755399441055744.0;
  const double rest = turns - ((turns + kMagic) - kMagic), r = std::abs(rest) - 0.25, r2 = r * r;
  constexpr double s1 = 6.2831853071795864756, s3 = -41.341702240399756862, s5 = 81.605249276073615183, s7 = -76.705859752824919209,
                   s9 = 42.05869392542868225, s11 = -15.094641676117900093, s13 = 3.8199280942271642021, s15 = -0.71773379214134533133,
                   s17 = 0.10089695501646811163;
  constexpr double c0 = 0.99999999999999999608, c2 = -19.739208802178707069, c4 = 64.939394022663951992, c6 = -85.456817205980613975,
                   c8 = 60.244641313160410601, c10 = -26.426254066690256148, c12 = 7.9034624920850970551, c14 = -1.7132184107005932616,
                   c16 = 0.27194584949998128413;
  c = -r * (s1 + r2 * (s3 + r2 * (s5 + r2 * (s7 + r2 * (s9 + r2 * (s11 + r2 * (s13 + r2 * (s15 + r2 * s17))))))));
  s = c0 + r2 * (c2 + r2 * (c4 + r2 * (c6 + r2 * (c8 + r2 * (c10 + r2 * (c12 + r2 * (c14 + r2 * c16)))))));
  s = std::copysign(s, rest);
}
template <class R> inline void sine_cosine(Dual<R> x, Dual<R>& s, Dual<R>& c) {
  R sv, cv;
  sine_cosine(x.v, sv, cv);
  s = chain(sv, cv, x);
  c = chain(cv, -sv, x);
}

}  // namespace etchcast
