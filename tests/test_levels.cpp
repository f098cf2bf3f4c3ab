// The same picture whatever the processor: clones of the hot loops for narrower instruction sets, run on this one.

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <string>
#include <vector>

#include "catch.hpp"
#include "etchcast/render.hpp"
#include "levels/level.hpp"

using namespace etchcast;

namespace {

const std::string kResolution = "4";
/// Together they go through every kind of map: flow, twist, fields, wander, insets.
const std::vector<std::string> kPatterns = {"ladder-petty", "twist", "raindrop", "random", "clad-gyuto"};

std::string path_of(const std::string& pattern) { return ETCHCAST_SOURCE_DIR "/patterns/" + pattern + ".toml"; }

Image picture(const std::string& pattern) {
  const Recipe recipe = read_recipe(path_of(pattern));
  RenderOptions options;
  options.px_per_mm = std::atof(kResolution.c_str());
  return render(recipe, forge(recipe), options);
}

/// One picture from a program that runs at a lower level.
Image next_picture(std::FILE* pipe, int& level) {
  Image image;
  REQUIRE(std::fscanf(pipe, "%d %d %d", &level, &image.columns, &image.rows) == 3);
  REQUIRE(std::fgetc(pipe) == '\n');
  image.rgb.resize(size_t(image.columns) * image.rows * 3);
  REQUIRE(std::fread(image.rgb.data(), 1, image.rgb.size(), pipe) == image.rgb.size());
  return image;
}

/// Share of pixels with a channel more than one level apart.
double share_apart(const Image& a, const Image& b) {
  REQUIRE(a.columns == b.columns);
  REQUIRE(a.rgb.size() == b.rgb.size());
  size_t apart = 0;
  for (size_t i = 0; i < a.rgb.size(); i += 3) {
    int most = 0;
    for (size_t k = i; k < i + 3; ++k) most = std::max(most, std::abs(int(a.rgb[k]) - int(b.rgb[k])));
    apart += most > 1;
  }
  return double(apart) / (double(a.rgb.size()) / 3);
}

void same_pictures(const std::string& program, int most) {
  std::string line = "'" + program + "' " + kResolution;
  for (const std::string& pattern : kPatterns) line += " '" + path_of(pattern) + "'";
  std::FILE* pipe = popen(line.c_str(), "r");
  REQUIRE(pipe);
  for (const std::string& pattern : kPatterns) {
    int level = 0;
    const Image there = next_picture(pipe, level);
    INFO(pattern << " at x86-64-v" << level << " against v" << running_level());
    CHECK(level <= most);
    CHECK(share_apart(picture(pattern), there) <= 1e-4);
  }
  CHECK(pclose(pipe) == 0);
}

}  // namespace

TEST_CASE("levels: plain x86-64 draws the same picture, to one level in 9999 of 10000 pixels", "[levels]") {
  same_pictures(ETCHCAST_PICTURE_V1, 1);
}

TEST_CASE("levels: AVX2 draws the same picture, to one level in 9999 of 10000 pixels", "[levels]") {
  same_pictures(ETCHCAST_PICTURE_V3, 3);
}
