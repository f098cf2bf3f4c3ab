// tests/test_picture.cpp — relief, tones and light: what must hold whatever the picture shows.
#include <algorithm>
#include <cmath>
#include <tuple>

#include "base/noise.hpp"
#include "catch.hpp"
#include "etchcast/picture.hpp"
#include "finish/reflectance.hpp"

using namespace etchcast;

namespace {

std::vector<Steel> dark_and_bright() {
  std::vector<Steel> steels(2);
  steels[0].tone = 0.1;
  steels[0].attack = 1;
  steels[1].tone = 0.9;
  steels[1].attack = 0;
  return steels;
}

/// A flat field of two steels; `bright(right, up)` is the second one's share in the pixel centred there (mm).
template <typename Bright>
Field two_steel_field(double left_mm, double top_mm, int columns, int rows, double mm_per_px, Bright bright) {
  Field field;
  field.resize(columns, rows, 2);
  field.mm_per_px = mm_per_px;
  field.left_mm = left_mm;
  field.top_mm = top_mm;
  std::fill(field.mask.begin(), field.mask.end(), 1.0f);
  const size_t pixels = size_t(columns) * rows;
  for (int r = 0; r < rows; ++r) {
    for (int c = 0; c < columns; ++c) {
      const double share = bright(left_mm + (c + 0.5) * mm_per_px, top_mm - (r + 0.5) * mm_per_px);
      field.coverage[field.index(r, c)] = float(1 - share);
      field.coverage[field.index(r, c) + pixels] = float(share);
    }
  }
  return field;
}

/// Share of a pixel under bands half as wide as `pitch_mm`, by the exact integral.
double band_share(double at_mm, double mm_per_px, double pitch_mm) {
  const auto integral = [=](double x) {
    const double whole = std::floor(x / pitch_mm);
    return (whole + std::min((x / pitch_mm - whole) * 2, 1.0)) * pitch_mm / 2;
  };
  return (integral(at_mm + mm_per_px / 2) - integral(at_mm - mm_per_px / 2)) / mm_per_px;
}

double mean_green(const Light& light) {
  double sum = 0;
  for (size_t i = 1; i < light.rgb.size(); i += 3) sum += light.rgb[i];
  return sum / double(light.rgb.size() / 3);
}

}  // namespace

TEST_CASE("srgb: bytes are those of IEC 61966-2-1", "[picture][colour]") {
  CHECK(srgb_byte(0.18f) == 118);
  CHECK(srgb_byte(0.5f) == 188);  // 187.516
  CHECK(srgb_byte(0.21586050f) == 128);
  CHECK(srgb_byte(0.00303527f) == 10);
  CHECK(srgb_byte(0.00334654f) == 11);
  CHECK(srgb_byte(0.214040f) == 127);  // signal 0.5 = 127.5 lies at 0.2140411405
  CHECK(srgb_byte(0.214042f) == 128);
  CHECK(srgb_byte(-1.0f) == 0);
  CHECK(srgb_byte(0.0f) == 0);
  CHECK(srgb_byte(1.0f) == 255);
  CHECK(srgb_byte(7.0f) == 255);
  CHECK(srgb_byte(std::nanf("")) == 0);
  for (int byte = 0; byte < 256; ++byte) {
    const double signal = byte / 255.0;
    const double linear = signal <= 0.04045 ? signal / 12.92 : std::pow((signal + 0.055) / 1.055, 2.4);
    CHECK(int(srgb_byte(float(linear))) == byte);
  }
}

TEST_CASE("srgb: the table rounds like the formula between 0 and 1", "[picture][colour]") {
  std::vector<float> linear;
  for (double value = 1e-5; value <= 1; value *= 1.00013) linear.push_back(float(value));
  std::vector<std::uint8_t> bytes(linear.size());
  srgb_bytes(linear, bytes);
  for (size_t i = 0; i < linear.size(); ++i) {
    const double value = linear[i];
    const double exact = 255 * (value <= 0.0031308 ? 12.92 * value : 1.055 * std::pow(value, 1 / 2.4) - 0.055);
    if (std::abs(exact - bytes[i]) > 0.5001) FAIL("linear " << value << " gives " << int(bytes[i]) << " for " << exact);
  }
}

