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

/// A place on a ring. `rho` is 0 on the axis and 1 at the skin, in proportion to the radius of the ring's disc; `along`
/// counts quarter turns from +y towards +z. Its derivatives are held times 2 rho, the area swept: those stay finite on
/// the axis, where an angle's do not.
template <class R>
struct OnRing {
  Dual<R> rho, along;
};

namespace squaring {

inline constexpr double kPi = 3.14159265358979323846;
/// Added to what is divided by where it may vanish, in half widths.
template <class R>
inline constexpr R kTiny = sizeof(R) == 4 ? R(1e-30) : R(1e-60);
/// Rounds of Newton's method from the starts in squaring.hpp, which are within 0.008; one more step follows as the result
/// is taken, to first order.
template <class R>
inline constexpr int kRounds = sizeof(R) == 4 ? 1 : 3;

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

/// (1 - atan(x) / x) / x^2, from q = x^2 up to 1. Error below 1e-7 in float, 1e-16 in double; coefficients by
/// interpolation at Chebyshev's nodes.
inline float arc_rest(float q) {
  return 0.333333231f +
         q * (-0.199986812f +
              q * (0.142570449f +
                   q * (-0.108657591f +
                        q * (8.00968172e-2f + q * (-4.89143215e-2f + q * (2.00267476e-2f - q * 3.86673891e-3f))))));
}
inline double arc_rest(double q) {
  constexpr double k[] = {0.33333333333333331,  -0.19999999999997531,   0.14285714285384132,   -0.11111111093490827,
                          0.090909085908919343, -0.076922989710332165,  0.066665646992891042,  -0.058815068777936561,
                          0.052579733342841106, -0.047377495795277787,  0.042603566326016522,  -0.037494868125352472,
                          0.031277189066996385, -0.023696731580048619,  0.015535152475414175,  -0.0083689311784501605,
                          0.0034958859739163089, -0.0010496035084968513, 0.00019996189377901376, -1.8061954618612148e-05};
  double sum = k[19];
#pragma GCC unroll 19
  for (int i = 18; i >= 0; --i) sum = k[i] + q * sum;
  return sum;
}

/// How a section lies to its rings at a place: (y, z) the way out from the axis. For a small step, d_out along it and
/// d_round along the same turned by a quarter:
///   stretch drho = d_out - skew d_round,  2 rho dalong = stretch d_round + lean drho.
/// Area is kept whatever the four are.
template <class R>
struct Slant {
  R y, z, stretch, skew, lean;
};

/// Derivatives over a section onto the ring, and off it.
template <class R>
inline OnRing<R> onto_ring(R rho, R along, const Slant<R>& at, Dual<R> y, Dual<R> z) {
  const R inverse = 1 / at.stretch;
  const R round_p = at.y * z.dp - at.z * y.dp, round_q = at.y * z.dq - at.z * y.dq;
  const R rho_p = (at.y * y.dp + at.z * z.dp - at.skew * round_p) * inverse;
  const R rho_q = (at.y * y.dq + at.z * z.dq - at.skew * round_q) * inverse;
  return {{rho, rho_p, rho_q},
          {along, at.stretch * round_p + at.lean * rho_p, at.stretch * round_q + at.lean * rho_q}};
}
template <class R>
inline void off_ring(const OnRing<R>& ring, const Slant<R>& at, R y_new, R z_new, Dual<R>& y, Dual<R>& z) {
  const R inverse = 1 / at.stretch;
  const R round_p = (ring.along.dp - at.lean * ring.rho.dp) * inverse;
  const R round_q = (ring.along.dq - at.lean * ring.rho.dq) * inverse;
  const R out_p = at.stretch * ring.rho.dp + at.skew * round_p, out_q = at.stretch * ring.rho.dq + at.skew * round_q;
  y = {y_new, at.y * out_p - at.z * round_p, at.y * out_q - at.z * round_q};
  z = {z_new, at.z * out_p + at.y * round_p, at.z * out_q + at.y * round_q};
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
  /// With the way out (c, s) in the fold.
  Slant<R> slant(R c, R s, R stretch, R skew, R lean) const {
    return {y_sign * (swapped ? s : c), z_sign * (swapped ? c : s), stretch, hand() * skew, hand() * lean};
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

}  // namespace squaring

}  // namespace etchcast
