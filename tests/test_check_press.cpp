// What check() says of pressings: how deep to grind, what stays flat, how rungs lie, what folds shut.
#include <cmath>
#include <numbers>
#include <regex>

#include <fmt/format.h>

#include "catch.hpp"
#include "check/pressing.hpp"
#include "check_helpers.hpp"
#include "etchcast/error.hpp"
#include "forge_helpers.hpp"
#include "workpiece/relief.hpp"

using namespace etchcast;

namespace {

const std::string kFine = "stack = [\"dark 0.1 mm\", \"bright 0.1 mm\"]\nrepeat = 50";  // 10 mm, 100 layers

std::string press(const std::string& keys) { return "{ do = \"press\", " + keys + " },\n"; }

std::vector<Warning> checked_steps(const std::string& steps, const std::string& pile = kFine) { return checked(exact_recipe(pile, steps)); }

}  // namespace

TEST_CASE("check: told how deep to grind, half of the wave is there and no more", "[check]") {
  for (const std::string keys : {"die = \"sine\", spacing = \"10 mm\", depth = \"1 mm\", sides = \"top\"",
                                 "die = \"round\", spacing = \"11 mm\", depth = \"1.2 mm\", sides = \"offset\""}) {
    const std::string steps = press(keys);
    const auto all = checked_steps(steps);
    const Warning* found = find(all, "Half of the wave is left");
    REQUIRE(found);
    std::smatch figures;
    REQUIRE(std::regex_search(found->text, figures, std::regex("left ([0-9.]+) mm .* below the floors")));
    // By the picture's own maps: the range of layers along a repeat at the floors, and that far below.
    const Forging f = forged(exact_recipe(kFine, steps));
    const Bar& bar = f.last();
    const auto range = [&](double z) {
      double low = 1e9, high = -1e9;
      for (double x = 80; x < 102; x += 0.1) {
        const double s = stack_at(bar, x, 0, std::min(z, bar.top_at(x, 0)));
        low = std::min(low, s), high = std::max(high, s);
      }
      return high - low;
    };
    const double floor = bar.top->lowest(), deep = std::stod(figures[1]);
    CHECK(range(floor - deep) / range(floor) == Approx(0.5).margin(0.06));
    // An endless body keeps half of a wave of 10 mm to kd = 1.678 (identity: (1 + kd) exp(-kd) = 1/2).
    if (keys.find("sine") != std::string::npos) CHECK(deep == Approx(1.678 / (2 * std::numbers::pi / 10)).margin(0.8));
    const Warning* still = find(all, "move by less than one layer");
    REQUIRE(still);
    CHECK(still->text.find(" in)") != std::string::npos);
  }
  // Long waves go all the way through.
  CHECK(find(checked_steps(press("die = \"sine\", spacing = \"60 mm\", depth = \"1 mm\", sides = \"offset\"")), "goes all the way through"));
}

TEST_CASE("check: rungs lie on the blade as later steps have turned and stretched them", "[check]") {
  // Lines of slope tan a in a bar stretched by lx along and ly across: tan a' = tan a lx / ly. Identity.
  const std::string steps = press("spacing = \"12 mm\", depth = \"1 mm\", angle = \"30 deg\"") +
                            "{ do = \"grind\", thickness = \"7 mm\" }, { do = \"draw\", thickness = \"3.5 mm\", width = \"40 mm\" },";
  const Forging f = forged(exact_recipe(kFine, steps));
  const BilletStory& story = f.billets[0];
  const double a = std::numbers::pi / 6;
  const Rungs rungs = rungs_after(story, 1, 3, {12, a});
  CHECK(std::tan(rungs.angle) == Approx(2 * std::tan(a)));
  CHECK(rungs.spacing == Approx(12 / std::hypot(std::cos(a) / 2, std::sin(a))));
  // And so do the layers: the ground bar's figure is the same a spacing on, along the rungs' normal as told.
  const Bar& bar = f.last();
  double worst = 0, swing = 0;
  for (int i = 0; i < 40; ++i) {
    const double x = 150 + 0.7 * i, y = -3, z = 0.9;
    const double s = stack_at(bar, x, y, z);
    worst = std::max(worst, std::abs(stack_at(bar, x + rungs.spacing * std::cos(rungs.angle), y + rungs.spacing * std::sin(rungs.angle), z) - s));
    swing = std::max(swing, std::abs(s - stack_at(bar, 150, y, z)));
  }
  CHECK(swing > 0.2);
  CHECK(worst < 0.01 * swing);
  const std::string wide = press("spacing = \"30 mm\", depth = \"1.5 mm\", angle = \"30 deg\"") +
                           "{ do = \"grind\", thickness = \"5 mm\" }, { do = \"draw\", thickness = \"2.5 mm\", width = \"40 mm\" },";
  CHECK(find(checked(exact_recipe(kFine, wide)), "at 49 deg; they were pressed 30.0 mm (1.18 in) apart at 30 deg"));
}

