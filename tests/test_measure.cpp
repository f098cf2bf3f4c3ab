// Figures read off pictures: against waves of known length and direction (identity), against the recipes that the
// pictures were forged by, and through a PNG and a JPEG.

#include <cmath>
#include <numbers>

#define STB_IMAGE_WRITE_IMPLEMENTATION
#define STB_IMAGE_WRITE_STATIC
#if defined(__GNUC__)
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wunused-function"
#pragma GCC diagnostic ignored "-Wmissing-field-initializers"
#endif
#include <stb_image_write.h>
#if defined(__GNUC__)
#pragma GCC diagnostic pop
#endif

#include "cli_helpers.hpp"
#include "etchcast/measure.hpp"
#include "etchcast/output.hpp"

using namespace etchcast;

namespace {

constexpr double kTau = 2 * std::numbers::pi, kDegree = kTau / 360;

/// A picture of `tone(x, y)`, mm from the lower left corner, 0 dark, 1 bright.
template <class Tone>
Tones drawn(double width_mm, double height_mm, double px_per_mm, Tone tone) {
  Tones t{int(std::lround(width_mm * px_per_mm)), int(std::lround(height_mm * px_per_mm)), px_per_mm, {}, {}};
  t.metal.assign(size_t(t.columns) * t.rows, 1.0f);
  for (int r = 0; r < t.rows; ++r)
    for (int c = 0; c < t.columns; ++c)
      t.bright.push_back(float(tone((c + 0.5) / px_per_mm, (t.rows - r - 0.5) / px_per_mm)));
  return t;
}

double square_wave(double turns) { return std::clamp(0.5 + 2 * std::sin(kTau * turns), 0.0, 1.0); }

/// Lines along the picture, `fine` apart, that go up and down by `swing` over waves of `spacing` that lean by `lean`.
Tones waves(double spacing, double lean, double fine, double swing, double px_per_mm) {
  return drawn(150, 28, px_per_mm, [=](double x, double y) {
    // A wave that leans to the right stands further right the higher it is.
    const double across = x * std::cos(lean) - y * std::sin(lean);
    return square_wave((y + swing * std::sin(kTau * across / spacing)) / fine);
  });
}

Recipe pattern(const std::string& name) {
  return read_recipe(std::string(ETCHCAST_SOURCE_DIR) + "/patterns/" + name + ".toml");
}

/// How much longer the bar is at its end than before its step `name`.
double lengthened(const Forging& forging, const std::string& name, bool itself) {
  const auto& rows = forging.billets.back().rows;
  for (size_t i = 1; i < rows.size(); ++i)
    if (rows[i].step == name) return rows.back().length_mm / rows[itself ? i - 1 : i].length_mm;
  FAIL("no step " << name);
  return 0;
}

void write_bytes(const fs::path& path, const std::vector<std::uint8_t>& bytes) {
  std::ofstream(path, std::ios::binary).write(reinterpret_cast<const char*>(bytes.data()), long(bytes.size()));
}

}  // namespace

TEST_CASE("measure: waves of known length and lean are found within half a per cent", "[measure]") {
  for (const double px : {6.0, 12.0})
    for (const auto& [spacing, lean] : {std::pair{11.0, 0.0}, {8.3, 25.0}, {13.7, -40.0}, {17.0, 5.0}}) {
      const Figures f = measure(waves(spacing, lean * kDegree, 1.1, 0.9, px));
      INFO(spacing << " mm, " << lean << " deg at " << px << " px/mm");
      REQUIRE(f.repeats.size() == 1);
      CHECK(f.repeats[0].spacing_mm == Approx(spacing).epsilon(0.005));
      CHECK(f.repeats[0].lean_rad / kDegree == Approx(lean).margin(0.5));
    }
}

TEST_CASE("measure: the distance is that after which all comes again, not that of a stronger part", "[measure]") {
  // Every second wave is flatter: it is the longer distance that repeats.
  const Figures f = measure(drawn(160, 28, 10, [](double x, double y) {
    const double low = std::sin(kTau * x / 14), swing = 0.5 * std::sin(kTau * x / 7) + 0.35 * low;
    return square_wave((y + swing) / 1.0);
  }));
  REQUIRE(f.repeats.size() == 1);
  CHECK(f.repeats[0].spacing_mm == Approx(14).epsilon(0.005));
}

TEST_CASE("measure: straight lines and strewn drops repeat nothing", "[measure]") {
  CHECK(measure(drawn(150, 28, 10, [](double x, double y) {
          return square_wave((y + 0.03 * x) / 1.3);
        })).repeats.empty());
  const Recipe random = pattern("random");
  CHECK(measure(blade_tones(random, forge(random), Side::right, 8)).repeats.empty());
}

