// tests/test_png.cpp — PNG files as other programs read them.
#include <omp.h>

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

using namespace etchcast;

namespace {

using Bytes = std::vector<std::uint8_t>;

std::uint32_t word_at(const Bytes& bytes, size_t at) {
  return std::uint32_t(bytes[at]) << 24 | std::uint32_t(bytes[at + 1]) << 16 | std::uint32_t(bytes[at + 2]) << 8 |
         std::uint32_t(bytes[at + 3]);
}

/// CRC-32 by the bit-wise definition in ISO/IEC 15948, annex D.
std::uint32_t crc_of(const std::uint8_t* data, size_t length) {
  std::uint32_t crc = 0xFFFFFFFFu;
  for (size_t i = 0; i < length; ++i) {
    crc ^= data[i];
    for (int bit = 0; bit < 8; ++bit) crc = (crc >> 1) ^ (crc & 1 ? 0xEDB88320u : 0u);
  }
  return ~crc;
}

/// Adler-32 by the definition in RFC 1950, section 8.2.
std::uint32_t adler_of(const Bytes& bytes) {
  std::uint32_t a = 1, b = 0;
  for (const std::uint8_t byte : bytes) a = (a + byte) % 65521, b = (b + a) % 65521;
  return b << 16 | a;
}

struct Chunk {
  std::string name;
  Bytes data;
};

/// Chunks in their order; every CRC is checked on the way.
std::vector<Chunk> chunks_of(const Bytes& png) {
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
std::vector<std::string> order_of(const Bytes& png) {
  std::vector<std::string> names;
  for (const Chunk& chunk : chunks_of(png))
    if (names.empty() || chunk.name != "IDAT" || names.back() != "IDAT") names.push_back(chunk.name);
  return names;
}

Bytes data_of(const Bytes& png, const std::string& name) {
  Bytes all;
  for (const Chunk& chunk : chunks_of(png))
    if (chunk.name == name) all.insert(all.end(), chunk.data.begin(), chunk.data.end());
  return all;
}

/// What the zlib stream of the image data unpacks to.
Bytes unpacked(const Bytes& stream) {
  int length = 0;
  char* plain = stbi_zlib_decode_malloc(reinterpret_cast<const char*>(stream.data()), int(stream.size()), &length);
  REQUIRE(plain);
  const Bytes bytes(plain, plain + length);
  std::free(plain);
  return bytes;
}

Image blank(int columns, int rows, double px_per_mm = 20) {
  return {columns, rows, px_per_mm, Bytes(size_t(columns) * size_t(rows) * 3)};
}

Image gradient(int columns, int rows, double px_per_mm = 20) {
  Image image = blank(columns, rows, px_per_mm);
  for (size_t i = 0; i < image.rgb.size(); ++i) image.rgb[i] = std::uint8_t((i * 7 + i / 300) & 255);
  return image;
}

/// Bytes that nothing packs: the upper eight bits of a linear congruential generator (constants of Numerical Recipes).
Image noise(int columns, int rows) {
  Image image = blank(columns, rows);
  std::uint32_t state = 1;
  for (std::uint8_t& byte : image.rgb) byte = std::uint8_t((state = state * 1664525u + 1013904223u) >> 24);
  return image;
}

/// Noise that repeats from pixel to pixel in the upper half and from row to row in the lower one.
Image grain(int columns, int rows) {
  Image image = noise(columns, rows);
  const size_t row = size_t(columns) * 3;
  for (size_t i = 3; i < image.rgb.size(); ++i) {
    const bool upper = i < image.rgb.size() / 2;
    if (upper && i % row >= 3) image.rgb[i] = image.rgb[i - 3];
    if (!upper && i >= row) image.rgb[i] = image.rgb[i - row];
  }
  return image;
}

bool reads_back(const Image& image) {
  const Bytes png = png_bytes(image);
  int columns = 0, rows = 0, channels = 0;
  stbi_uc* pixels = stbi_load_from_memory(png.data(), int(png.size()), &columns, &rows, &channels, 0);
  REQUIRE(pixels);
  const bool same = columns == image.columns && rows == image.rows && channels == 3 &&
                    std::memcmp(pixels, image.rgb.data(), image.rgb.size()) == 0;
  stbi_image_free(pixels);
  return same;
}

std::string refusal(const Image& image) {
  try {
    png_bytes(image);
  } catch (const Error& error) {
    CHECK(error.fault() == Fault::use);
    REQUIRE(error.diagnostics().size() == 1);
    return error.diagnostics()[0].message + "; " + error.diagnostics()[0].hint;
  }
  return "";
}

}  // namespace

TEST_CASE("png: signature, header and end are those of ISO/IEC 15948", "[output][png]") {
  const Bytes check = {'1', '2', '3', '4', '5', '6', '7', '8', '9'};
  REQUIRE(crc_of(check.data(), check.size()) == 0xCBF43926u);
  const Bytes png = png_bytes(gradient(640, 480));
  const Bytes signature = {0x89, 0x50, 0x4E, 0x47, 0x0D, 0x0A, 0x1A, 0x0A};
  const Bytes end = {0, 0, 0, 0, 0x49, 0x45, 0x4E, 0x44, 0xAE, 0x42, 0x60, 0x82};
  CHECK(Bytes(png.begin(), png.begin() + 8) == signature);
  CHECK(Bytes(png.end() - 12, png.end()) == end);
  CHECK(word_at(png, 16) == 640);
  CHECK(word_at(png, 20) == 480);
  CHECK(word_at(png, 29) == 0xBAB34BB3u);  // CRC of IHDR 640 x 480, RGB, 8 bit
  CHECK(order_of(png) == std::vector<std::string>{"IHDR", "sRGB", "pHYs", "IDAT", "IEND"});
}

TEST_CASE("png: the scale is told in pixels per metre", "[output][png]") {
  const std::pair<double, std::uint32_t> known[] = {
      {300 / 25.4, 11811}, {600 / 25.4, 23622}, {96 / 25.4, 3780}, {17, 17000}};
  for (const auto& [px_per_mm, px_per_metre] : known) {
    const Bytes scale = data_of(png_bytes(gradient(5, 3, px_per_mm)), "pHYs");
    REQUIRE(scale.size() == 9);
    CHECK(word_at(scale, 0) == px_per_metre);
    CHECK(word_at(scale, 4) == px_per_metre);
    CHECK(scale[8] == 1);
  }
}

TEST_CASE("png: another reader finds every pixel", "[output][png]") {
  for (const auto& [columns, rows] :
       {std::pair{1, 1}, {2, 1}, {1, 2}, {3, 200}, {517, 61}, {1, 70000}, {100000, 1}, {90000, 17}, {640, 1000}}) {
    INFO(columns << " x " << rows);
    CHECK(reads_back(gradient(columns, rows)));
    CHECK(reads_back(noise(columns, rows)));
    CHECK(reads_back(grain(columns, rows)));
  }
}

TEST_CASE("png: the image data are one zlib stream of whole filtered rows with its checksum", "[output][png]") {
  for (const auto& [columns, rows] : {std::pair{1, 1}, {640, 1000}, {90000, 17}}) {
    const Bytes png = png_bytes(grain(columns, rows)), stream = data_of(png, "IDAT"), plain = unpacked(stream);
    CHECK((stream[0] * 256 + stream[1]) % 31 == 0);  // RFC 1950, section 2.2
    CHECK(plain.size() == (size_t(columns) * 3 + 1) * size_t(rows));
    CHECK(word_at(stream, stream.size() - 4) == adler_of(plain));
  }
}

TEST_CASE("png: each strip is filtered the way that packs it best", "[output][png]") {
  const int columns = 640, rows = 1200;
  const size_t row = size_t(columns) * 3, third = row * rows / 3;
  Image image = noise(columns, rows);
  for (size_t i = 3; i < image.rgb.size(); ++i) {
    std::uint8_t& byte = image.rgb[i];
    if (i < third)
      byte = image.rgb[i % 3 + 3 * (byte / 16)];  // sixteen colours
    else if (i < 2 * third)
      byte = std::uint8_t(image.rgb[i - 3] + byte % 3 - 1);  // small steps along the row
    else
      byte = std::uint8_t(image.rgb[i - row] + (byte > 250));  // rows nearly alike
  }
  const Bytes png = png_bytes(image), plain = unpacked(data_of(png, "IDAT"));
  CHECK(plain[(row + 1) * 10] == 0);           // None
  CHECK(plain[(row + 1) * (rows / 2)] == 1);   // Sub
  CHECK(plain[(row + 1) * (rows - 10)] == 2);  // Up
}

TEST_CASE("png: runs pack to next to nothing, and noise to hardly more than itself", "[output][png]") {
  const int columns = 640, rows = 1000;
  CHECK(png_bytes(grain(columns, rows)).size() < size_t(columns) * rows * 3 / 50);
  CHECK(png_bytes(noise(columns, rows)).size() < size_t(columns) * rows * 3 * 101 / 100);
  Image odd = blank(columns, rows);  // rows that are tried say nothing of the others
  for (int r = 0; r < rows; ++r)
    if (r % 16) std::ranges::copy(noise(columns, 1).rgb, odd.rgb.begin() + std::ptrdiff_t(r) * columns * 3);
  CHECK(reads_back(odd));
  Image mixed = noise(columns, rows);
  for (int r = 0; r < rows; r += 16) std::fill_n(mixed.rgb.begin() + std::ptrdiff_t(r) * columns * 3, columns * 3, 9);
  CHECK(png_bytes(mixed).size() < size_t(columns) * rows * 3 * 101 / 100);
  CHECK(reads_back(mixed));
}

TEST_CASE("png: any number of threads gives the same bytes", "[output][png]") {
  const int usual = omp_get_max_threads();
  Image mixed = grain(700, 1500);
  for (size_t i = 0; i < mixed.rgb.size(); i += 5) mixed.rgb[i] = std::uint8_t(mixed.rgb[i] + i / 999);
  omp_set_num_threads(1);
  const Bytes one = png_bytes(mixed);
  for (const int threads : {2, 3, 8, 40}) {
    omp_set_num_threads(threads);
    CHECK(png_bytes(mixed) == one);
  }
  omp_set_num_threads(usual);
}

TEST_CASE("png: a picture without pixels, of a size the format cannot hold or with bytes missing is refused",
          "[output][png]") {
  CHECK(refusal(Image{0, 10, 20, {}}).find("0 x 10 pixels") != std::string::npos);
  CHECK(refusal(Image{10, -1, 20, {}}).find("10 x -1 pixels") != std::string::npos);
  CHECK(refusal(Image{2'000'000'000, 1, 20, {}}).find("10 million") != std::string::npos);
  CHECK(refusal(Image{40000, 40000, 20, {}}).find("cannot have 0 bytes") != std::string::npos);
  CHECK(refusal(Image{2, 2, 20, Bytes(11)}).find("three bytes a pixel") != std::string::npos);
}
