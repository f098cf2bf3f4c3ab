#pragma once
/// \file squaring.hpp — between a square and a round section of the same area, smoothly.
///
/// Inside the square lie nested rounded squares: half side rho, corner radius c = rho (1 - rho^2). At the middle they
/// are circles, at rho = 1 the square itself. Each goes to the circle that holds the same area, and along it angle is
/// dealt out by the area swept as rho grows. So the map keeps area exactly (polar coordinates of action and angle),
/// carries edge to edge, is the identity to third order at the axis, and its derivative is continuous everywhere but at
/// the four corners. A map built on plain square rings would kink on the diagonals, and no metal does.
///
/// Both sections share the rings, so the way leads over them: from a place in either section onto its ring, there
/// perhaps a turn, and off it into the other. Unit section: square -1..1, disc of radius 2/sqrt(pi). Derived for this
/// program; docs/model.md has the steps.

#include "tape/ring.hpp"

namespace etchcast {

/// A place in the square, folded into the eighth 0 <= b <= a; beyond the bar the nearest metal, so that rounding at a
/// face does no harm.
template <class R>
struct SquarePlace {
  R a, b;
};
template <class R>
inline SquarePlace<R> square_place(R y, R z) {
  using namespace squaring;
  const Folded<R> fold(y, z);
  return {fold.a - positive(fold.a - 1), fold.b - positive(fold.b - 1)};
}

/// Which rounded square passes through a place, nearly: to 4e-4 of its corner radius.
template <class R>
inline R near_ring(const SquarePlace<R>& p) {
  using namespace squaring;
  // With delta = rho - a and over = b - a^3, squares give  over^2 = 2 half delta - bend delta^2  for a bend that varies
  // little, fitted over the section. On the straight over = 0, and rho = a.
  const R a = p.a, a2 = a * a, a3 = a2 * a;
  const R over = positive(p.b - a3), over2 = over * over, half = (a - a3) + 3 * a2 * over;
  const R bend = (R(-1.0089) + a2 * (R(3.8543) + R(11.134) * a2)) + a * over * (R(-1.3215) + R(2.3463) * a2);
  return a + over2 / (half + std::sqrt(half * half - bend * over2) + kTiny<R>);
}
/// And exactly, by Newton's method on the distance from the corner's centre; its slope lies between -1 and -2.25.
template <class R>
inline R ring_through(R near, const SquarePlace<R>& p) {
  using namespace squaring;
  R rho = near;
#pragma GCC unroll 2
  for (int round = 0; round < kRounds<R>; ++round) {
    const R k = rho * rho, g = k * rho, u = p.a - g, v = positive(p.b - g), distance = std::sqrt(u * u + v * v);
    rho = rho - distance * ((rho - g) - distance) / (distance + 3 * k * (u + v - distance) + kTiny<R>);
  }
  return rho;
}

/// The arc of a place in the square on the ring rho.
template <class R>
inline Arc<R> arc_of_square(R rho, const SquarePlace<R>& p) {
  using namespace squaring;
  const R g = rho * (rho * rho), u = std::abs(p.a - g) + kTiny<R>, v = positive(p.b - g);
  const R inverse = 1 / std::sqrt(u * u + v * v), c = u * inverse, s = v * inverse;
  return {angle_of(c, s), s, c};
}

/// Onto the ring, with b of the place.
template <class R>
inline OnRing<R> ring_from_square(R rho, const Arc<R>& arc, R b, Dual<R> y, Dual<R> z) {
  using namespace squaring;
  const Folded<R> fold(y.v, z.v);
  const R k = rho * rho, some = rho + kTiny<R>, q = some * sweep(k), stretch = 1 + 3 * k * (arc.c + arc.s - 1);
  const R inverse = 1 / (q * stretch);  // two quotients by one
  const R swept =
      (b - positive(b - k * rho)) + some * ((1 - k) * (arc.alpha + 3 * k * (arc.s - arc.c + 1 - arc.alpha)));
  const R eighth = swept * (stretch * inverse);
  const Slant<R> at = fold.slant(arc.c, arc.s, stretch, arc_lean(k, eighth, arc, stretch));
  return onto_ring(rho, fold.along(eighth), at, q * inverse, y, z);
}

/// The arc of a place on a ring, nearly: alpha to 5e-4, and what it follows from, with k = rho^2,
///   (1 - k) (alpha + 3 k (sin alpha - cos alpha + 1 - alpha)) = swept,  0 on the straight.
template <class R>
struct NearArc {
  R alpha, swept;
};
template <class R>
inline NearArc<R> near_arc(R rho, R along) {
  using namespace squaring;
  const R k = rho * rho, rest = arc_rest(k), swept = positive(Unfolded<R>(along).eighth * sweep(k) - k);
  // alpha + 3/2 k alpha^2 solved, the rest fitted.
  const R near = 2 * swept / (rest + std::sqrt(rest * (rest + 6 * k * swept))), kn = k * near;
  return {near + kn * (near * near) * ((R(0.40385) + R(0.19978) * near) + kn * (R(-0.65861) + R(0.35754) * kn)), swept};
}
/// And exactly; sine and cosine are turned along with alpha.
template <class R>
inline Arc<R> arc_of_ring(R rho, const NearArc<R>& near) {
  using namespace squaring;
  const R k = rho * rho, three = 3 * k, rest = arc_rest(k);
  R alpha = near.alpha, s, c;
  sine_cosine_eighth(alpha, s, c);
#pragma GCC unroll 2
  for (int round = 0; round < kRounds<R>; ++round) {
    const R gap = rest * (alpha + three * (s - c + 1 - alpha)) - near.swept;
    const R step = gap / (rest * (1 + three * (c + s - 1))), square = step * step;
    const R cosine = 1 - R(0.5) * square * (1 - square * R(1.0 / 12)), sine = step * (1 - square * R(1.0 / 6));
    const R s_before = s;
    s = s * cosine - c * sine;
    c = c * cosine + s_before * sine;
    alpha = alpha - step;
  }
  return {alpha, s, c};
}

template <class R>
inline void square_from_ring(const OnRing<R>& ring, const Arc<R>& arc, Dual<R>& y, Dual<R>& z) {
  using namespace squaring;
  const Unfolded<R> fold(ring.along.v);
  const R rho = ring.rho.v, k = rho * rho, g = k * rho, corner = rho - g, swept = fold.eighth * sweep(k);
  const R stretch = 1 + 3 * k * (arc.c + arc.s - 1);
  Slant<R> at{0, 0, stretch, fold.hand * arc_lean(k, fold.eighth, arc, stretch)};
  fold.out(arc.c, arc.s, at.y, at.z);
  R y_new, z_new;
  fold.out(g + corner * arc.c, rho * (swept - positive(swept - k)) + corner * arc.s, y_new, z_new);
  off_ring(ring, at, y_new, z_new, y, z);
}

namespace squaring {
/// Radius of the circle over rho:  4 rho^2 - (4 - pi) c^2 = pi r^2,  rho taken out.
template <class R>
inline R disc_radius(R k) {
  return std::sqrt(R(4 / kPi) - R(4 / kPi - 1) * ((1 - k) * (1 - k)));
}
}  // namespace squaring

/// Which circle passes through a place of the disc; beyond the bar the outermost.
template <class R>
inline R circle_through(R y, R z) {
  using namespace squaring;
  const R r2 = y * y + z * z, area = R(kPi / 4) * r2, inside = area - positive(area - 1);
  // k = rho^2 from  k - (1 - pi/4) k (1 - k)^2 = pi r^2 / 4;  fitted to 3e-4.
  R k = R(1.03872) + inside * (R(-0.779562) + inside * R(0.267504));
  k = inside * (R(1.26997) + inside * (R(-0.796383) + inside * k));
#pragma GCC unroll 2
  for (int round = 0; round < kRounds<R>; ++round) {
    const R rest = 1 - k, cut = R(1 - kPi / 4) * rest;
    k = k - (k - cut * (k * rest) - inside) / (1 - cut * (1 - 3 * k));
  }
  return std::sqrt(k);
}

template <class R>
inline OnRing<R> ring_from_disc(R rho, Dual<R> y, Dual<R> z) {
  using namespace squaring;
  const Folded<R> fold(y.v, z.v);
  const R a = fold.a + kTiny<R>, b = fold.b, k = rho * rho;
  const R radius = std::sqrt(a * a + b * b), per_rho = disc_radius(k), q = sweep(k);
  const R inverse = 1 / (radius * per_rho * q);  // three quotients by one
  const R c = a * (per_rho * q * inverse), s = b * (per_rho * q * inverse);
  const R stretch = R(4 / kPi) * (q * (radius * q * inverse));
  const R inverse_stretch = R(kPi / 4) * (per_rho * (per_rho * radius * inverse));
  const R along = fold.along(R(4 / kPi) * angle_of(c, s));
  return onto_ring(rho, along, fold.slant(c, s, stretch, R(0)), inverse_stretch, y, z);
}

template <class R>
inline void disc_from_ring(const OnRing<R>& ring, Dual<R>& y, Dual<R>& z) {
  using namespace squaring;
  const Unfolded<R> fold(ring.along.v);
  const R rho = ring.rho.v, k = rho * rho, per_rho = disc_radius(k), radius = rho * per_rho;
  R s, c;
  sine_cosine_eighth(R(kPi / 4) * fold.eighth, s, c);
  Slant<R> at{0, 0, R(4 / kPi) * sweep(k) / per_rho, 0};
  fold.out(c, s, at.y, at.z);
  off_ring(ring, at, radius * at.y, radius * at.z, y, z);
}

/// Square to disc, in place.
template <class R>
inline void disc_from_square(Dual<R>& y, Dual<R>& z) {
  const SquarePlace<R> place = square_place(y.v, z.v);
  const R rho = ring_through(near_ring(place), place);
  disc_from_ring(ring_from_square(rho, arc_of_square(rho, place), place.b, y, z), y, z);
}

/// Disc to square, in place.
template <class R>
inline void square_from_disc(Dual<R>& y, Dual<R>& z) {
  const OnRing<R> ring = ring_from_disc(circle_through(y.v, z.v), y, z);
  square_from_ring(ring, arc_of_ring(ring.rho.v, near_arc(ring.rho.v, ring.along.v)), y, z);
}

}  // namespace etchcast