TEST_CASE("measure: lines are counted along rows and columns, and noise is no line", "[measure]") {
  // Stripes 2 mm apart that stand at 30 degrees: along rows 1 / (2 / sin 30) a mm, along columns 1 / (2 / cos 30).
  unsigned dice = 1;
  const Tones t = drawn(60, 40, 12, [&](double x, double y) {
    dice = dice * 1664525u + 1013904223u;
    return square_wave((x * std::sin(30 * kDegree) + y * std::cos(30 * kDegree)) / 2) +
           (double(dice >> 8) / (1 << 24) - 0.5) * 0.2;
  });
  const Figures f = measure(t);
  CHECK(f.lines_along == Approx(0.25).epsilon(0.02));
  CHECK(f.lines_across == Approx(std::cos(30 * kDegree) / 2).epsilon(0.02));
  CHECK(f.bright == Approx(0.5).margin(0.01));
}

TEST_CASE("measure: rungs stand as far apart and lean as the recipe says, at three resolutions", "[measure]") {
  const struct {
    const char* name;
    double spacing, lean;  // as the recipe's press says: counted on the pressed bar, which nothing lengthens afterwards
  } ladders[] = {{"ladder-petty", 12.7, 0}, {"ladder-lost", 12.7, 0}, {"ladder-slanted", 14, 25}};
  for (const auto& ladder : ladders) {
    const Recipe recipe = pattern(ladder.name);
    const Forging forging = forge(recipe);
    for (const double px : {5.0, 8.0, 14.0})
      for (const Side side : {Side::right, Side::left}) {
        const Figures f = measure(blade_tones(recipe, forging, side, px));
        INFO(ladder.name << " at " << px << " px/mm");
        REQUIRE(f.repeats.size() == 1);
        CHECK(f.repeats[0].spacing_mm == Approx(ladder.spacing).epsilon(0.02));
        // The bar's top leans one way and, turned over, its underside the other.
        CHECK(f.repeats[0].lean_rad / kDegree == Approx(side == Side::right ? -ladder.lean : ladder.lean).margin(0.5));
      }
  }
}

TEST_CASE("measure: grooves forged flat and twists drawn out stand apart by spacing times lengthening", "[measure]") {
  const Recipe cut = pattern("ladder-cut");
  const Forging cut_bar = forge(cut);
  const Figures rungs = measure(blade_tones(cut, cut_bar, Side::right, 8));
  REQUIRE(rungs.repeats.size() == 1);
  CHECK(rungs.repeats[0].spacing_mm == Approx(13 * lengthened(cut_bar, "groove", false)).epsilon(0.02));
  // A flat stack twisted shows the same after every half turn (identity).
  for (const auto& [name, turns_per_inch] : {std::pair{"twist", 0.9}, {"twist-stars", 0.8}}) {
    const Recipe twist = pattern(name);
    const Forging bar = forge(twist);
    const Figures stripes = measure(blade_tones(twist, bar, Side::right, 8));
    INFO(name);
    REQUIRE(stripes.repeats.size() == 1);
    const double along = stripes.repeats[0].spacing_mm / std::cos(stripes.repeats[0].lean_rad);
    CHECK(along == Approx(25.4 / turns_per_inch / 2 * lengthened(bar, "twist", false)).epsilon(0.02));
  }
}

TEST_CASE("measure: raindrops stand in a net as the studs do", "[measure]") {
  const Recipe recipe = pattern("raindrop");
  const Forging forging = forge(recipe);
  for (const double px : {6.0, 10.0, 14.0}) {
    const Figures f = measure(blade_tones(recipe, forging, Side::right, px));
    INFO(px << " px/mm");
    REQUIRE(f.neighbours_mm.size() == 3);
    for (const double near : f.neighbours_mm)
      CHECK(near == Approx(13).epsilon(0.02));  // dimple: spacing = "13 mm", in a hexagon
  }
}

TEST_CASE("measure: a part of the blade counts from the heel on both sides", "[measure]") {
  const Recipe recipe = pattern("ladder-petty");
  const Forging forging = forge(recipe);
  const Tones whole = blade_tones(recipe, forging, Side::left, 6),
              part = blade_tones(recipe, forging, Side::left, 6, Part{10, 5, 50, 12});
  CHECK(part.columns == 300);
  CHECK(part.rows == 72);
  // The left side shows the heel at the right: 10 mm from there the part ends.
  const size_t row = size_t(whole.rows - 1 - 6 * 8), from = row * whole.columns + size_t(whole.columns - 6 * 60);
  const size_t own = size_t(part.rows - 1 - 6 * 3) * part.columns;
  double apart = 0;
  for (size_t i = 0; i < 300; ++i) apart += std::abs(whole.bright[from + i] - part.bright[own + i]);
  CHECK(apart / 300 < 0.02);
}

