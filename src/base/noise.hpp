#pragma once
/// \file noise.hpp — stateless noise: a value is a function of seed and position, never of call order or thread.
/// All functions are branch-free, so that loops over them vectorise; integer hashing makes them equal on every machine.

#include <cmath>
#include <cstdint>

namespace etchcast {

/// Greatest whole number not above `value`; |value| < 2^31. std::floor is a library call without SSE4.1, this is not.
inline std::int32_t floor_whole(float value) {
  const auto whole = std::int32_t(value);
  return whole - std::int32_t(value < float(whole));
}

/// The same as a float: takes less where the fraction is what is wanted.
inline float floor_of(float value) {
  const float cut = float(std::int32_t(value));
  return cut - (value < cut ? 1.0f : 0.0f);
}

/// Whole coordinates are spread over 32 bits by odd strides and added up; neighbours along i differ by kStride,
/// along j by kStrideUp.
inline constexpr std::uint32_t kStride = 0x9E3779B1u, kStrideUp = 0x85EBCA77u;
inline std::uint32_t spread_bits(std::uint32_t seed, std::int32_t i, std::int32_t j = 0, std::int32_t k = 0) {
  return seed * 0x7FEB352Du + std::uint32_t(i) * kStride + std::uint32_t(j) * kStrideUp +
         std::uint32_t(k) * 0xC2B2AE3Du;
}

/// Mixes bits well (multiply and xor-shift, twice): each input bit turns about half of the output bits.
inline std::uint32_t mix_bits(std::uint32_t bits) {
  bits = (bits ^ (bits >> 16)) * 0x21F0AAADu;
  bits = (bits ^ (bits >> 15)) * 0x735A2D97u;
  return bits ^ (bits >> 15);
}

/// Bits as a number, even in [-1, 1); variance 1/3.
inline float signed_unit(std::uint32_t bits) { return float(std::int32_t(bits)) * 0x1p-31f; }

/// Noise of a seed and up to three whole coordinates.
inline std::uint32_t hash_bits(std::uint32_t seed, std::int32_t i, std::int32_t j = 0, std::int32_t k = 0) {
  return mix_bits(spread_bits(seed, i, j, k));
}
inline float hash_signed(std::uint32_t seed, std::int32_t i, std::int32_t j = 0, std::int32_t k = 0) {
  return signed_unit(hash_bits(seed, i, j, k));
}

/// Weight of the upper neighbour at `fraction` of the way: 3f²-2f³, so that slopes meet at the lattice points.
inline float ease(float fraction) { return fraction * fraction * (3.0f - 2.0f * fraction); }

/// Smooth value noise at a place in a unit square: fractions of the way right and up from its lower left corner, whose
/// spread_bits() are `bits`.
inline float noise_in_square(std::uint32_t bits, float right, float up) {
  // Corners as signed_unit() gives them, but for the power of two: that scales what comes out, and rounds nothing.
  const auto corner = [](std::uint32_t at) { return float(std::int32_t(mix_bits(at))); };
  const float a = ease(right), b = ease(up);
  const float low = corner(bits), low_next = corner(bits + kStride);
  const float high = corner(bits + kStrideUp), high_next = corner(bits + kStrideUp + kStride);
  const float bottom = low + a * (low_next - low), top = high + a * (high_next - high);
  return (bottom + b * (top - bottom)) * 0x1p-31f;
}

/// Smooth value noise in [-1, 1] on a lattice of unit squares; rms about 0.43.
inline float smooth_noise(std::uint32_t seed, float u, float v) {
  const float i = floor_of(u), j = floor_of(v);
  return noise_in_square(spread_bits(seed, std::int32_t(i), std::int32_t(j)), u - i, v - j);
}

}  // namespace etchcast
