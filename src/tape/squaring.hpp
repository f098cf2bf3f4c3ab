#pragma once
/// \file squaring.hpp — between a square and a round section of the same area, smoothly.
///
/// Inside the square lie nested rounded squares: half side rho, corner radius c = rho (1 - rho^2). At the middle they are
/// circles, at rho = 1 the square itself. Each goes to the circle that holds the same area, and along it angle is dealt out
/// by the area swept as rho grows. So the map keeps area exactly (polar coordinates of action and angle), carries edge to
/// edge, is the identity to third order at the axis, and its derivative is continuous everywhere but at the four corners.
/// A map built on plain square rings would kink on the diagonals, and no metal does.
///
/// Unit section: square -1..1, disc of radius 2/sqrt(pi). Derived for this program; docs/model.md has the steps.

#include "tape/dual.hpp"

namespace etchcast {

namespace squaring {

inline constexpr double kPi = 3.14159265358979323846;

/// Arc tangent for 0 <= t <= 1; series after halving the range, error below 2e-7 in float.
inline float arc_tangent(float t) {
  const bool upper = t > 0.41421356f;
  const float u = upper ? (t - 1) / (t + 1) : t, u2 = u * u;
  const float a = u * (1 + u2 * (-1.0f / 3 + u2 * (1.0f / 5 + u2 * (-1.0f / 7 + u2 * (1.0f / 9 + u2 * (-1.0f / 11 + u2 / 13))))));
  return upper ? a + float(kPi / 4) : a;
}
/// In double: by a quarter or an eighth turn nearer to 0, then the series to u^23; error below 3e-16.
inline double arc_tangent(double t) {
  constexpr double kEighth = 0.41421356237309504880;  // tangent of pi / 8
  const bool upper = t > 0.66817863791929891999, middle = t > 0.19891236737965800691;
  const double from = upper ? 1.0 : (middle ? kEighth : 0.0), turned = upper ? kPi / 4 : (middle ? kPi / 8 : 0.0);
  const double u = (t - from) / (1 + from * t), u2 = u * u;
  double sum = 1.0 / 23;
#pragma GCC unroll 11
  for (int k = 21; k >= 1; k -= 2) sum = 1.0 / k - u2 * sum;
  return turned + u * sum;
}
template <class R> inline Dual<R> arc_tangent(Dual<R> t) { return chain(arc_tangent(t.v), 1 / (1 + t.v * t.v), t); }

/// A point folded into the eighth 0 <= b <= a, and back.
template <class R>
struct Eighth {
  Dual<R> a, b;
  bool swapped, y_negative, z_negative;
  Eighth(Dual<R> y, Dual<R> z) : y_negative(y.v < 0), z_negative(z.v < 0) {
    const Dual<R> ya = abs(y), za = abs(z);
    swapped = za.v > ya.v;
    a = select(swapped, za, ya);
    b = select(swapped, ya, za);
  }
  void unfold(Dual<R> a_new, Dual<R> b_new, Dual<R>& y, Dual<R>& z) const {
    const Dual<R> ya = select(swapped, b_new, a_new), za = select(swapped, a_new, b_new);
    y = select(y_negative, -ya, ya);
    z = select(z_negative, -za, za);
  }
};

/// Rounds of Newton's method from the starts below: for float, for double.
template <class R>
inline constexpr int kRounds = sizeof(R) == 4 ? 2 : 3;

/// Area swept by an eighth of the ring per unit of rho; 8 Q = dA/drho.
template <class N, class R>
inline N ring_rate(N rho, N corner, R quarter_pi) {
  const N g = rho - corner, three = R(3) * (rho * rho);
  return g + corner * (three + quarter_pi * (R(1) - three));
}

/// Which rounded square passes through (a, b) of the first eighth.
template <class R>
inline Dual<R> ring_through(Dual<R> a, Dual<R> b) {
  // Newton from the side where the gap is convex: from this start the error is at most 2e-2, 2e-4, 1e-8, rounding. The last
  // round's slope also gives the derivatives.
  const R over = b.v - a.v * a.v * a.v;
  R rho = a.v + over * over / (2 * a.v * (1 - a.v * a.v) + 6 * a.v * a.v * over + R(1e-9));
  R gap = 0, slope = -1, ca = 1, cb = 0;
#pragma GCC unroll 4
  for (int round = 0; round < kRounds<R> + 1; ++round) {
    const R r2 = rho * rho, g = r2 * rho, u = a.v - g, v = b.v - g;
    const R distance = std::sqrt(u * u + v * v + R(1e-30));
    ca = u / distance, cb = v / distance;
    gap = distance - rho * (1 - r2);
    slope = -3 * r2 * (ca + cb) - (1 - 3 * r2);
    rho = rho - gap / slope;
  }
  return {rho, -(ca * a.dp + cb * b.dp) / slope, -(ca * a.dq + cb * b.dq) / slope};
}

}  // namespace squaring

/// Square to disc, in place.
template <class R>
inline void disc_from_square(Dual<R>& y, Dual<R>& z) {
  using namespace squaring;
  constexpr R kQuarterPi = R(kPi / 4);
  Eighth<R> fold(y, z);
  Dual<R> a = fold.a, b = fold.b;
  a.v = a.v > 1 ? R(1) : a.v;  // points beyond the bar: nearest metal, so that rounding at a face does no harm
  b.v = b.v > 1 ? R(1) : b.v;
  const bool straight = b.v <= a.v * a.v * a.v;
  const Dual<R> rho = select(straight, a, ring_through(a, b));
  const Dual<R> r2 = rho * rho, g = r2 * rho, c = rho - g, three = R(3) * r2;
  const Dual<R> u = a - g, v = b - g;
  const R du = u.v > R(1e-12) ? u.v : R(1e-12);
  const Dual<R> tangent = {v.v / du, (v.dp - v.v / du * u.dp) / du, (v.dq - v.v / du * u.dq) / du};
  const R t = tangent.v < 0 ? R(0) : (tangent.v > 1 ? R(1) : tangent.v);
  const Dual<R> alpha = arc_tangent(Dual<R>{t, tangent.dp, tangent.dq});
  const Dual<R> swept = select(straight, b, g + three * (b - a + c) + (R(1) - three) * c * alpha);
  const Dual<R> rate = ring_rate(rho, c, kQuarterPi);
  const R safe = rate.v > R(1e-12) ? rate.v : R(1e-12);
  const Dual<R> angle = kQuarterPi * (swept / Dual<R>{safe, rate.dp, rate.dq});
  // Area 4 rho^2 - (4 - pi) c^2 = pi r^2, with rho taken out so that the root is smooth at the axis.
  const Dual<R> k = R(1) - r2;
  const Dual<R> radius = rho * sqrt(R(4 / kPi) - R(4 / kPi - 1) * (k * k));
  R s, co;
  sine_cosine_eighth(angle.v, s, co);
  fold.unfold(radius * chain(co, -s, angle), radius * chain(s, co, angle), y, z);
}

/// Disc to square, in place.
template <class R>
inline void square_from_disc(Dual<R>& y, Dual<R>& z) {
  using namespace squaring;
  constexpr R kQuarterPi = R(kPi / 4), kCut = R(4 - kPi);
  Eighth<R> fold(y, z);
  const Dual<R> area = R(kPi) * (fold.a * fold.a + fold.b * fold.b);
  // q = rho^2 from 4 q - (4 - pi) q (1 - q)^2 = area; slope at least 3.1.
  // Start within 1e-2; two rounds leave 5e-11.
  const R quarter = area.v * R(0.25);
  R q = area.v * R(1 / kPi) * (1 - R(0.2146) * quarter * (2 - quarter)), slope = 4;
#pragma GCC unroll 4
  for (int round = 0; round < kRounds<R>; ++round) {
    slope = 4 - kCut * (1 - q) * (1 - 3 * q);
    q = q - (4 * q - kCut * q * (1 - q) * (1 - q) - area.v) / slope;
    q = q > 1 ? R(1) : q;
  }
  slope = 4 - kCut * (1 - q) * (1 - 3 * q);
  const Dual<R> r2 = {q, area.dp / slope, area.dq / slope};
  const Dual<R> rho = sqrt(r2), g = r2 * rho, c = rho - g, three = R(3) * r2;
  const R base = fold.a.v > R(1e-12) ? fold.a.v : R(1e-12);
  const Dual<R> angle = arc_tangent(fold.b / Dual<R>{base, fold.a.dp, fold.a.dq});
  const Dual<R> swept = (R(1) / kQuarterPi) * (angle * ring_rate(rho, c, kQuarterPi));
  const bool straight = swept.v <= g.v;
  // On the corner arc: three (sin alpha - cos alpha + 1) + (1 - three) alpha = (swept - g) / c, slope 1 to 2.25.
  const R cs = c.v > R(1e-9) ? c.v : R(1e-9);
  const Dual<R> target = (swept - g) / Dual<R>{cs, c.dp, c.dq};
  // Start within 8e-2; two rounds leave 3e-8.
  const R aim = target.v < 0 ? R(0) : (target.v > R(2) ? R(2) : target.v);
  R alpha = aim / (1 + R(0.5) * three.v * aim / (1 + R(0.55) * three.v * aim));
  alpha = alpha > kQuarterPi ? kQuarterPi : alpha;
  R sn = 0, cn = 1, rate = 1;
#pragma GCC unroll 4
  for (int round = 0; round < kRounds<R>; ++round) {
    sine_cosine_eighth(alpha, sn, cn);
    rate = three.v * (cn + sn) + (1 - three.v);
    alpha = alpha - (three.v * (sn - cn + 1) + (1 - three.v) * alpha - target.v) / rate;
    alpha = alpha < 0 ? R(0) : (alpha > kQuarterPi ? kQuarterPi : alpha);
  }
  sine_cosine_eighth(alpha, sn, cn);
  rate = three.v * (cn + sn) + (1 - three.v);
  const R lift = sn - cn + 1 - alpha;  // derivative of the left side by `three`
  const Dual<R> al = {alpha, (target.dp - lift * three.dp) / rate, (target.dq - lift * three.dq) / rate};
  const Dual<R> on_a = g + c * chain(cn, -sn, al), on_b = g + c * chain(sn, cn, al);
  fold.unfold(select(straight, rho, on_a), select(straight, swept, on_b), y, z);
}

}  // namespace etchcast
