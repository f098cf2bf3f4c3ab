// src/output/codes.cpp — Huffman codes for tokens, and tokens in them.
#include <algorithm>
#include <bit>
#include <cmath>
#include <numeric>

#include "output/deflate.hpp"

namespace etchcast::deflate {
namespace {

/// A length's code, less the first one's, and its extra bits (RFC 1951, 3.2.5).
struct LengthCode {
  int code, extra_bits;
  std::uint32_t extra;
};
LengthCode code_of_length(int bytes) {
  if (bytes == 258) return {28, 0, 0};
  const int from = bytes - 3;
  if (from < 8) return {from, 0, 0};
  const int bits = std::bit_width(unsigned(from)) - 3;
  return {4 * bits + (from >> bits), bits, std::uint32_t(from) & ((1u << bits) - 1)};
}

/// Lengths one after another: zeros and repeats as counts (RFC 1951, 3.2.7).
struct Item {
  std::uint8_t code, extra_bits, extra;
};
std::vector<Item> in_runs(const std::uint8_t* lengths, int count) {
  std::vector<Item> items;
  for (int i = 0; i < count;) {
    const std::uint8_t length = lengths[i];
    int run = 1;
    while (i + run < count && lengths[i + run] == length) ++run;
    i += run;
    if (length > 0) items.push_back({length, 0, 0}), --run;
    while (run > 0) {
      const bool zeros = length == 0, many = zeros && run > 10;
      const int most = std::min(run, many ? 138 : zeros ? 10 : 6);
      if (most < 3)
        items.push_back({length, 0, 0});
      else
        items.push_back(many    ? Item{18, 7, std::uint8_t(most - 11)}
                        : zeros ? Item{17, 3, std::uint8_t(most - 3)}
                                : Item{16, 2, std::uint8_t(most - 3)});
      run -= most < 3 ? 1 : most;
    }
  }
  return items;
}

double bits_of(const std::uint32_t* counts, int symbols) {
  const double all = std::accumulate(counts, counts + symbols, 0.0);
  double bits = 0;
  for (int i = 0; i < symbols; ++i)
    if (counts[i] > 0) bits += counts[i] * std::max(1.0, std::log2(all / counts[i]));  // a code is a bit or more
  return bits;
}

}  // namespace

/// Each of a token's three symbols is counted for itself, every other token too: a count that was just written is slow
/// to read.
void Counts::add(const Tokens& tokens) {
  constexpr std::uint32_t kMask = (1u << kBits) - 1;
  std::array<std::uint32_t, kSymbols> own[6] = {};
  const auto count = [&](std::uint32_t symbols, int first) {
    ++own[first][symbols & kMask], ++own[first + 1][(symbols >> kBits) & kMask];
    ++own[first + 2][(symbols >> (2 * kBits)) & kMask];
  };
  int i = 0;
  for (; i + 1 < tokens.size; i += 2)
    count(tokens.symbols[std::size_t(i)], 0), count(tokens.symbols[std::size_t(i) + 1], 3);
  if (i < tokens.size) count(tokens.symbols[std::size_t(i)], 0);
  for (const auto& part : own)
    for (std::size_t k = 0; k < part.size(); ++k) of[k] += part[k];
}

double Counts::bits() const {
  double extra = 0;
  for (int pixels = 1; pixels <= kMostPixels; ++pixels)
    extra += double(of[std::size_t(kMatch + pixels)]) * code_of_length(3 * pixels).extra_bits;
  for (int i = 4; i < kDistances; ++i) extra += double(of[std::size_t(kDistance + i)]) * (i / 2 - 1);
  return bits_of(of.data(), kNothing) + bits_of(of.data() + kDistance, kDistances) + extra;
}

Codes::Codes(const Counts& counts) {
  // What was not counted may come all the same: each code that can be needed counts a little.
  constexpr std::uint32_t kOnce = 16;
  std::array<std::uint32_t, kLiterals> literals{};
  std::array<std::uint32_t, kDistances> distances{};
  for (int i = 0; i < kEnd; ++i) literals[std::size_t(i)] = kOnce * counts.of[std::size_t(i)] + 1;
  literals[kEnd] = 1;
  for (int pixels = 1; pixels <= kMostPixels; ++pixels) {
    std::uint32_t& count = literals[std::size_t(kEnd + 1 + code_of_length(3 * pixels).code)];
    count = std::max(count, 1u) + kOnce * counts.of[std::size_t(kMatch + pixels)];
  }
  for (int i = 0; i < kDistances; ++i) distances[std::size_t(i)] = kOnce * counts.of[std::size_t(kDistance + i)] + 1;
  code_lengths(literals.data(), kLiterals, 15, lengths_.data());
  code_lengths(distances.data(), kDistances, 15, lengths_.data() + kLiterals);

  std::array<std::uint16_t, kLiterals + kDistances> bits{};
  code_bits(lengths_.data(), kLiterals, bits.data());
  code_bits(lengths_.data() + kLiterals, kDistances, bits.data() + kLiterals);
  const auto code = [&](int i) { return Code{bits[std::size_t(i)], lengths_[std::size_t(i)]}; };
  for (int i = 0; i < kEnd; ++i) codes_[std::size_t(i)] = code(i);
  for (int i = 0; i < kDistances; ++i) codes_[std::size_t(kDistance + i)] = code(kLiterals + i);
  for (int pixels = 1; pixels <= kMostPixels; ++pixels) {
    const LengthCode length = code_of_length(3 * pixels);
    const Code bare = code(kEnd + 1 + length.code);
    codes_[std::size_t(kMatch + pixels)] = {bare.bits | length.extra << bare.length,
                                            bare.length + std::uint32_t(length.extra_bits)};
  }
  end_ = code(kEnd);
}

void Codes::begin(bool last, BitWriter& out) const {
  constexpr int kKinds = 19;
  constexpr std::uint8_t kOrder[kKinds] = {16, 17, 18, 0, 8, 7, 9, 6, 10, 5, 11, 4, 12, 3, 13, 2, 14, 1, 15};
  const std::vector<Item> items = in_runs(lengths_.data(), kLiterals + kDistances);
  std::array<std::uint32_t, kKinds> counts{};
  for (const Item& item : items) ++counts[item.code];
  std::array<std::uint8_t, kKinds> lengths{};
  std::array<std::uint16_t, kKinds> bits{};
  code_lengths(counts.data(), kKinds, 7, lengths.data());
  code_bits(lengths.data(), kKinds, bits.data());
  out.put(std::uint64_t(last) | 2 << 1, 3);  // codes of its own
  out.put((kLiterals - 257) | (kDistances - 1) << 5 | (kKinds - 4) << 10, 14);
  for (const std::uint8_t kind : kOrder) out.put(lengths[kind], 3);
  for (const Item& item : items) {
    out.put(bits[item.code], lengths[item.code]);
    out.put(item.extra, item.extra_bits);
  }
}

void Codes::end(BitWriter& out) const { out.put(end_.bits, int(end_.length)); }

void Codes::put(int literal, BitWriter& out) const {
  const Code& code = codes_[std::size_t(literal)];
  out.put(code.bits, int(code.length));
}

void Codes::put(const Tokens& tokens, BitWriter& to) const {
  constexpr std::uint32_t kMask = (1u << kBits) - 1;
  BitWriter out = to;  // a copy that lives in registers
  for (int i = 0; i < tokens.size; ++i) {
    const std::uint32_t symbols = tokens.symbols[std::size_t(i)];
    const Code &a = codes_[symbols & kMask], &b = codes_[(symbols >> kBits) & kMask];
    const Code& c = codes_[(symbols >> (2 * kBits)) & kMask];
    const std::uint32_t two = a.length + b.length, three = two + c.length;
    const std::uint64_t bits = a.bits | std::uint64_t(b.bits) << a.length | std::uint64_t(c.bits) << two |
                               std::uint64_t(tokens.extra[std::size_t(i)]) << three;
    out.put(bits, int(three + (symbols >> (3 * kBits))));
  }
  to = out;
}

}  // namespace etchcast::deflate