TEST_CASE("reflectance: the optical constants give the published values, nickel over iron over magnetite",
          "[picture][colour]") {
  // Johnson & Christy 1974 (Fe, Ni), Querry 1985 (Fe3O4); red, green, blue.
  const Colour iron = colour_of(kIron), nickel = colour_of(kNickel), magnetite = colour_of(kMagnetite);
  const Colour known_iron{0.5324f, 0.5121f, 0.4961f}, known_nickel{0.7061f, 0.6438f, 0.5717f};
  const Colour known_magnetite{0.1661f, 0.1622f, 0.1676f};
  for (size_t c = 0; c < 3; ++c) {
    CHECK(iron[c] == Approx(known_iron[c]).margin(1e-4));
    CHECK(nickel[c] == Approx(known_nickel[c]).margin(1e-4));
    CHECK(magnetite[c] == Approx(known_magnetite[c]).margin(1e-4));
    CHECK(nickel[c] > iron[c]);
    CHECK(iron[c] > magnetite[c]);
  }
}

TEST_CASE("reflectance: brighter tones give more light, and bare, oxide, coffee darken the dark steel in this order",
          "[picture][colour]") {
  const auto total = [](double tone, FinishKind finish) {
    Steel steel;
    steel.tone = tone;
    const Surface surface = surface_of(steel, finish);
    return surface.metal[1] + surface.film[1];
  };
  for (const FinishKind finish : {FinishKind::bare, FinishKind::oxide, FinishKind::coffee}) {
    for (double tone = 0.1; tone < 1.05; tone += 0.1) CHECK(total(tone, finish) > total(tone - 0.1, finish));
  }
  CHECK(total(0, FinishKind::bare) > 2 * total(0, FinishKind::oxide));
  CHECK(total(0, FinishKind::oxide) > 2 * total(0, FinishKind::coffee));
  CHECK(total(1, FinishKind::oxide) > 0.55);  // satin bright of the trade: 0.55 to 0.65
  CHECK(total(1, FinishKind::oxide) < 0.65);
}

TEST_CASE("relief: the eaten steel lies the etch's depth lower and is the dark one", "[picture][etch]") {
  EtchPlan etch;
  etch.depth_mm = 0.025;
  const Field field = two_steel_field(-1, 1, 40, 40, 0.05, [](double x, double) { return x < 0 ? 1.0 : 0.0; });
  const std::vector<float> height = etched_height(field, dark_and_bright(), etch);
  CHECK(height[field.index(20, 5)] == Approx(0.0).margin(1e-7));
  CHECK(height[field.index(20, 35)] == Approx(-0.025).margin(1e-7));
  const Light light = shade(field, dark_and_bright(), etch, Scratches::along, false);
  const size_t row = size_t(15) * light.columns;
  CHECK(light.rgb[3 * (row + 4) + 1] > 4 * light.rgb[3 * (row + 28) + 1]);
}

TEST_CASE("relief: the flank of a step is as wide as the step is deep", "[picture][etch]") {
  EtchPlan etch;
  etch.depth_mm = 0.020;
  const double px = 0.005;  // the flank takes four pixels
  const Field field = two_steel_field(-0.1, 0.1, 40, 40, px, [](double x, double) { return x < 0 ? 1.0 : 0.0; });
  const std::vector<float> height = etched_height(field, dark_and_bright(), etch);
  for (int c = 0; c < 40; ++c) {
    const double x = -0.1 + (c + 0.5) * px, expected = -0.020 * std::clamp(x / 0.020 + 0.5, 0.0, 1.0);
    CHECK(height[field.index(20, c)] == Approx(expected).margin(1e-6));
  }
}

