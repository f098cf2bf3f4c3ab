#pragma once
/// \file ring.hpp — places on the rings that a square and a round section share, and how either section lies to them.
/// For squaring.hpp, which tells what the rings are.
///
/// Written for loops over lanes. Where a number is held above or below a bound this is done by sums: of a selection the
/// compiler follows both branches far into what comes after.

#include <bit>
#include <cstdint>
#include <type_traits>

#include "tape/dual.hpp"

namespace etchcast {

/// A place on a ring. `along` counts quarter turns from +y towards +z; its derivatives are held times 2 Q
/// (`squaring::sweep`), the area swept: those stay finite on the axis, where an angle's do not.
template <class R>
struct OnRing {
  Dual<R> rho, along;
};

/// Where on the corner arc: angle from the side's normal, 0 on the straight.
template <class R>
struct Arc {
  R alpha, s, c;
};

namespace squaring {

inline constexpr double kPi = 3.14159265358979323846;
/// Added to what is divided by where it may vanish, in half widths.
template <class R>
inline constexpr R kTiny = sizeof(R) == 4 ? R(1e-12) : R(1e-60);
/// Rounds of Newton's method from the starts below, which are within 5e-4.
template <class R>
inline constexpr int kRounds = sizeof(R) == 4 ? 1 : 2;

/// x, or 0 where x is below.
template <class R>
inline R positive(R x) {
  return R(0.5) * (x + std::abs(x));
}

/// Angle of the unit vector (c, s), 0 <= s <= c: an eighth of pi, and the arc sine of what is left. Error below 2e-7 in
/// float, 3e-16 in double; coefficients by interpolation at Chebyshev's nodes.
inline float angle_of(float c, float s) {
  const float m = s * 0.923879533f - c * 0.382683432f, m2 = m * m;
  return 0.392699082f +
         (m + m * m2 * (0.166665314f + m2 * (7.50729814e-2f + m2 * (4.32844217e-2f + m2 * 4.03655699e-2f))));
}
inline double angle_of(double c, double s) {
  constexpr double k[] = {0.1666666666666586713,  0.0750000000021926545,  0.04464285690979906317,
                          0.03038195709389087465, 0.02237176030201055265, 0.0173605594799947884,
                          0.01386777274418241535, 0.01231798467255618492, 0.006103957941335104734,
                          0.01761960360437976332};
  const double m = s * 0.92387953251128675613 - c * 0.38268343236508977173, m2 = m * m;
  double sum = k[9];
#pragma GCC unroll 9
  for (int i = 8; i >= 0; --i) sum = k[i] + m2 * sum;
  return kPi / 8 + (m + m * m2 * sum);
}

/// The arc's radius over rho; at a corner's point, where nothing is left of it, one rounding.
template <class R>
inline R arc_rest(R k) {
  return std::abs(1 - k) + (sizeof(R) == 4 ? R(1e-7) : R(2e-16));
}

/// Area swept by an eighth of the ring as rho grows, Q = dA/drho / 8: as Q / rho from k = rho^2, and its slope dQ/drho.
template <class R>
inline R sweep(R k) {
  return 1 - R(1 - kPi / 4) * ((1 - k) * (1 - 3 * k));
}
template <class R>
inline R sweep_slope(R k) {
  return R(kPi / 4) + R(1 - kPi / 4) * (k * (12 - 15 * k));
}

/// How a section lies to its rings at a place: (y, z) the ring's outward normal. For a small step d, and t the normal
/// turned by a quarter:  stretch drho = normal . d,  2 Q dalong = stretch (t . d) + lean drho.
template <class R>
struct Slant {
  R y, z, stretch, lean;
};

/// Derivatives over a section onto the ring, and off it.
template <class R>
inline OnRing<R> onto_ring(R rho, R along, const Slant<R>& at, R inverse_stretch, Dual<R> y, Dual<R> z) {
  const R out_p = (at.y * y.dp + at.z * z.dp) * inverse_stretch, out_q = (at.y * y.dq + at.z * z.dq) * inverse_stretch;
  const R along_p = at.stretch * (at.y * z.dp - at.z * y.dp) + at.lean * out_p;
  const R along_q = at.stretch * (at.y * z.dq - at.z * y.dq) + at.lean * out_q;
  return {{rho, out_p, out_q}, {along, along_p, along_q}};
}
template <class R>
inline void off_ring(const OnRing<R>& ring, const Slant<R>& at, R y_new, R z_new, Dual<R>& y, Dual<R>& z) {
  const R inverse = 1 / at.stretch;
  const R out_p = at.stretch * ring.rho.dp, along_p = (ring.along.dp - at.lean * ring.rho.dp) * inverse;
  const R out_q = at.stretch * ring.rho.dq, along_q = (ring.along.dq - at.lean * ring.rho.dq) * inverse;
  y = {y_new, at.y * out_p - at.z * along_p, at.y * out_q - at.z * along_q};
  z = {z_new, at.z * out_p + at.y * along_p, at.z * out_q + at.y * along_q};
}

/// A place folded into the eighth 0 <= b <= a.
template <class R>
struct Folded {
  R a, b, y_sign, z_sign;
  bool swapped;
  Folded(R y, R z) : y_sign(std::copysign(R(1), y)), z_sign(std::copysign(R(1), z)) {
    const R ya = std::abs(y), za = std::abs(z);
    swapped = za > ya;
    a = swapped ? za : ya;
    b = swapped ? ya : za;
  }
  /// -1 where the eighth runs against the turn, else 1.
  R hand() const { return y_sign * (swapped ? -z_sign : z_sign); }
  /// Quarter turns, from a fraction of the eighth.
  R along(R eighth) const { return (swapped ? z_sign : 1 - y_sign) + hand() * (R(0.5) * eighth); }
  /// With the normal (c, s) in the fold.
  Slant<R> slant(R c, R s, R stretch, R lean) const {
    return {y_sign * (swapped ? s : c), z_sign * (swapped ? c : s), stretch, hand() * lean};
  }
};

/// The way back: from quarter turns to a fraction of an eighth, and from the fold out into the plane.
template <class R>
struct Unfolded {
  using Bits = std::conditional_t<sizeof(R) == 4, std::uint32_t, std::uint64_t>;
  R eighth, hand, y_sign, z_sign;
  Bits odd;  ///< all digits set or none; plain x86-64 cannot compare numbers of 64 bits
  explicit Unfolded(R along) {
    constexpr R kMagic = sizeof(R) == 4 ? R(12582912) : R(6755399441055744);  // as in sine_cosine
    constexpr Bits kOne = std::bit_cast<Bits>(R(1));
    constexpr int kToSign = 8 * sizeof(R) - 2;
    const R shifted = along + kMagic, part = along - (shifted - kMagic);
    const Bits quarters = std::bit_cast<Bits>(shifted);  // in the lowest digits
    odd = 0 - (quarters & 1);
    eighth = 2 * std::abs(part);
    hand = std::copysign(R(1), part);
    y_sign = std::bit_cast<R>((((quarters ^ (quarters << 1)) & 2) << kToSign) | kOne);
    z_sign = std::bit_cast<R>(((quarters & 2) << kToSign) | kOne);
  }
  void out(R a, R b, R& y, R& z) const {
    const Bits a_bits = std::bit_cast<Bits>(a), b_bits = std::bit_cast<Bits>(hand * b);
    const Bits exchange = (a_bits ^ b_bits) & odd;
    y = y_sign * std::bit_cast<R>(a_bits ^ exchange);
    z = z_sign * std::bit_cast<R>(b_bits ^ exchange);
  }
};

/// How the sweep leans on the corner arc at alpha; on the straight, alpha = 0, by the turn alone.
template <class R>
inline R arc_lean(R k, R eighth, const Arc<R>& arc, R stretch) {
  const R three = 3 * k, lift = arc.s - arc.c + 1 - arc.alpha;
  return three * (1 - stretch * (arc.c - arc.s)) + (1 - three) * (arc.alpha + three * lift) +
         2 * three * ((1 - k) * lift) - eighth * sweep_slope(k);
}

}  // namespace squaring

}  // namespace etchcast
