#pragma once
/// \file deflate.hpp — deflate (RFC 1951) for rows of pixels of three bytes. What a general packer looks for at every
/// byte is looked for at every pixel: whether the same colour was there lately. A picture of metal has few colours, as
/// its light is nearly one number, so that this finds more in less time.

#include <array>
#include <cstdint>
#include <vector>

namespace etchcast::deflate {

/// What the codes are for. Literals are bytes; a match of k pixels is one symbol whatever its length's code and extra
/// bits; kNothing fills up the three symbols of a token.
inline constexpr int kMatch = 256, kMostPixels = 86, kNothing = kMatch + kMostPixels + 1, kDistance = kNothing + 1;
inline constexpr int kDistances = 30, kSymbols = kDistance + kDistances;
inline constexpr int kBits = 9;                     ///< of a symbol's number
inline constexpr std::uint32_t kWindow = 32 << 10;  ///< bytes a match may reach back

/// Up to so many pixels as tokens: a pixel's three literals, or a match's length and distance with its extra bits.
struct Tokens {
  static constexpr int kMost = 1024;
  int size = 0;
  std::array<std::uint32_t, kMost> symbols;  ///< three, the first lowest; above them the number of extra bits
  std::array<std::uint16_t, kMost> extra;
};

/// Finds where a pixel's value was last.
class Matcher {
 public:
  Matcher() : last_(1 << kHashBits) {}
  /// Forgets all that was seen.
  void begin();
  /// Passes over a byte that belongs to no pixel.
  void skip() { ++at_; }
  /// The next `count` pixels, at most Tokens::kMost; a fourth byte is read behind the last.
  void find(const std::uint8_t* pixels, int count, Tokens& tokens);

 private:
  static constexpr int kHashBits = 12;
  struct Place {
    std::uint32_t value, at;
  };
  void look_back(const std::uint8_t* pixels, int count);
  int join(int count);
  std::vector<Place> last_;  ///< by the value's hash
  std::uint32_t at_ = 0;
  // Pixel by pixel, then token by token.
  std::array<std::uint32_t, Tokens::kMost> value_, there_, distance_;
  std::array<std::uint16_t, Tokens::kMost + 1> end_{};  ///< before the first token all ends at 0
};

/// How often each symbol came.
struct Counts {
  std::array<std::uint32_t, kSymbols> of{};
  void add(int literal) { ++of[std::size_t(literal)]; }
  void add(const Tokens& tokens);
  /// About so many bits would codes made for them take.
  double bits() const;
};

/// Puts bits behind one another, the first lowest.
class BitWriter {
 public:
  BitWriter(std::uint8_t* to, std::uint8_t* end) : to_(to), begin_(to), end_(end) {}
  /// At most 56 bits. The place must have room for eight bytes.
  void put(std::uint64_t bits, int count) {
    bits_ |= bits << held_;
    held_ += count;
    for (int i = 0; i < 8; ++i) to_[i] = std::uint8_t(bits_ >> (8 * i));  // one store
    to_ += held_ >> 3;
    bits_ >>= held_ & 56;
    held_ &= 7;
  }
  void align() { put(0, -held_ & 7); }
  bool has_room(std::size_t bytes) const { return std::size_t(end_ - to_) >= bytes; }
  std::size_t written() const { return std::size_t(to_ - begin_); }

 private:
  std::uint64_t bits_ = 0;
  int held_ = 0;
  std::uint8_t *to_, *begin_, *end_;
};

/// Codes for symbols that come about as often as counted. Every symbol has one.
class Codes {
 public:
  explicit Codes(const Counts& counts);
  /// The head of a block in these codes; its end.
  void begin(bool last, BitWriter& out) const;
  void end(BitWriter& out) const;
  void put(int literal, BitWriter& out) const;
  void put(const Tokens& tokens, BitWriter& out) const;
  static constexpr std::size_t kMostBytes = 512;  ///< of a block's head and end

 private:
  static constexpr int kLiterals = 286, kEnd = 256;  // RFC 1951, 3.2.5
  struct Code {
    std::uint32_t bits = 0;
    std::uint32_t length = 0;
  };
  std::array<std::uint8_t, kLiterals + kDistances> lengths_{};
  std::array<Code, std::size_t(1) << kBits> codes_{};
  Code end_;
};

/// Lengths of a Huffman code of at most `most` bits, one a count; a symbol that never comes gets none.
void code_lengths(const std::uint32_t* counts, int symbols, int most, std::uint8_t* lengths);
/// The codes that belong to lengths (RFC 1951, 3.2.2), the first bit lowest.
void code_bits(const std::uint8_t* lengths, int symbols, std::uint16_t* codes);

}  // namespace etchcast::deflate
