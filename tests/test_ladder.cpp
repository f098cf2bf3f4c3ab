// Pressed faces against closed forms.
#include <algorithm>
#include <cmath>
#include <functional>

#include <fmt/format.h>

#include "catch.hpp"
#include "forge_helpers.hpp"
#include "workpiece/relief.hpp"

using namespace etchcast;

namespace {

constexpr double kPi = 3.14159265358979323846;
constexpr double kT = 10, kLayer = 2;  // the pile of five 2 mm plates

/// Plane sections by hand: s at height z over the face zb of a bar pressed to height h, from a flat bar of thickness T.
double plane_section(double z, double zb, double h) { return kT * (z - zb) / h; }

/// Integral of f over 0 .. x by Simpson's rule.
double integral(const std::function<double(double)>& f, double x) {
  const int n = 4000;
  double sum = f(0) + f(x);
  for (int i = 1; i < n; ++i) sum += (i % 2 ? 4 : 2) * f(x * i / n);
  return sum * x / n / 3;
}

}  // namespace

TEST_CASE("press: sine ridges ground to a plane follow T((z-zb)/h) to a ten-thousandth of a layer", "[ladder]") {
  // Exact case: plane sections, one face pressed; identity.
  const double p = 12, d = 1.5;
  const Forging f = forged(exact_recipe(kFivePlates, R"({ do = "press", die = "sine", spacing = "12 mm", depth = "1.5 mm", sides = "top", flow = "plane" },
    { do = "grind", thickness = "6 mm" },)"));
  const Bar& bar = f.last();
  // The plane from both faces lies midway between the deepest top floor (T/2 - d) and the flat bottom (-T/2).
  const double middle = ((kT / 2 - d) - kT / 2) / 2;
  for (double x = 1; x < bar.length_mm - 1; x += 0.37) {
    const double h = kT - d / 2 * (1 + std::cos(2 * kPi * x / p));
    for (const double z : {-2.0, 0.0, 2.5}) CHECK(std::abs(stack_at(bar, x, 3, z) - plane_section(z + middle, -kT / 2, h)) < 1e-4 * kLayer);
  }
}

TEST_CASE("press: along the bar x0 is the integral of h/T", "[ladder]") {
  const double p = 12, d = 1.5;
  const Forging f = forged(exact_recipe(kFivePlates, R"({ do = "press", die = "sine", spacing = "12 mm", depth = "1.5 mm", sides = "offset", flow = "plane" },)"));
  const Bar& bar = f.last();
  const auto h = [&](double x) { return kT - d / 2 * (1 + std::cos(2 * kPi * x / p)) - d / 2 * (1 - std::cos(2 * kPi * x / p)); };
  auto batch = std::make_unique<Batch<double>>();
  *batch = {};
  for (int i = 0; i < kLanes; ++i) batch->x[i] = bar.length_mm * i / kLanes;
  to_flat(bar, *batch);
  for (int i = 0; i < kLanes; i += 7) CHECK(batch->x[i] == Approx(integral([&](double x) { return h(x) / kT; }, bar.length_mm * i / kLanes)).margin(2e-4));
  CHECK(bar.length_mm == Approx(200 * kT / (kT - d)).epsilon(1e-6));
}

TEST_CASE("press: on a bevel each contour is the die's profile, scaled", "[ladder]") {
  const double p = 12, d = 1.5, slope = 0.06;
  const Forging f = forged(exact_recipe(kFivePlates, R"({ do = "press", die = "sine", spacing = "12 mm", depth = "1.5 mm", sides = "top", flow = "plane" },)"));
  // On the plane z = z1 - slope y, s = T (z + T/2) / h(x) is constant where y = (z1 + T/2 - s h(x) / T) / slope: h, scaled.
  const double z1 = -1, s = 3.7;
  for (double x = 5; x < 150; x += 0.61) {
    const double h = kT - d / 2 * (1 + std::cos(2 * kPi * x / p)), y = (z1 + kT / 2 - s * h / kT) / slope;
    CHECK(std::abs(stack_at(f.last(), x, y, z1 - slope * y) - s) < 1e-4 * kLayer);
  }
}

TEST_CASE("press: under short ridges the core hardly moves, under long ones it follows", "[ladder]") {
  // The trade's first complaint, a ladder gone at the bevel (common practice); slow flow: a wave dies out with depth as
  // (1 + kd) exp(-kd) or faster (identity for a half-space), which plane sections do not know.
  const auto swing = [](const std::string& spacing, const std::string& flow) {
    const Forging f = forged(exact_recipe(kFivePlates, "{ do = \"press\", die = \"sine\", depth = \"1 mm\", sides = \"top\", spacing = \"" + spacing + "\", flow = \"" + flow + "\" },"));
    double low = 1e9, high = -1e9;
    for (double x = 60; x < 100; x += 0.25) {
      const double s = stack_at(f.last(), x, 0, 0);
      low = std::min(low, s), high = std::max(high, s);
    }
    return high - low;
  };
  CHECK(swing("8 mm", "metal") < 0.25 * swing("8 mm", "plane"));
  CHECK(swing("38 mm", "metal") > 0.8 * swing("38 mm", "plane"));
}

TEST_CASE("flatten: closed by the metal's flow, grooves keep volume and bring deep layers up", "[ladder]") {
  const Forging f = forged(exact_recipe(kFivePlates, R"({ do = "groove", profile = "round", radius = "4 mm", depth = "2.2 mm", spacing = "20 mm", sides = "top" }, { do = "flatten" },)"));
  const Bar& bar = f.last();
  const auto& rows = f.billets[0].rows;
  CHECK(rows[2].volume_mm3 == Approx(rows[1].volume_mm3).epsilon(1e-9));
  double deepest = 10, highest = 0;
  for (double x = 30; x < 90; x += 0.05) {
    const double s = stack_at(bar, x, 0, bar.top_at(x, 0) - 1e-6);
    deepest = std::min(deepest, s), highest = std::max(highest, s);
  }
  CHECK(deepest == Approx(10 - 2.2).margin(0.05));  // the groove's floor is still the floor of what was the groove
  CHECK(highest == Approx(10).margin(0.02));
}

TEST_CASE("press: two crossed sine presses make domes and basins", "[ladder]") {
  // Area above level c A of cos + cos: 0.5, 0.308312, 0.184782 for c = 0, 0.5, 1; per cell one maximum, two saddles, one
  // minimum. Identity (closed form by integration); small amplitude, so plane sections are linear in it.
  // Ground flat between the two, else the second die would rest on the first one's humps.
  const Forging f = forged(exact_recipe(kFivePlates, R"({ do = "press", die = "sine", spacing = "10 mm", depth = "0.04 mm", sides = "top", flow = "plane" },
    { do = "grind", depth = "0.05 mm", faces = "top" },
    { do = "press", die = "sine", spacing = "10 mm", depth = "0.04 mm", sides = "top", angle = "90 deg", flow = "plane" },
    { do = "grind", depth = "1 mm", faces = "top" },)"));
  const Bar& bar = f.last();
  const int n = 60;
  std::vector<Point<double>> points;
  const double z = bar.top_at(0, 0) - 1;
  for (int j = 0; j < n; ++j)
    for (int i = 0; i < n; ++i) points.push_back({100 + 10.0 * (i + 0.37) / n, -5 + 10.0 * (j + 0.31) / n, z});  // off any symmetry: no ties
  std::vector<double> s;
  for (const Pick& pick : bar.picks(points)) s.push_back(pick.s);
  const auto [low, high] = std::minmax_element(s.begin(), s.end());
  const double middle = (*low + *high) / 2, amplitude = (*high - *low) / 4;
  for (const auto& [level, share] : {std::pair{0.0, 0.5}, {0.5, 0.308312}, {1.0, 0.184782}}) {
    const double above = double(std::count_if(s.begin(), s.end(), [&](double v) { return v > middle + level * amplitude; })) / (n * n);
    CHECK(above == Approx(share).margin(0.02));
  }
  int maxima = 0, minima = 0, saddles = 0;
  for (int j = 0; j < n; ++j)
    for (int i = 0; i < n; ++i) {
      const auto at = [&](int di, int dj) { return s[size_t((j + dj + n) % n) * n + (i + di + n) % n]; };
      const double c = at(0, 0);
      const int ring[8][2] = {{1, 0}, {1, 1}, {0, 1}, {-1, 1}, {-1, 0}, {-1, -1}, {0, -1}, {1, -1}};
      int changes = 0;
      for (int k = 0; k < 8; ++k) changes += (at(ring[k][0], ring[k][1]) > c) != (at(ring[(k + 1) % 8][0], ring[(k + 1) % 8][1]) > c);
      const bool higher = at(1, 0) > c;
      if (changes == 0) (higher ? minima : maxima)++;
      if (changes == 4) ++saddles;
    }
  CHECK(maxima == 1);
  CHECK(minima == 1);
  CHECK(saddles == 2);
}

TEST_CASE("dimples: rings stand where the ball's circle says", "[ladder]") {
  // Ball of radius R cut to depth h: outer ring sqrt(2Rh - h^2); R=5, h=1 gives 3.000. A layer at depth d rings at
  // sqrt(2R(h-d) - (h-d)^2). Identity (circle).
  const Forging f = forged(exact_recipe("stack = [\"dark 0.25 mm\", \"bright 0.25 mm\"]\nrepeat = 20", R"({ do = "drill", ball = true, diameter = "10 mm", depth = "1 mm", spacing = "30 mm", set = "square", sides = "top" },)"));
  const Bar& bar = f.last();
  const double x0 = 90, y0 = 0, R = 5, h = 1;
  CHECK(bar.top_at(x0, y0) == Approx(4).margin(2e-3));
  // The table of the face rounds the rim over a fifth of a millimetre; inside and outside it is right to microns.
  for (const double r : {0.5, 1.0, 1.5, 2.0, 2.5}) CHECK(bar.top_at(x0 + r, y0) == Approx(5 - h + R - std::sqrt(R * R - r * r)).margin(3e-3));
  CHECK(bar.top_at(x0 + 3.5, y0) == Approx(5).margin(3e-3));
  for (const double d : {0.25, 0.5, 0.75}) {
    const double ring = std::sqrt(2 * R * (h - d) - (h - d) * (h - d));
    const auto in = bar.picks({{x0 + ring - 0.05, y0, bar.top_at(x0 + ring - 0.05, y0)}})[0], out = bar.picks({{x0 + ring + 0.05, y0, bar.top_at(x0 + ring + 0.05, y0)}})[0];
    CHECK(in.layer + 1 == out.layer);
  }
}

TEST_CASE("press: staggered and ground off leaves a flat bar with wavy layers", "[ladder]") {
  // Common practice.
  const Forging f = forged(exact_recipe(kFivePlates, R"({ do = "press", die = "round", spacing = "14 mm", depth = "1.4 mm", sides = "offset" }, { do = "grind", thickness = "6.5 mm" },)"));
  const Bar& bar = f.last();
  double low = 1e9, high = -1e9;
  for (double x = 5; x < bar.length_mm - 5; x += 0.5) {
    CHECK(bar.top_at(x, 0) - bar.bottom_at(x, 0) == Approx(6.5).margin(1e-9));
    const double s = stack_at(bar, x, 0, 0);
    low = std::min(low, s), high = std::max(high, s);
  }
  CHECK(high - low > 0.1);  // at mid-thickness, where the metal follows least
}

TEST_CASE("press: held ends lengthen nothing and the humps rise", "[ladder]") {
  const std::string held = R"({ do = "press", die = "round", spacing = "16 mm", depth = "1 mm", sides = "top", ends = "held", flow = "plane" },)";
  const Forging f = forged(exact_recipe(kFivePlates, held));
  CHECK(f.last().length_mm == Approx(200).margin(1e-9));
  CHECK(f.last().top->highest() > 5.05);
  CHECK(f.billets[0].rows.back().volume_mm3 == Approx(200 * 40 * 10.0).epsilon(1e-9));
}

TEST_CASE("press: a second press on an uneven bar joins its faces with the first", "[ladder]") {
  const std::string first = R"({ do = "press", die = "sine", spacing = "12 mm", depth = "1 mm", sides = "top", flow = "plane" },)";
  const std::string second = R"({ do = "press", die = "sine", spacing = "12 mm", depth = "1 mm", sides = "bottom", flow = "plane" },)";
  const std::string both = R"({ do = "press", die = "sine", spacing = "12 mm", depth = "1 mm", sides = "aligned", flow = "plane" },)";
  const Forging a = forged(exact_recipe(kFivePlates, first + second)), b = forged(exact_recipe(kFivePlates, both));
  CHECK(a.last().maps.size() == b.last().maps.size());
  // The first press's humps are carried along by the lengthening of the second, so only the volume is the same.
  CHECK(a.last().volume_mm3 == Approx(b.last().volume_mm3).epsilon(1e-9));
  CHECK(a.last().length_mm == Approx(b.last().length_mm).epsilon(0.01));
}

TEST_CASE("flatten: a grooved bar forged flat shows deep layers where the grooves were", "[ladder]") {
  const Forging f = forged(exact_recipe(kFivePlates, R"({ do = "groove", profile = "round", radius = "4 mm", depth = "2.2 mm", spacing = "20 mm", sides = "top" }, { do = "flatten", flow = "plane" },)"));
  const Bar& bar = f.last();
  CHECK(bar.thickness_mm == Approx(10 - 2.2).margin(1e-3));
  const double stretch = bar.length_mm / 200;
  CHECK(stretch > 1.1);
  // At the face over a groove's middle (every 20 mm of the bar before) the metal lay 2.2 mm deep, in the second plate.
  double deepest = 10, highest = 0;
  for (double x = 30; x < 80; x += 0.05) {
    const double s = stack_at(bar, x, 0, bar.thickness_mm / 2 - 1e-6);
    deepest = std::min(deepest, s), highest = std::max(highest, s);
  }
  CHECK(deepest == Approx(10 - 2.2).margin(5e-3));
  CHECK(highest == Approx(10).margin(5e-3));
}