TEST_CASE("check: of two presses into one another the last is judged, with the waves of both", "[check]") {
  const auto all = checked_steps(press("spacing = \"14 mm\", depth = \"1 mm\", sides = \"top\"") + press("spacing = \"14 mm\", depth = \"1 mm\", sides = \"bottom\""));
  int judged = 0;
  for (const Warning& w : all) judged += w.about.find("step 1") != std::string::npos && w.text.find("welded") == std::string::npos;
  CHECK(judged == 0);
  const std::string thin = press("spacing = \"30 mm\", depth = \"1 mm\", sides = \"top\"") + press("spacing = \"30 mm\", depth = \"1 mm\", sides = \"bottom\", phase = \"50 %\"");
  const double seen = 30 * forged(exact_recipe(kFine, thin)).billets[0].rows[2].reduction;
  CHECK(find(checked_steps(thin), fmt::format("rungs stand {:.1f} mm", seen)));
  CHECK_FALSE(find(all, "rough forecast"));
  CHECK(warned(checked_steps(press("spacing = \"14 mm\", depth = \"1 mm\", sides = \"top\"") + press("spacing = \"9 mm\", depth = \"1 mm\", sides = \"bottom\"")),
               "rough forecast"));
}

TEST_CASE("check: slots fold shut, vees of 90 degrees do not", "[check]") {
  // Common practice: vees are less apt to fold shut than slots.
  const auto flattened = [](const std::string& groove) { return checked_steps("{ do = \"groove\", spacing = \"14 mm\", sides = \"top\", " + groove + " }, { do = \"flatten\" },"); };
  CHECK(warned(flattened("profile = \"square\", floor = \"1 mm\", depth = \"2 mm\""), "cold shut"));
  CHECK_FALSE(find(flattened("profile = \"vee\", flank = \"45 deg\", depth = \"2 mm\""), "cold shut"));
  CHECK_FALSE(find(flattened("profile = \"round\", radius = \"3 mm\", depth = \"1.5 mm\""), "cold shut"));
}

TEST_CASE("check: metal at the die's root is told with its height", "[check]") {
  const auto all = checked_steps(press("spacing = \"14 mm\", depth = \"1.5 mm\", ridge = \"1.4 mm\""));
  CHECK(warned(all, "reaches the root of the upper die"));
  CHECK(warned(all, "reaches the root of the lower die"));
  CHECK_FALSE(find(checked_steps(press("spacing = \"14 mm\", depth = \"1.5 mm\", ridge = \"3 mm\"")), "root of the"));
}

TEST_CASE("check: rungs of a bar drawn out after the press are told as they lie, with the lines that are left", "[check]") {
  // The bar lengthens by so much, and the rungs move apart with it: identity.
  const std::string steps = press("spacing = \"14 mm\", depth = \"1.6 mm\", nose = \"4 mm\"") + "{ do = \"draw\", thickness = \"5 mm\", width = \"40 mm\" },";
  const Forging f = forged(exact_recipe(kFine, steps));
  const double along = f.last().length_mm / f.billets[0].rows[1].length_mm;
  const auto all = checked_steps(steps);
  CHECK(find(all, fmt::format("rungs stand {:.1f} mm", 14 * along)));
  CHECK(find(all, "they were pressed 14.0 mm (0.55 in) apart"));
  CHECK_FALSE(find(all, "below the floors"));  // there are none any more
  // Counted on the map: the range of the stack along two repeats, at mid-height, over the layer's thickness there.
  double low = 10, high = 0;
  for (double x = 160; x < 160 + 28 * along; x += 0.2) {
    const double s = stack_at(f.last(), x, 0, 0);
    low = std::min(low, s), high = std::max(high, s);
  }
  std::smatch figures;
  const Warning* lines = find(all, "Lines in each rung: ");
  REQUIRE(lines);
  REQUIRE(std::regex_search(lines->text, figures, std::regex("rung: ([0-9]+) in the bar's middle")));
  CHECK(std::stod(figures[1]) == Approx((high - low) / 0.1).margin(1));
}

