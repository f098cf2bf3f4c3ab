#pragma once
/// \file png_helpers.hpp — PNG files as other programs read them, and pictures that try a packer.

#include <algorithm>
#include <cstring>

#include "catch.hpp"
#include "etchcast/output.hpp"

// An independent reader for the round trip. It looks at no checksum: those are checked here by their definitions.
#define STB_IMAGE_IMPLEMENTATION
#define STB_IMAGE_STATIC
#define STBI_ONLY_PNG
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wunused-function"
#include <stb_image.h>
#pragma GCC diagnostic pop

namespace etchcast {

using Bytes = std::vector<std::uint8_t>;

inline std::uint32_t word_at(const Bytes& bytes, size_t at) {
  return std::uint32_t(bytes[at]) << 24 | std::uint32_t(bytes[at + 1]) << 16 | std::uint32_t(bytes[at + 2]) << 8 |
         std::uint32_t(bytes[at + 3]);
}

/// CRC-32 by the bit-wise definition in ISO/IEC 15948, annex D.
inline std::uint32_t crc_of(const std::uint8_t* data, size_t length) {
  std::uint32_t crc = 0xFFFFFFFFu;
  for (size_t i = 0; i < length; ++i) {
    crc ^= data[i];
    for (int bit = 0; bit < 8; ++bit) crc = (crc >> 1) ^ (crc & 1 ? 0xEDB88320u : 0u);
  }
  return ~crc;
}

/// Adler-32 by the definition in RFC 1950, section 8.2.
inline std::uint32_t adler_of(const Bytes& bytes) {
  std::uint32_t a = 1, b = 0;
  for (const std::uint8_t byte : bytes) a = (a + byte) % 65521, b = (b + a) % 65521;
  return b << 16 | a;
}

struct Chunk {
  std::string name;
  Bytes data;
};

/// Chunks in their order; every CRC is checked on the way.
inline std::vector<Chunk> chunks_of(const Bytes& png) {
  std::vector<Chunk> chunks;
  size_t at = 8;
  while (at + 12 <= png.size()) {
    const size_t length = word_at(png, at);
    REQUIRE(at + 12 + length <= png.size());
    chunks.push_back({{png.begin() + long(at) + 4, png.begin() + long(at) + 8},
                      {png.begin() + long(at) + 8, png.begin() + long(at + 8 + length)}});
    CHECK(crc_of(&png[at + 4], length + 4) == word_at(png, at + 8 + length));
    at += 12 + length;
  }
  CHECK(at == png.size());
  return chunks;
}

/// The chunks' names, image data in several chunks named once.
inline std::vector<std::string> order_of(const Bytes& png) {
  std::vector<std::string> names;
  for (const Chunk& chunk : chunks_of(png))
    if (names.empty() || chunk.name != "IDAT" || names.back() != "IDAT") names.push_back(chunk.name);
  return names;
}

inline Bytes data_of(const Bytes& png, const std::string& name) {
  Bytes all;
  for (const Chunk& chunk : chunks_of(png))
    if (chunk.name == name) all.insert(all.end(), chunk.data.begin(), chunk.data.end());
  return all;
}

/// What the zlib stream of the image data unpacks to.
inline Bytes unpacked(const Bytes& stream) {
  int length = 0;
  char* plain = stbi_zlib_decode_malloc(reinterpret_cast<const char*>(stream.data()), int(stream.size()), &length);
  REQUIRE(plain);
  const Bytes bytes(plain, plain + length);
  std::free(plain);
  return bytes;
}

inline Image blank(int columns, int rows, double px_per_mm = 20) {
  return {columns, rows, px_per_mm, Bytes(size_t(columns) * size_t(rows) * 3)};
}

inline Image gradient(int columns, int rows, double px_per_mm = 20) {
  Image image = blank(columns, rows, px_per_mm);
  for (size_t i = 0; i < image.rgb.size(); ++i) image.rgb[i] = std::uint8_t((i * 7 + i / 300) & 255);
  return image;
}

/// Bytes that nothing packs: the upper eight bits of a linear congruential generator (constants of Numerical Recipes).
inline Image noise(int columns, int rows) {
  Image image = blank(columns, rows);
  std::uint32_t state = 1;
  for (std::uint8_t& byte : image.rgb) byte = std::uint8_t((state = state * 1664525u + 1013904223u) >> 24);
  return image;
}

/// Noise that repeats from pixel to pixel in the upper half and from row to row in the lower one.
inline Image grain(int columns, int rows) {
  Image image = noise(columns, rows);
  const size_t row = size_t(columns) * 3;
  for (size_t i = 3; i < image.rgb.size(); ++i) {
    const bool upper = i < image.rgb.size() / 2;
    if (upper && i % row >= 3) image.rgb[i] = image.rgb[i - 3];
    if (!upper && i >= row) image.rgb[i] = image.rgb[i - row];
  }
  return image;
}

/// Whether the file holds the picture's pixels, by another reader.
inline bool holds_pixels(const Bytes& png, const Image& image) {
  int columns = 0, rows = 0, channels = 0;
  stbi_uc* pixels = stbi_load_from_memory(png.data(), int(png.size()), &columns, &rows, &channels, 0);
  REQUIRE(pixels);
  const bool same = columns == image.columns && rows == image.rows && channels == 3 &&
                    std::memcmp(pixels, image.rgb.data(), image.rgb.size()) == 0;
  stbi_image_free(pixels);
  return same;
}

}  // namespace etchcast
