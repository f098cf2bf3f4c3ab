#pragma once
/// \file squaring.hpp — between a square and a round section of the same area, without a crease.
///
/// In polar coordinates a map keeps area if half the squared radius and the angle come from one function of the old
/// angle and the new half squared radius (a generating function). The one taken here is elementary and analytic inside
/// the section: rings that are circles about the axis grow into squares with ever smaller corners, up to the square
/// itself. So area is kept exactly, edge goes to edge, the map is the identity to third order at the axis, and all its
/// derivatives are continuous but at the four corners. A map on plain square rings would kink on the diagonals; one on
/// rings of straight sides and arcs bends where a side meets its arc. No metal does either. Unit section: square -1..1,
/// disc of radius 2/sqrt(pi). Derived for this program; docs/model.md has the steps.
///
/// Both sections share the rings, so the way leads over them: from a place in either section onto its ring, there
/// perhaps a turn, and off it into the other.

#include "tape/ring.hpp"

namespace etchcast {

/// A place in the square, folded into the eighth 0 <= b <= a: a^2, and b / a, the tangent of its direction. Beyond the
/// bar the nearest metal, so that rounding at a face does no harm.
template <class R>
struct SquarePlace {
  R a2, tangent;
};
template <class R>
inline SquarePlace<R> square_place(R y, R z) {
  using namespace squaring;
  const Folded<R> fold(y, z);
  const R a = fold.a - positive(fold.a - 1), b = fold.b - positive(fold.b - 1);
  return {a * a, b / (a + kTiny<R>)};
}

namespace squaring {

/// What belongs to a ring: k = rho^2, and G = 2 atan(rho) / rho.
template <class R>
struct RingTerms {
  R k, rho, arc;
  explicit RingTerms(R k_new) : k(k_new), rho(std::sqrt(k_new)), arc(2 - 2 * k_new * arc_rest(k_new)) {}
};

/// Where a ring crosses a direction. With m = 1 - k, with c and s of twice the direction's angle, and with
///   E = m^2 + 4 k c,  x = 2 rho m (1 - c) / E,  H = 2 m / E atan(x) / x
/// it does so at a^2 = k (1 + k) (G + c H) / pi. Where x is above 1 the arc is told by 1 / x.
template <class R>
struct Crossing {
  R m, t, secant2, inverse, c, s;  ///< t: tangent of the direction; 1 + t^2, and 1 over it
  R h, grown;                      ///< H, G + c H
  R d, by_d;                       ///< m^2 + 4 k c^2, and 1 over it
  R steep, by_high, rest;          ///< 1 where x is above 1, else 0; 1 / E or the same of x's numerator; arc_rest()
  R rate;                          ///< growth of the disc's angle on the ring, per angle in the square; 0.73 to 2.1

  Crossing(const RingTerms<R>& ring, R tangent) : m(1 - ring.k), t(tangent), secant2(1 + t * t) {
    inverse = 1 / secant2;
    const R four = 4 * ring.k, m2 = m * m;
    c = 2 * inverse - 1, s = 2 * t * inverse;
    d = m2 + four * (c * c), by_d = 1 / (d + kTiny<R>);
    const R e = m2 + four * c, up = 2 * ring.rho * m * (1 - c);
    steep = positive(std::copysign(R(1), up - e - kTiny<R>));
    const R gentle = 1 - steep;
    by_high = 1 / (gentle * e + steep * up + kTiny<R>);
    const R x = (gentle * up + steep * e) * by_high, q = x * x;
    rest = arc_rest(q);
    const R share = 1 - q * rest;
    h = 2 * m * by_high * (gentle * share + steep * (R(kPi / 2) - x * share));
    grown = ring.arc + c * h;
    rate = R(0.5) * (m2 + kTiny<R>)*by_d + R(0.125) * (1 + 3 * ring.k) * (grown * secant2);
  }
  R a2(const RingTerms<R>& ring) const { return R(1 / kPi) * (ring.k * (1 + ring.k)) * grown; }