TEST_CASE("measure: a rendered picture read back as PNG gives the same rungs", "[measure]") {
  const Recipe recipe = pattern("ladder-slanted");
  RenderOptions options;
  options.left = false, options.px_per_mm = 12, options.bare = true;
  const Image image = render(recipe, forge(recipe), options);
  const Workshop shop;
  write_bytes(shop.folder() / "own.png", png_bytes(image));
  const Tones t = read_picture((shop.folder() / "own.png").string(), 12);
  REQUIRE(t.columns == image.columns);
  const double tang = recipe.blade->tang_mm;
  const Figures f = measure(part_of(t, {tang + 4, 6, 70, 14}));
  REQUIRE(f.repeats.size() == 1);
  CHECK(f.repeats[0].spacing_mm == Approx(14).epsilon(0.02));
  CHECK(f.repeats[0].lean_rad / kDegree == Approx(-25).margin(1.5));
}

TEST_CASE("measure: a photograph is turned as its camera says", "[measure]") {
  // A bright field with a dark corner at the upper left of what the eye saw.
  std::vector<std::uint8_t> jpeg;
  const auto append = [](void* to, void* data, int size) {
    auto& bytes = *static_cast<std::vector<std::uint8_t>*>(to);
    bytes.insert(bytes.end(), static_cast<std::uint8_t*>(data), static_cast<std::uint8_t*>(data) + size);
  };
  // EXIF 6 (CIPA DC-008): the file's first row is what was seen at the right, its first column what was on top. So the
  // upper left corner as seen is the file's lower left one.
  const int wide = 96, high = 64;
  std::vector<std::uint8_t> grey(size_t(wide) * high, 230);
  for (int r = high - 24; r < high; ++r)
    for (int c = 0; c < 24; ++c) grey[size_t(r) * wide + c] = 20;
  stbi_write_jpg_to_func(append, &jpeg, wide, high, 1, grey.data(), 95);
  const std::uint8_t exif[] = {0xFF, 0xE1, 0x00, 0x22, 'E', 'x', 'i', 'f', 0, 0, 'M', 'M', 0, 42, 0, 0, 0, 8,
                               0,    1,    0x01, 0x12, 0,   3,   0,   0,   0, 1, 0,   6,   0, 0,  0, 0, 0, 0};
  jpeg.insert(jpeg.begin() + 2, std::begin(exif), std::end(exif));
  const Workshop shop;
  write_bytes(shop.folder() / "own.jpg", jpeg);
  const Tones t = read_picture((shop.folder() / "own.jpg").string(), 4);
  CHECK(t.columns == high);
  CHECK(t.rows == wide);
  CHECK(t.bright[size_t(10) * t.columns + 10] < 0.1f);
  CHECK(t.bright[size_t(10) * t.columns + t.columns - 10] > 0.9f);
  CHECK(t.bright[size_t(t.rows - 10) * t.columns + 10] > 0.9f);
}

TEST_CASE("measure: the command says what it needs", "[measure][cli]") {
  Workshop shop;
  with_recipe(shop);
  const Answer right = etchcast_in(shop, "measure ladder.toml --side right --resolution '8 px/mm'");
  CHECK(right.code == 0);
  CHECK(holds(right.out, "every 12.7 mm (0.50 in) straight across, upright"));
  CHECK(holds(etchcast_in(shop, "measure").out, "--picture FILE with --scale"));
  CHECK(holds(etchcast_in(shop, "measure --picture none.png --scale '12 px/mm'").out, "cannot be opened"));
  shop.write("no.png", "this is no picture");
  CHECK(holds(etchcast_in(shop, "measure --picture no.png --scale '12 px/mm'").out, "neither PNG nor JPEG"));
  CHECK(holds(etchcast_in(shop, "measure --picture no.png").out, "--scale"));
  CHECK(holds(etchcast_in(shop, "measure ladder.toml --at 900,0,10,10").out, "outside the picture"));
  CHECK(holds(etchcast_in(shop, "measure ladder.toml --at 10,10,1,1").out, "too little metal"));
  CHECK(etchcast_in(shop, "measure ladder.toml --at 10,10,0,1").code == 2);
}