TEST_CASE("relief: metal does not slope down to the ground beside it", "[picture][etch]") {
  Field field = two_steel_field(0, 0.2, 40, 40, 0.005, [](double, double) { return 0.0; });
  for (int r = 0; r < 40; ++r) {
    for (int c = 20; c < 40; ++c) {
      field.mask[field.index(r, c)] = 0;
      field.coverage[field.index(r, c)] = 0;
    }
  }
  EtchPlan etch;
  etch.depth_mm = 0.020;
  const std::vector<float> height = etched_height(field, dark_and_bright(), etch);
  for (int c = 0; c < 20; ++c) CHECK(height[field.index(20, c)] == Approx(-0.020).margin(1e-7));
  const Light light = shade(field, dark_and_bright(), etch, Scratches::none, false);
  const float inside = light.rgb[3 * 10 + 1], rim = light.rgb[3 * 16 + 1], outside = light.rgb[3 * 17 + 1];
  CHECK(rim == Approx(inside).epsilon(0.15));
  CHECK(outside == 0.0f);
}

TEST_CASE("shade: a fine pattern of equal shares keeps its mean tone at any resolution", "[picture][shade]") {
  for (const FinishKind finish : {FinishKind::bare, FinishKind::oxide, FinishKind::coffee}) {
    EtchPlan etch;
    etch.finish = finish;
    std::vector<double> means;
    for (const double px_per_mm : {5.0, 12.0, 40.0, 100.0}) {
      const double px = 1 / px_per_mm, halo = Field::kHalo * px;
      const int count = int(10 * px_per_mm) + 2 * Field::kHalo;
      const Field field = two_steel_field(20 - halo, 18 + halo, count, count, px,
                                          [=](double x, double y) { return band_share(x + 0.3 * y, px, 0.2); });
      means.push_back(mean_green(shade(field, dark_and_bright(), etch, Scratches::along, false)));
    }
    for (const double mean : means) CHECK(mean == Approx(means.back()).epsilon(0.02));
  }
}

TEST_CASE("shade: the light does not know how the picture was cut into windows", "[picture][shade]") {
  const double px = 1 / 17.3;
  const auto window = [&](int column, int row, int columns, int rows) {
    Field field =
        two_steel_field(-3.7 + column * px, 41.9 - row * px, columns, rows, px, [](double, double) { return 0; });
    const size_t pixels = field.mask.size();
    for (int r = 0; r < rows; ++r) {
      for (int c = 0; c < columns; ++c) {
        const size_t at = field.index(r, c);
        const float share = 0.5f + 0.5f * hash_signed(1, column + c, row + r);
        field.coverage[at] = share;
        field.coverage[at + pixels] = 1 - share;
        field.slope_up[at] = 0.03f * hash_signed(2, column + c, row + r);
        field.slope_right[at] = 0.01f * hash_signed(3, column + c, row + r);
        field.mask[at] = hash_signed(4, column + c, row + r) > -0.9f ? 1.0f : 0.0f;
      }
    }
    return field;
  };
  EtchPlan etch;
  etch.depth_mm = 0.4;  // the widest flank the halo allows
  const Light whole = shade(window(0, 0, 260, 90), dark_and_bright(), etch, Scratches::along, false);
  for (const int column : {0, 1, 37, 120}) {
    const int row = column / 3, columns = 83, rows = 41;
    const Light part = shade(window(column, row, columns, rows), dark_and_bright(), etch, Scratches::along, false);
    size_t different = 0;
    for (int r = 0; r < part.rows; ++r) {
      const float* of_whole = &whole.rgb[3 * (size_t(r + row) * whole.columns + column)];
      const float* of_part = &part.rgb[3 * size_t(r) * part.columns];
      for (int i = 0; i < 3 * part.columns; ++i) different += of_whole[i] != of_part[i];
    }
    CHECK(different == 0);
  }
}