  /// The disc's angle on the ring.
  R angle(const RingTerms<R>& ring) const {
    const R half = m * s / ((1 + ring.k) * c + std::sqrt(d) + kTiny<R>), q = half * half;
    return half * (1 - q * arc_rest(q)) + R(0.125) * (1 + 3 * ring.k) * (t * (ring.arc - h));
  }
  /// How the section lies to the ring; the way out is (1, t) in the fold.
  Slant<R> slant(const RingTerms<R>& ring) const {
    const R k = ring.k, less = 1 - c, by_e = m * by_high, c2 = c * c;
    const R flat = 2 * by_e * (4 * k * (c2 * (1 + c) * by_d + (by_e * by_e) * (less * rest) * (1 + c2)) - 1);
    const R far = 2 * by_e * ring.rho * (2 * m * c * (1 + c) * by_d - h * (1 + c2));
    const R root = 1 / std::sqrt((1 + k) * grown * secant2), by_both = root * root * secant2;  // 1 / ((1 + k) grown)
    const R skew = t * (ring.arc + (1 - steep) * flat + steep * far) * ((1 + k) * by_both);
    const R lean =
        R(-4 / kPi) * (k * m * (s * c) * by_d * (grown * by_both) + R(0.125) * (1 - 3 * k) * (t * (ring.arc - h)));
    return {1, t, R(2.2567583341910251) * rate * root, skew, lean};  // 4 / sqrt(pi)
  }
};

/// k, or 1 above.
template <class R>
inline R at_most_one(R k) {
  return k - positive(k - 1);
}

}  // namespace squaring

/// The square of the ring through a place, nearly: to 0.008, fitted.
template <class R>
inline R near_ring(const SquarePlace<R>& p) {
  const R a2 = p.a2, t2 = p.tangent * p.tangent;
  const R swell = (R(-0.140598) + t2 * (R(0.213168) + R(0.479271) * t2)) +
                  a2 * ((R(0.0693761) - R(0.529339) * t2) + R(0.0617795) * a2);
  return a2 + a2 * (1 - a2) * swell;
}
/// And nearer, by Newton's method.
template <class R>
inline R ring_through(R near, const SquarePlace<R>& p) {
  using namespace squaring;
  R k = near;
#pragma GCC unroll 3
  for (int round = 0; round < kRounds<R>; ++round) {
    const RingTerms<R> ring(k);
    const Crossing<R> at(ring, p.tangent);
    k = at_most_one(std::abs(k - R(kPi / 4) * at.secant2 * (at.a2(ring) - p.a2) / at.rate));
  }
  return k;
}

/// Onto the ring, with a last step of Newton's method for what is found there.
template <class R>
inline OnRing<R> ring_from_square(R k, const SquarePlace<R>& p, Dual<R> y, Dual<R> z) {
  using namespace squaring;
  const Folded<R> fold(y.v, z.v);
  const RingTerms<R> ring(k);
  const Crossing<R> at(ring, p.tangent);
  const Slant<R> in_fold = at.slant(ring);
  const R k_step = R(kPi / 4) * at.secant2 * (p.a2 - at.a2(ring)) / at.rate, by_rho = 1 / (ring.rho + kTiny<R>);
  const R angle = at.angle(ring) + R(kPi / 8) * in_fold.lean * ((k_step * by_rho) * by_rho);
  const R length = std::sqrt(at.inverse);
  return onto_ring(ring.rho + R(0.5) * (k_step * by_rho), fold.along(R(4 / kPi) * angle),
                   fold.slant(length, p.tangent * length, in_fold.stretch, in_fold.skew, in_fold.lean), y, z);
}

/// The direction in the square of a place on a ring, nearly: its tangent to 0.01.
template <class R>
inline R near_tangent(R k, R along) {
  using namespace squaring;
  const R eighth = Unfolded<R>(along).eighth, e2 = eighth * eighth;
  return eighth + eighth * ((1 - k) * (1 - e2)) * (R(-0.239006) - R(0.0150686) * e2 + R(0.748028) * k);
}
/// And nearer, by Newton's method.
template <class R>
inline R tangent_on(R k, R near, R along) {
  using namespace squaring;
  const RingTerms<R> ring(k);
  const R angle = R(kPi / 4) * Unfolded<R>(along).eighth;
  R tangent = near;
#pragma GCC unroll 3
  for (int round = 0; round < kRounds<R>; ++round) {
    const Crossing<R> at(ring, tangent);
    tangent = at_most_one(std::abs(tangent + at.secant2 * (angle - at.angle(ring)) / at.rate));
  }
  return tangent;
}

/// Off the ring, with a last step of Newton's method for the place.
template <class R>
inline void square_from_ring(const OnRing<R>& ring, R k, R tangent, Dual<R>& y, Dual<R>& z) {
  using namespace squaring;
  const Unfolded<R> fold(ring.along.v);
  const RingTerms<R> terms(k);
  const Crossing<R> at(terms, tangent);
  const Slant<R> in_fold = at.slant(terms);
  const R turn = (R(kPi / 4) * fold.eighth - at.angle(terms)) / at.rate, turned = tangent + at.secant2 * turn;
  const R a = std::sqrt(at.a2(terms)) * (1 + (in_fold.skew - tangent) * turn), b = a * turned;
  const R length = 1 / std::sqrt(1 + turned * turned);
  Slant<R> out{0, 0, in_fold.stretch, fold.hand * in_fold.skew, fold.hand * in_fold.lean};
  fold.out(length, turned * length, out.y, out.z);
  R y_new, z_new;
  fold.out(a, b, y_new, z_new);
  off_ring(ring, out, y_new, z_new, y, z);
}

/// Which circle passes through a place of the disc; beyond the bar the outermost.
template <class R>
inline R circle_through(R y, R z) {
  using namespace squaring;
  return at_most_one(std::sqrt(R(kPi / 4) * (y * y + z * z)));
}

template <class R>
inline OnRing<R> ring_from_disc(R rho, Dual<R> y, Dual<R> z) {
  using namespace squaring;
  const Folded<R> fold(y.v, z.v);
  const R tangent = fold.b / (fold.a + kTiny<R>), c = 1 / std::sqrt(1 + tangent * tangent), s = tangent * c;
  return onto_ring(rho, fold.along(R(4 / kPi) * angle_of(c, s)), fold.slant(c, s, R(1.1283791670955126), R(0), R(0)), y,
                   z);  // 2 / sqrt(pi)
}

template <class R>
inline void disc_from_ring(const OnRing<R>& ring, Dual<R>& y, Dual<R>& z) {
  using namespace squaring;
  constexpr R kRadius = R(1.1283791670955126);  // 2 / sqrt(pi)
  const Unfolded<R> fold(ring.along.v);
  R s, c;
  sine_cosine_eighth(R(kPi / 4) * fold.eighth, s, c);
  Slant<R> at{0, 0, kRadius, 0, 0};
  fold.out(c, s, at.y, at.z);
  const R radius = kRadius * ring.rho.v;
  off_ring(ring, at, radius * at.y, radius * at.z, y, z);
}

/// Square to disc, in place.
template <class R>
inline void disc_from_square(Dual<R>& y, Dual<R>& z) {
  const SquarePlace<R> place = square_place(y.v, z.v);
  disc_from_ring(ring_from_square(ring_through(near_ring(place), place), place, y, z), y, z);
}

/// Disc to square, in place.
template <class R>
inline void square_from_disc(Dual<R>& y, Dual<R>& z) {
  const OnRing<R> ring = ring_from_disc(circle_through(y.v, z.v), y, z);
  const R k = ring.rho.v * ring.rho.v;
  square_from_ring(ring, k, tangent_on(k, near_tangent(k, ring.along.v), ring.along.v), y, z);
}

}  // namespace etchcast
