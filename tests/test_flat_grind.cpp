// Straight laminates under the bevel: band widths and core lines.
#include <cmath>

#include <fmt/format.h>

#include "catch.hpp"
#include "etchcast/render.hpp"
#include "forge_helpers.hpp"

using namespace etchcast;

namespace {

/// A blade that is a plain rectangle, 150 x H mm, spine S and edge e everywhere, full flat grind.
std::string slab(double height, double spine, double edge) {
  return fmt::format("[blade]\nshape = \"path\"\npath = \"M 0 0 H 150 V {} H 0 Z\"\nspine = \"{} mm\"\nedge = \"{} mm\"\ntang = \"0 mm\"\n", height, spine, edge);
}

/// Heights on a side at which the steel changes, going up from the edge at x.
std::vector<double> changes(const Recipe& recipe, const Forging& f, Side side, double x, double height) {
  const Blade blade(*recipe.blade);
  std::vector<Eigen::Vector2d> line;
  const int n = 20000;
  for (int i = 0; i < n; ++i) line.push_back({x, height * (i + 0.5) / n});
  const auto picks = f.last().picks(bar_from_blade(f.last(), blade, *recipe.blade, side, line));
  std::vector<double> at;
  for (int i = 1; i < n; ++i)
    if (picks[i].steel != picks[i - 1].steel) at.push_back((line[i].y() + line[i - 1].y()) / 2);
  return at;
}

}  // namespace

TEST_CASE("flat grind: a band of a straight laminate is 2H / (N (1 - e/S)) wide", "[blade]") {
  // Identity: the bevel passes through N/2 (1 - e/S) layers over the height H, N = layers within the spine's thickness.
  const double H = 40, S = 3, e = 0.3, layer = 0.1;
  const std::string text = exact_recipe("stack = [\"dark 0.1 mm\", \"bright 0.1 mm\"]\nrepeat = 25", "", slab(H, S, e), "width = \"60 mm\"\nlength = \"200 mm\"\n");
  const Recipe recipe = parse_recipe(text, "t");
  const Forging f = forge(recipe);
  const auto at = changes(recipe, f, Side::right, 75, H);
  REQUIRE(at.size() > 5);
  const double N = S / layer, width = 2 * H / (N * (1 - e / S));
  CHECK((at.back() - at.front()) / (double(at.size()) - 1) == Approx(width).epsilon(2e-3));
  // Oblique cut: thickness / sin(angle between layer and surface); identity (structural geology: t = w sin).
  const double angle = std::atan((S - e) / 2 / H);
  CHECK(layer / std::tan(angle) == Approx(width).epsilon(1e-9));  // measured along y, the blade's height
}

TEST_CASE("san mai: the core's line stands at (2c - e) H / (S - e)", "[blade]") {
  // Identity. H = 48, S = 3, core 1 mm (c = 0.5), e = 0: 16 mm; here e = 0.2.
  const double H = 48, S = 3, e = 0.2, c = 0.5;
  const std::string blade = slab(H, S, e);
  const std::string text = exact_recipe("stack = [\"dark 1.5 mm\", \"bright 1 mm\", \"dark 1.5 mm\"]", "", blade, "width = \"60 mm\"\nlength = \"200 mm\"\n");
  const Recipe recipe = parse_recipe(text, "t");
  const Forging f = forge(recipe);
  for (const Side side : {Side::right, Side::left}) {
    const auto at = changes(recipe, f, side, 75, H);
    REQUIRE(at.size() == 1);
    CHECK(at[0] == Approx((2 * c - e) * H / (S - e)).margin(0.01));
  }
}

TEST_CASE("san mai: a core off centre moves the lines opposite ways on the two sides", "[blade]") {
  const double H = 48, S = 3, e = 0.2, c = 0.5, off = 0.1;
  const std::string text = exact_recipe("stack = [\"dark 1.6 mm\", \"bright 1 mm\", \"dark 1.4 mm\"]", "", slab(H, S, e), "width = \"60 mm\"\nlength = \"200 mm\"\n");
  const Recipe recipe = parse_recipe(text, "t");
  const Forging f = forge(recipe);
  const auto right = changes(recipe, f, Side::right, 75, H), left = changes(recipe, f, Side::left, 75, H);
  REQUIRE(right.size() == 1);
  REQUIRE(left.size() == 1);
  CHECK(right[0] == Approx((2 * (c + off) - e) * H / (S - e)).margin(0.01));
  CHECK(left[0] == Approx((2 * (c - off) - e) * H / (S - e)).margin(0.01));
}

TEST_CASE("flip shows the bar's top on the left", "[blade]") {
  const std::string stack = "stack = [\"dark 2 mm\", \"bright 2 mm\"]";
  const std::string size = "width = \"60 mm\"\nlength = \"200 mm\"\n";
  const std::string blade = slab(40, 3, 0.3);
  const Recipe as_is = parse_recipe(exact_recipe(stack, "", blade, size), "t"), flipped = parse_recipe(exact_recipe(stack, "", blade + "flip = true\n", size), "t");
  const auto steel = [](const Recipe& r, Side side) {
    const Forging f = forge(r);
    return f.last().picks(bar_from_blade(f.last(), Blade(*r.blade), *r.blade, side, {{75, 30}}))[0].steel;
  };
  CHECK(steel(as_is, Side::right) == 1);
  CHECK(steel(as_is, Side::left) == 0);
  CHECK(steel(flipped, Side::right) == 0);
  CHECK(steel(flipped, Side::left) == 1);
}
