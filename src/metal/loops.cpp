// Hot loops of the flow solver.
#include "metal/loops.hpp"

#include <cstdint>
#include <cstring>

#include "base/clones.hpp"

namespace etchcast::metal {

// Written out with additions and multiplications only, so that it goes through registers of any width with the same bits;
// the library's pow took a quarter of all time.
ETCHCAST_CLONES void powers(const double* rates, double exponent, double* result, int count) {
  constexpr double kMagic = 6755399441055744.0;  // 1.5 * 2^52: adding it leaves the nearest whole number in the low bits
  for (int i = 0; i < count; ++i) {
    const double square = rates[2 * i] * rates[2 * i] + rates[2 * i + 1] * rates[2 * i + 1] + kSmall * kSmall;
    std::uint64_t bits;
    std::memcpy(&bits, &square, sizeof bits);
    // square = 2^whole * (1 .. 2): about the middle, sqrt 1/2 .. sqrt 2, the logarithm's series is short.
    const std::uint64_t half = (bits + 0x95f619980c433ull) >> 52;
    const std::uint64_t whole_bits = half | 0x4330000000000000ull, part_bits = bits - (half << 52) + 0x3ff0000000000000ull;
    double whole, part;
    std::memcpy(&whole, &whole_bits, sizeof whole);
    std::memcpy(&part, &part_bits, sizeof part);
    const double t = (part - 1) / (part + 1), u = t * t;
    const double series =
        1 + u * (1.0 / 3 + u * (1.0 / 5 + u * (1.0 / 7 + u * (1.0 / 9 + u * (1.0 / 11 + u * (1.0 / 13))))));
    const double y = exponent * (whole - 4503599627371519.0 + 2.8853900817779268 * t * series);  // of base 2
    const double shifted = y + kMagic, f = (y - (shifted - kMagic)) * 0.6931471805599453;
    std::uint64_t power_bits;
    std::memcpy(&power_bits, &shifted, sizeof power_bits);
    power_bits = (power_bits + 1023) << 52;
    double power;
    std::memcpy(&power, &power_bits, sizeof power);
    const double high = 1.0 / 720 + f * (1.0 / 5040 + f * (1.0 / 40320 + f * (1.0 / 362880 + f * (1.0 / 3628800))));
    result[i] = power * (1 + f * (1 + f * (1.0 / 2 + f * (1.0 / 6 + f * (1.0 / 24 + f * (1.0 / 120 + f * high))))));
  }
}

namespace {

/// Sum over four points of ta a' + tb b', row by row: each entry is summed up in a register.
template <int kFrom, int kTo, int kWide>
inline void rows_of_matrix(const double* a, const double* b, const double* ta, const double* tb, double* matrix) {
  for (int i = kFrom; i < kTo; ++i) {
    const double s0 = ta[i], s1 = ta[i + 16], s2 = ta[i + 32], s3 = ta[i + 48];
    const double t0 = tb[i], t1 = tb[i + 16], t2 = tb[i + 32], t3 = tb[i + 48];
    double* row = matrix + 16 * i;
    for (int j = 0; j < kWide; ++j)
      row[j] = (s0 * a[j] + t0 * b[j]) + (s1 * a[j + 16] + t1 * b[j + 16]) + (s2 * a[j + 32] + t2 * b[j + 32]) +
               (s3 * a[j + 48] + t3 * b[j + 48]);
  }
}

}  // namespace

ETCHCAST_CLONES void cell_matrix(const double* a, const double* b, const double* tangent, double* matrix) {
  double ta[16 * kPoints], tb[16 * kPoints];
  for (int point = 0; point < kPoints; ++point, tangent += 3)
    for (int i = 16 * point; i < 16 * point + 16; ++i)
      ta[i] = tangent[0] * a[i] + tangent[1] * b[i], tb[i] = tangent[1] * a[i] + tangent[2] * b[i];
  rows_of_matrix<0, 8, 8>(a, b, ta, tb, matrix);
  rows_of_matrix<8, 16, 16>(a, b, ta, tb, matrix);
}

ETCHCAST_CLONES void cell_vectors(const double* a, const double* b, const double* factors, double* gradient,
                                  double* coupling) {
  for (int i = 0; i < 16; ++i) gradient[i] = coupling[i] = 0;
  for (int point = 0; point < kPoints; ++point, a += 16, b += 16, factors += 4)
    for (int i = 0; i < 16; ++i) {
      gradient[i] += factors[0] * a[i] + factors[1] * b[i];
      coupling[i] += factors[2] * a[i] + factors[3] * b[i];
    }
}

}  // namespace etchcast::metal
