// A smith's own picture: decoded by stb_image, turned upright by what libexif reads of the camera's position.
#include <algorithm>
#include <array>
#include <cmath>
#include <fstream>
#include <memory>

#include <fmt/format.h>
#include <libexif/exif-data.h>

#define STB_IMAGE_IMPLEMENTATION
#define STB_IMAGE_STATIC
#define STBI_ONLY_PNG
#define STBI_ONLY_JPEG
#define STBI_NO_STDIO
#if defined(__GNUC__)
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wunused-function"
#endif
#include <stb_image.h>
#if defined(__GNUC__)
#pragma GCC diagnostic pop
#endif

#include "etchcast/error.hpp"
#include "etchcast/measure.hpp"

namespace etchcast {
namespace {

constexpr long long kMostPixels = 64'000'000, kMostBytes = 200'000'000;

std::vector<unsigned char> bytes_of(const std::string& path) {
  std::ifstream file(path, std::ios::binary | std::ios::ate);
  if (!file)
    throw Error(Fault::use, fmt::format("the picture \"{}\" cannot be opened", path),
                "give the path of a PNG or JPEG file");
  const auto size = static_cast<long long>(file.tellg());
  if (size < 0 || size > kMostBytes)
    throw Error(Fault::use, fmt::format("\"{}\" is no picture that can be measured", path),
                "give a PNG or JPEG file of at most 200 MB");
  std::vector<unsigned char> bytes(static_cast<size_t>(size));
  file.seekg(0);
  file.read(reinterpret_cast<char*>(bytes.data()), size);
  return bytes;
}

/// How the camera was held, 1 .. 8 as EXIF counts; 1 (upright) where the file does not say.
///   Source  CIPA DC-008 (EXIF), tag 0x0112: 2 mirrored, 3 upside down, 4 both, 5 to 8 the same with rows and columns
///           changed over.
int orientation_of(const std::vector<unsigned char>& bytes) {
  const std::unique_ptr<ExifData, void (*)(ExifData*)> data(
      exif_data_new_from_data(bytes.data(), unsigned(bytes.size())), exif_data_unref);
  if (!data) return 1;
  const ExifEntry* entry = exif_content_get_entry(data->ifd[EXIF_IFD_0], EXIF_TAG_ORIENTATION);
  if (!entry || entry->format != EXIF_FORMAT_SHORT || entry->size < 2) return 1;
  const int told = exif_get_short(entry->data, exif_data_get_byte_order(data.get()));
  return told >= 1 && told <= 8 ? told : 1;
}

/// Light of an sRGB byte (IEC 61966-2-1).
std::array<float, 256> light_of_bytes() {
  std::array<float, 256> light{};
  for (int i = 0; i < 256; ++i) {
    const double v = i / 255.0;
    light[size_t(i)] = float(v <= 0.04045 ? v / 12.92 : std::pow((v + 0.055) / 1.055, 2.4));
  }
  return light;
}

/// Spreads the tones so that a twentieth of the pixels lies at or below 0 and a twentieth at or above 1.
void spread_tones(std::vector<float>& tones) {
  std::vector<float> sorted = tones;
  const size_t low = sorted.size() / 20, high = sorted.size() - 1 - low;
  std::nth_element(sorted.begin(), sorted.begin() + long(low), sorted.end());
  const float dark = sorted[low];
  std::nth_element(sorted.begin(), sorted.begin() + long(high), sorted.end());
  const float range = std::max(1e-4f, sorted[high] - dark);
  for (float& t : tones) t = std::clamp((t - dark) / range, 0.0f, 1.0f);
}

}  // namespace

Tones read_picture(const std::string& path, double px_per_mm) {
  const std::vector<unsigned char> bytes = bytes_of(path);
  int width = 0, height = 0, channels = 0;
  const auto refuse = [&](const std::string& why) {
    return Error(Fault::use, fmt::format("\"{}\" is no picture that can be measured: {}", path, why),
                 "give a PNG or JPEG file");
  };
  if (!stbi_info_from_memory(bytes.data(), int(bytes.size()), &width, &height, &channels))
    throw refuse("it is neither PNG nor JPEG");
  if (static_cast<long long>(width) * height > kMostPixels)
    throw Error(Fault::use, fmt::format("\"{}\" has {} x {} pixels, more than 64 million", path, width, height),
                "make it smaller or cut a part out of it");
  const std::unique_ptr<unsigned char, void (*)(void*)> grey(
      stbi_load_from_memory(bytes.data(), int(bytes.size()), &width, &height, &channels, 1), stbi_image_free);
  if (!grey) throw refuse(stbi_failure_reason());
  const int turned = orientation_of(bytes);
  Tones t{turned >= 5 ? height : width, turned >= 5 ? width : height, px_per_mm, {}, {}};
  t.bright.resize(size_t(width) * height), t.metal.assign(t.bright.size(), 1.0f);
  const std::array<float, 256> light = light_of_bytes();
  const bool right_to_left = turned == 2 || turned == 3 || turned == 7 || turned == 8,
             bottom_up = turned == 3 || turned == 4 || turned == 6 || turned == 7;
  for (int r = 0; r < t.rows; ++r)
    for (int c = 0; c < t.columns; ++c) {
      // Of the upright picture's pixel: its place in the file, first as if only rows and columns were changed over.
      int x = turned >= 5 ? r : c, y = turned >= 5 ? c : r;
      if (right_to_left) x = width - 1 - x;
      if (bottom_up) y = height - 1 - y;
      t.bright[size_t(r) * t.columns + c] = light[grey.get()[size_t(y) * width + x]];
    }
  spread_tones(t.bright);
  return t;
}

}  // namespace etchcast