TEST_CASE("check: a pressed ladder that flat dies pushed back says so", "[check]") {
  const std::string one = press("spacing = \"14 mm\", depth = \"0.4 mm\", sides = \"top\"");
  const auto all = checked_steps(one + "{ do = \"draw\", thickness = \"8 mm\" },");
  CHECK(warned(all, "Grind the humps off before you forge the bar"));
}

TEST_CASE("check: ridges along the bar make rungs along the blade", "[check]") {
  for (const std::string angle : {"90 deg", "-85 deg"}) {
    const auto all = checked_steps(press("spacing = \"24 mm\", depth = \"1.5 mm\", angle = \"" + angle + "\""));
    INFO(angle);
    CHECK(find(all, "The rungs run along the blade, 24.0 mm (0.94 in) apart"));
    CHECK_FALSE(find(all, ": 0"));
    CHECK_FALSE(find(all, "will not match"));
    // The same lines as of ridges straight across: the bar does not know which way it is long.
    const auto straight = checked_steps(press("spacing = \"24 mm\", depth = \"1.5 mm\""));
    const auto figure = [](const std::vector<Warning>& w) {
      std::smatch m;
      const Warning* lines = find(w, "Lines in each rung: ");
      return lines && std::regex_search(lines->text, m, std::regex("rung: ([0-9]+)")) ? std::stod(m[1]) : -1;
    };
    CHECK(figure(all) > 10);
    CHECK(figure(all) == Approx(figure(straight)).epsilon(0.05));
  }
}

TEST_CASE("press: too deep says how deep is allowed, in both systems, and so deep it goes", "[check]") {
  const auto refusal = [](const std::string& keys) -> Diagnostic {
    try {
      forged(exact_recipe(kFine, press(keys)));
    } catch (const Error& error) {
      return error.diagnostics().front();
    }
    return {};
  };
  std::smatch m;
  const Diagnostic both = refusal("spacing = \"14 mm\", depth = \"4 mm\"");
  INFO(both.message << " | " << both.hint);
  REQUIRE(std::regex_search(both.hint, m, std::regex("press at most ([0-9.]+) mm \\([0-9.]+ in\\) deep")));
  CHECK(std::stod(m[1]) == Approx(0.65 * 10 / 2).margin(0.05));
  CHECK(refusal("spacing = \"14 mm\", stop = \"2 mm\", sides = \"top\"").hint.find("stop at 3.5 mm (0.14 in) or more") != std::string::npos);
  // Held ends: the grooves are full where the mean height of the die is its depth. Identity.
  const Diagnostic held = refusal("spacing = \"8 mm\", nose = \"4 mm\", depth = \"2 mm\", sides = \"top\", ends = \"held\"");
  REQUIRE(std::regex_search(held.message, m, std::regex("full when the dies are ([0-9.]+) mm")));
  double mean = 0;
  for (int i = 0; i < 1000; ++i) {
    const double r = 4 * (i + 0.5) / 1000, end = 4 * std::sin(std::numbers::pi / 3);
    mean += (r <= end ? 4 - std::sqrt(16 - r * r) : 2 + (r - end) * std::tan(std::numbers::pi / 3)) / 1000;
  }
  CHECK(std::stod(m[1]) == Approx(mean).margin(0.006));
  REQUIRE(std::regex_search(held.hint, m, std::regex("press at most ([0-9.]+) mm")));
  CHECK(refusal("spacing = \"8 mm\", nose = \"4 mm\", depth = \"" + m[1].str() + " mm\", sides = \"top\", ends = \"held\"").message.empty());
}
