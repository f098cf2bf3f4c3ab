// src/output/matcher.cpp — pixels to tokens.
#include <algorithm>
#include <bit>
#include <cstring>

#include "base/clones.hpp"
#include "output/deflate.hpp"

namespace etchcast::deflate {
namespace {

std::uint32_t pixel_at(const std::uint8_t* bytes) {
  std::uint32_t word;
  std::memcpy(&word, bytes, 4);
  if constexpr (std::endian::native == std::endian::big) word = __builtin_bswap32(word);
  return word & 0xFFFFFF;
}

/// A byte's size, taken for a signed number, and one.
inline std::uint32_t size_of(std::uint32_t byte) { return std::min(byte, 256 - byte) + 1; }

/// Leaves the distances to the same value; 0 for the others, and where three literals are likely to take fewer bits
/// than a match. Filtered bytes have the shorter codes the smaller they are, matches the nearer they are: this bound,
/// found by trying, gives files as small as bounds by the codes' own lengths.
ETCHCAST_CLONES void keep_near(const std::uint32_t* value, const std::uint32_t* there, int count,
                               std::uint32_t* distance) {
#pragma GCC ivdep
  for (int i = 0; i < count; ++i) {
    const std::uint32_t v = value[i];
    const float size = float(std::int32_t(size_of(v & 255) * size_of((v >> 8) & 255) * size_of(v >> 16)));
    const bool near = float(std::int32_t(distance[i])) <= std::min(3 * size * size, float(kWindow));
    distance[i] = (v == there[i]) & near ? distance[i] : 0;
  }
}

/// Symbols of each token. A distance's code is its greatest bit and the one below; the bits below those are extra
/// (RFC 1951, 3.2.5). A token's pixels end before pixel `end`.
ETCHCAST_CLONES void name_tokens(const std::uint32_t* value, const std::uint32_t* distances, const std::uint16_t* end,
                                 int count, std::uint32_t* symbols, std::uint16_t* extra) {
#pragma GCC ivdep
  for (int i = 0; i < count; ++i) {
    const std::uint32_t v = value[i], distance = distances[i], pixels = std::uint16_t(end[i] - end[i - 1]);
    const std::uint32_t from = distance > 0 ? distance - 1u : 0u;
    const std::uint32_t top = (std::bit_cast<std::uint32_t>(float(std::int32_t(from | 1))) >> 23) - 127;
    const std::uint32_t bits = top > 0 ? top - 1 : 0;
    const std::uint32_t code = from < 2 ? from : 2 * top + ((from >> bits) & 1);
    const std::uint32_t match =
        (kMatch + pixels) | (kDistance + code) << kBits | kNothing << (2 * kBits) | bits << (3 * kBits);
    const std::uint32_t literal = (v & 255) | ((v >> 8) & 255) << kBits | (v >> 16) << (2 * kBits);
    symbols[i] = distance > 0 ? match : literal;
    extra[i] = std::uint16_t(distance > 0 ? from & ((1u << bits) - 1) : 0);
  }
}

}  // namespace

void Matcher::begin() {
  std::ranges::fill(last_, Place{0, 0});
  at_ = 2 * kWindow;  // out of reach of the place 0
}

/// Distances to the last pixel of the same hash, and its value. No branch, as noise would make each go the wrong way
/// every other time.
void Matcher::look_back(const std::uint8_t* bytes, int count) {
  Place* last = last_.data();
  std::uint32_t at = at_;
  for (int i = 0; i < count; ++i, at += 3) {
    const std::uint32_t value = pixel_at(bytes + 3 * i);
    Place& place = last[(value * 0x9E3779B1u) >> (32 - kHashBits)];
    value_[std::size_t(i)] = value;
    there_[std::size_t(i)] = place.value;
    distance_[std::size_t(i)] = at - place.at;
    place = {value, at};
  }
  at_ = at;
}

/// A token is a pixel, or goes on from the one before where that one's match does. None goes on from one group of
/// pixels to the next, so that none grows too long. Returns their number.
int Matcher::join(int count) {
  std::uint32_t *value = value_.data(), *distance = distance_.data();
  std::uint16_t* end = end_.data() + 1;
  int token = -1;
  for (int first = 0; first < count; first += kMostPixels) {
    std::uint32_t before = 0;
    for (int i = first; i < std::min(first + kMostPixels, count); ++i) {
      const std::uint32_t here = distance[i];
      token += (here != before) | (here == 0);
      value[token] = value[i], distance[token] = before = here;
      end[token] = std::uint16_t(i + 1);
    }
  }
  return token + 1;
}

void Matcher::find(const std::uint8_t* bytes, int count, Tokens& tokens) {
  look_back(bytes, count);
  keep_near(value_.data(), there_.data(), count, distance_.data());
  tokens.size = join(count);
  name_tokens(value_.data(), distance_.data(), end_.data() + 1, tokens.size, tokens.symbols.data(),
              tokens.extra.data());
}

}  // namespace etchcast::deflate
