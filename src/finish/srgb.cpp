// src/finish/srgb.cpp — linear light to sRGB bytes (IEC 61966-2-1), exact and without pow in the loop.
#include "finish/srgb.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <cstring>

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

ETCHCAST_CLONES void split(const float* light, Stretch in, std::uint16_t* bin, std::uint16_t* rest) {
#pragma GCC ivdep
  for (int c = in.from; c < in.to; ++c) {
    const std::uint32_t bits = bits_of(light[c]);
    bin[c] = std::uint16_t(bin_of(bits)), rest[c] = std::uint16_t(bits);
  }
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

void Pixels::begin(const Row (&rgb)[3], Stretch in) {
  for (int ch = 0; ch < 3; ++ch) {
    bin[ch].resize(rgb[ch].size()), rest[ch].resize(rgb[ch].size());
    split(rgb[ch].data(), in, bin[ch].data(), rest[ch].data());
  }
}

/// Outside the clones, as look_up(). Looked up and put together in one go: rows of entries would have to be written and
/// read again. Four bytes at a time, the fourth of which the next pixel overwrites.
void Pixels::write(Stretch in, std::uint8_t* to) const {
  const std::uint16_t *red = bin[0].data(), *green = bin[1].data(), *blue = bin[2].data();
  const std::uint16_t *red_rest = rest[0].data(), *green_rest = rest[1].data(), *blue_rest = rest[2].data();
  const std::uint32_t* entries = table();
  const auto packed = [=](int c) {
    const std::uint32_t r = entries[red[c]] + red_rest[c], g = entries[green[c]] + green_rest[c];
    const std::uint32_t b = entries[blue[c]] + blue_rest[c];
    return r >> kShift | g >> kShift << 8 | b >> kShift << 16;
  };
  if (in.from >= in.to) return;
  for (int c = in.from; c < in.to - 1; ++c, to += 3) {
    const std::uint32_t pixel = packed(c);
    std::memcpy(to, &pixel, 4);
  }
  const std::uint32_t pixel = packed(in.to - 1);
  std::memcpy(to, &pixel, 3);
}

}  // namespace etchcast
