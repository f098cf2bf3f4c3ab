// The PNG file round its pixels: signature, size, colour space, true scale.
#include "output/png.hpp"

#include <algorithm>
#include <cmath>
#include <new>
#include <span>
#include <string>

#include "etchcast/output.hpp"

namespace etchcast {
namespace png {

namespace {

/// A strip of 32 rows must fit into the 2 GB of a chunk, with room.
constexpr int kMostColumns = 10'000'000;

/// CRC-32 as ISO/IEC 15948, annex D, defines it, bit by bit: for chunks of some bytes.
std::uint32_t crc_of(std::span<const std::uint8_t> bytes) {
  std::uint32_t crc = 0xFFFFFFFFu;
  for (const std::uint8_t byte : bytes) {
    crc ^= byte;
    for (int bit = 0; bit < 8; ++bit) crc = (crc >> 1) ^ (crc & 1 ? 0xEDB88320u : 0u);
  }
  return ~crc;
}

/// Signature and all that must stand before the image data: size, colour space, scale.
void append_head(std::vector<std::uint8_t>& bytes, const Image& image) {
  constexpr std::uint8_t kSignature[] = {0x89, 'P', 'N', 'G', '\r', '\n', 0x1A, '\n'};
  bytes.assign(std::begin(kSignature), std::end(kSignature));
  // Eight bits, RGB, deflate, the five filters, rows from top to bottom.
  append_chunk(bytes, "IHDR", {std::uint32_t(image.columns), std::uint32_t(image.rows)}, {8, 2, 0, 0, 0});
  append_chunk(bytes, "sRGB", {}, {0});  // perceptual intent
  const auto per_metre = std::uint32_t(std::clamp(std::round(image.px_per_mm * 1000), 0.0, 2147483647.0));
  append_chunk(bytes, "pHYs", {per_metre, per_metre}, {1});  // unit: metre
}

void need_sane(const Image& image) {
  const std::string size = std::to_string(image.columns) + " x " + std::to_string(image.rows) + " pixels";
  if (image.columns < 1 || image.rows < 1 || image.columns > kMostColumns)
    throw Error(Fault::use, "a picture of " + size + " does not fit into a PNG file",
                "ask for another --resolution; a row has from 1 to 10 million pixels");
  if (image.rgb.size() != size_t(image.columns) * size_t(image.rows) * 3)
    throw Error(Fault::use, "a picture of " + size + " cannot have " + std::to_string(image.rgb.size()) + " bytes",
                "three bytes a pixel are needed");
}

}  // namespace

void append_chunk(std::vector<std::uint8_t>& bytes, std::string_view name, std::initializer_list<std::uint32_t> words,
                  std::initializer_list<std::uint8_t> rest) {
  const auto append_word = [&](std::uint32_t word) {
    for (int shift = 24; shift >= 0; shift -= 8) bytes.push_back(std::uint8_t(word >> shift));
  };
  append_word(std::uint32_t(4 * words.size() + rest.size()));
  const size_t start = bytes.size();
  for (const char letter : name) bytes.push_back(std::uint8_t(letter));
  for (const std::uint32_t word : words) append_word(word);
  for (const std::uint8_t byte : rest) bytes.push_back(byte);
  append_word(crc_of({bytes.begin() + std::ptrdiff_t(start), bytes.end()}));
}

std::vector<std::uint8_t> file_bytes(const Image& image, AppendPixels* append_pixels) try {
  need_sane(image);
  std::vector<std::uint8_t> bytes;
  append_head(bytes, image);
  append_pixels(bytes, image);
  append_chunk(bytes, "IEND", {});
  return bytes;
} catch (const std::bad_alloc&) {
  throw Error(Fault::use, "there is not enough memory to pack the picture", "ask for a lower --resolution");
}

}  // namespace png

std::vector<std::uint8_t> png_bytes(const Image& image) {
#ifdef ETCHCAST_ISAL
  return png::file_bytes(image, png::append_strips);
#else
  return png::file_bytes(image, png::append_whole);
#endif
}

}  // namespace etchcast
