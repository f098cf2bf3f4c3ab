// tests/test_png.cpp — PNG files as other programs read them, whatever packed them.
#include "output/png.hpp"
#include "png_helpers.hpp"

using namespace etchcast;

namespace {

bool reads_back(const Image& image) { return holds_pixels(png_bytes(image), image); }

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

TEST_CASE("png: a picture without pixels, of a size the format cannot hold or with bytes missing is refused",
          "[output][png]") {
  CHECK(refusal(Image{0, 10, 20, {}}).find("0 x 10 pixels") != std::string::npos);
  CHECK(refusal(Image{10, -1, 20, {}}).find("10 x -1 pixels") != std::string::npos);
  CHECK(refusal(Image{2'000'000'000, 1, 20, {}}).find("10 million") != std::string::npos);
  CHECK(refusal(Image{40000, 40000, 20, {}}).find("cannot have 0 bytes") != std::string::npos);
  CHECK(refusal(Image{2, 2, 20, Bytes(11)}).find("three bytes a pixel") != std::string::npos);
}

TEST_CASE("png: stb_image_write, where ISA-L is not found, gives the same parts and the same pixels", "[output][png]") {
  for (const auto& [columns, rows] : {std::pair{1, 1}, {2, 1}, {1, 2}, {517, 61}, {1, 7000}, {10000, 1}, {640, 500}}) {
    INFO(columns << " x " << rows);
    for (const Image& image : {gradient(columns, rows, 17), noise(columns, rows), grain(columns, rows)}) {
      const Bytes whole = png::file_bytes(image, png::append_whole), usual = png_bytes(image);
      CHECK(holds_pixels(whole, image));
      CHECK(order_of(whole) == order_of(usual));
      for (const char* part : {"IHDR", "sRGB", "pHYs", "IEND"}) CHECK(data_of(whole, part) == data_of(usual, part));
    }
  }
}
