// tests/test_png_strips.cpp — pictures packed strip by strip with ISA-L.
#include <omp.h>

#include "png_helpers.hpp"

using namespace etchcast;

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

TEST_CASE("png: runs pack to next to nothing, and noise to hardly more than itself", "[output][png]") {
  const int columns = 640, rows = 1000;
  CHECK(png_bytes(grain(columns, rows)).size() < size_t(columns) * rows * 3 / 50);
  CHECK(png_bytes(noise(columns, rows)).size() < size_t(columns) * rows * 3 * 101 / 100);
  Image odd = blank(columns, rows);  // rows that are tried say nothing of the others
  for (int r = 0; r < rows; ++r)
    if (r % 16) std::ranges::copy(noise(columns, 1).rgb, odd.rgb.begin() + std::ptrdiff_t(r) * columns * 3);
  CHECK(holds_pixels(png_bytes(odd), odd));
  Image mixed = noise(columns, rows);
  for (int r = 0; r < rows; r += 16) std::fill_n(mixed.rgb.begin() + std::ptrdiff_t(r) * columns * 3, columns * 3, 9);
  CHECK(png_bytes(mixed).size() < size_t(columns) * rows * 3 * 101 / 100);
  CHECK(holds_pixels(png_bytes(mixed), mixed));
}