TEST_CASE("shade: no highlight is blown and nothing is darker than black", "[picture][shade]") {
  EtchPlan etch;
  etch.depth_mm = 0.1;
  const double px = 0.02;
  const Field field =
      two_steel_field(0, 30, 800, 300, px, [=](double x, double y) { return band_share(x * 0.7 + y, px, 0.6); });
  const Light light = shade(field, dark_and_bright(), etch, Scratches::along, false);
  std::vector<float> sorted = light.rgb;
  std::sort(sorted.begin(), sorted.end());
  CHECK(sorted.front() >= 0.0f);
  CHECK(sorted[size_t(double(sorted.size()) * 0.999)] < 1.0f);
}

TEST_CASE("shade: plain gives the steels' tones and no light", "[picture][shade]") {
  const Field field = two_steel_field(0, 1, 40, 20, 0.05, [](double x, double) { return x < 1 ? 1.0 : 0.0; });
  const EtchPlan etch;
  const Light light = shade(field, dark_and_bright(), etch, Scratches::along, true);
  CHECK(light.columns == 34);
  CHECK(light.rows == 14);
  const Surface dark = surface_of(dark_and_bright()[0], etch.finish),
                bright = surface_of(dark_and_bright()[1], etch.finish);
  CHECK(light.rgb[1] == Approx(bright.metal[1] + bright.film[1]));
  CHECK(light.rgb[3 * 33 + 1] == Approx(dark.metal[1] + dark.film[1]));
}

TEST_CASE("shade: a light that was used before lights the next window like a new one", "[picture][shade]") {
  const double px = 0.05;
  const auto window = [&](double left, int columns, int rows) {
    Field field =
        two_steel_field(left, 9, columns, rows, px, [=](double x, double y) { return band_share(x + y, px, 0.6); });
    for (size_t i = 0; i < field.mask.size(); ++i)
      field.mask[i] = std::clamp(1.5f * hash_signed(1, int(i / 5)), 0.0f, 1.0f);
    return field;
  };
  EtchPlan etch;
  Lighting lighting(dark_and_bright(), etch, Scratches::along, false);
  for (const auto& [left, columns, rows] : {std::tuple{3.0, 90, 30}, {40.0, 40, 50}, {-7.0, 131, 20}, {3.0, 90, 30}}) {
    const Field field = window(left, columns, rows);
    CHECK(lighting.light(field).rgb == shade(field, dark_and_bright(), etch, Scratches::along, false).rgb);
  }
}

TEST_CASE("lay: metal covers the ground by its share of the pixel, and nothing is written beside it",
          "[picture][shade]") {
  constexpr int kHalo = Field::kHalo, kColumn = -2, kRow = 3;
  Field field = two_steel_field(0, 1, 40, 20, 0.05, [](double x, double) { return x < 1 ? 1.0 : 0.0; });
  const auto share = [](int c) { return c < 10 ? 0.0f : c < 12 ? 0.25f : 1.0f; };
  for (int r = 0; r < field.rows; ++r)
    for (int c = 0; c < field.columns; ++c) field.mask[field.index(r, c)] = r < 10 + kHalo ? share(c - kHalo) : 1.0f;
  Lighting lighting(dark_and_bright(), {}, Scratches::along, false);
  const Light light = lighting.light(field);
  Image image{30, 12, 20, std::vector<std::uint8_t>(30 * 12 * 3, 188)};  // half the light, to less than 1 %
  lighting.lay(field, image, kColumn, kRow);
  int wrong = 0;
  for (int y = 0; y < image.rows; ++y)
    for (int i = 0; i < image.columns * 3; ++i) {
      const int r = y - kRow, c = i / 3 - kColumn;
      const float metal = r < 0 ? 0 : share(c);
      const float lit = r < 0 ? 0 : light.rgb[3 * (size_t(r) * light.columns + c) + i % 3];
      const int byte = image.rgb[size_t(y) * image.columns * 3 + i];
      wrong += std::abs(byte - int(srgb_byte(metal * lit + (1 - metal) * 0.5029f))) > (metal > 0 && metal < 1 ? 1 : 0);
    }
  CHECK(wrong == 0);
}
