// src/finish/srgb.cpp — linear light to sRGB bytes (IEC 61966-2-1), exact and without pow in the loop.
#include "finish/srgb.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>

#include "base/clones.hpp"
#include "etchcast/picture.hpp"

namespace etchcast {
namespace {

double encode(double linear) {
  return linear <= 0.0031308 ? 12.92 * linear : 1.055 * std::pow(linear, 1 / 2.4) - 0.055;
}
double decode(double signal) { return signal <= 0.04045 ? signal / 12.92 : std::pow((signal + 0.055) / 1.055, 2.4); }

constexpr int kShift = 16;
constexpr float kLeast = 0x1p-13f;
constexpr std::uint32_t kFirst = (127 - 13) << (23 - kShift), kBins = (13 << (23 - kShift)) + 1;

/// Floats are binned by exponent and the first 7 bits of the mantissa. A bin spans 0.78 % at most, a byte step never
/// less than 0.89 %, so that at most one rounding threshold lies in a bin. An entry is the byte below it, and a
/// fraction to which the rest of the mantissa is added: from the threshold on the sum carries into the byte.
std::array<std::uint32_t, kBins> make_table() {
  std::array<std::uint32_t, kBins> table;
  for (std::uint32_t bin = 0; bin < kBins; ++bin) {
    const std::uint32_t start = (kFirst + bin) << kShift, end = start + (1u << kShift);
    const auto low = std::uint32_t(std::floor(255 * encode(std::bit_cast<float>(start)) + 0.5));
    const auto threshold = std::bit_cast<std::uint32_t>(float(decode((low + 0.5) / 255)));
    table[bin] = ((low + 1) << kShift) - (std::min(threshold, end) - start);
  }
  return table;
}

const std::uint32_t* table() {
  static const std::array<std::uint32_t, kBins> kTable = make_table();
  return kTable.data();
}

// Below 2^-13 every value rounds to 0; NaN falls to the lower bound too.
inline std::uint32_t bits_of(float linear) {
  return std::bit_cast<std::uint32_t>(linear > kLeast ? std::min(linear, 1.0f) : kLeast);
}
inline std::uint32_t bin_of(std::uint32_t bits) { return (bits >> kShift) - kFirst; }
inline std::uint32_t byte_of(std::uint32_t entry, std::uint32_t bits) {
  return (entry + (bits & ((1u << kShift) - 1))) >> kShift;
}

ETCHCAST_CLONES void find_bins(const float* light, int count, std::uint32_t* bin) {
#pragma GCC ivdep
  for (int i = 0; i < count; ++i) bin[i] = bin_of(bits_of(light[i]));
}

/// Outside the clones on purpose: an instruction that looks up many places at once takes longer than one after another.
[[gnu::noinline]] void look_up(const std::uint32_t* table, int count, std::uint32_t* entry) {
  for (int i = 0; i < count; ++i) entry[i] = table[entry[i]];
}

ETCHCAST_CLONES void take_bytes(const float* light, const std::uint32_t* entry, int count, std::uint8_t* bytes) {
#pragma GCC ivdep
  for (int i = 0; i < count; ++i) bytes[i] = std::uint8_t(byte_of(entry[i], bits_of(light[i])));
}

struct Planes {
  const float* light[3];
  std::uint32_t* entry[3];
};

/// Three planes side by side take less time than one after another.
[[gnu::noinline]] void look_up(const std::uint32_t* table, const Planes& planes, Stretch in) {
  std::uint32_t *red = planes.entry[0], *green = planes.entry[1], *blue = planes.entry[2];
  for (int c = in.from; c < in.to; ++c) red[c] = table[red[c]], green[c] = table[green[c]], blue[c] = table[blue[c]];
}

ETCHCAST_CLONES void pack_all(const Planes& planes, Stretch in, std::uint32_t* packed) {
  const float *red = planes.light[0], *green = planes.light[1], *blue = planes.light[2];
  const std::uint32_t *of_red = planes.entry[0], *of_green = planes.entry[1], *of_blue = planes.entry[2];
#pragma GCC ivdep
  for (int c = in.from; c < in.to; ++c)
    packed[c] = byte_of(of_red[c], bits_of(red[c])) | byte_of(of_green[c], bits_of(green[c])) << 8 |
                byte_of(of_blue[c], bits_of(blue[c])) << 16;
}

}  // namespace

float linear_of(std::uint8_t byte) {
  static const auto kLinear = [] {
    std::array<float, 256> linear;
    for (size_t i = 0; i < linear.size(); ++i) linear[i] = float(decode(double(i) / 255.0));
    return linear;
  }();
  return kLinear[byte];
}

std::uint8_t srgb_byte(float linear) {
  const std::uint32_t bits = bits_of(linear);
  return std::uint8_t(byte_of(table()[bin_of(bits)], bits));
}

void srgb_bytes(std::span<const float> linear, std::span<std::uint8_t> bytes) {
  constexpr size_t kPart = 1024;
  std::uint32_t entries[kPart];
  const size_t count = std::min(linear.size(), bytes.size());
  for (size_t done = 0; done < count; done += kPart) {
    const int part = int(std::min(kPart, count - done));
    find_bins(&linear[done], part, entries);
    look_up(table(), part, entries);
    take_bytes(&linear[done], entries, part, &bytes[done]);
  }
}

void Pixels::pack(const Row (&rgb)[3], Stretch in) {
  Planes planes;
  for (int ch = 0; ch < 3; ++ch) {
    entries[ch].resize(rgb[ch].size());
    planes.light[ch] = rgb[ch].data(), planes.entry[ch] = entries[ch].data();
    find_bins(&rgb[ch][size_t(in.from)], in.to - in.from, &entries[ch][size_t(in.from)]);
  }
  look_up(table(), planes, in);
  packed.resize(rgb[0].size());
  pack_all(planes, in, packed.data());
}

}  // namespace etchcast
