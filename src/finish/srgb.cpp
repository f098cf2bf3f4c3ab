// src/finish/srgb.cpp — linear light to sRGB bytes (IEC 61966-2-1), exact and without pow in the loop.
#include <algorithm>
#include <array>
#include <bit>
#include <cmath>

#include "etchcast/picture.hpp"

namespace etchcast {
namespace {

/// Floats are binned by exponent and the first 8 bits of the mantissa. A bin spans 0.4 % at most, a byte step never
/// less than 0.9 %, so that at most one rounding threshold lies in a bin: its byte is `low` below it and low + 1 above.
class ByteTable {
 public:
  ByteTable() {
    for (std::uint32_t bin = 0; bin < kBins; ++bin) {
      const float start = std::bit_cast<float>((kFirst + bin) << kShift);
      const auto low = std::uint32_t(std::floor(255 * encode(start) + 0.5));
      bins_[bin] = {float(decode((low + 0.5) / 255)), low};
    }
  }
  std::uint8_t byte(float linear) const {
    // Below 2^-13 every value rounds to 0; NaN falls to the lower bound too.
    const float clamped = linear > kLeast ? std::min(linear, 1.0f) : kLeast;
    const Bin& bin = bins_[(std::bit_cast<std::uint32_t>(clamped) >> kShift) - kFirst];
    return std::uint8_t(bin.low + std::uint32_t(clamped >= bin.threshold));
  }

 private:
  struct Bin {
    float threshold;
    std::uint32_t low;
  };
  static constexpr int kShift = 15;
  static constexpr float kLeast = 0x1p-13f;
  static constexpr std::uint32_t kFirst = (127 - 13) << 8, kBins = (13 << 8) + 1;
  static double encode(double linear) {
    return linear <= 0.0031308 ? 12.92 * linear : 1.055 * std::pow(linear, 1 / 2.4) - 0.055;
  }
  static double decode(double signal) {
    return signal <= 0.04045 ? signal / 12.92 : std::pow((signal + 0.055) / 1.055, 2.4);
  }
  std::array<Bin, kBins> bins_;
};

const ByteTable& table() {
  static const ByteTable kTable;
  return kTable;
}

}  // namespace

std::uint8_t srgb_byte(float linear) { return table().byte(linear); }

void srgb_bytes(std::span<const float> linear, std::span<std::uint8_t> bytes) {
  const ByteTable& bytes_of = table();
  const size_t count = std::min(linear.size(), bytes.size());
  for (size_t i = 0; i < count; ++i) bytes[i] = bytes_of.byte(linear[i]);
}

}  // namespace etchcast
