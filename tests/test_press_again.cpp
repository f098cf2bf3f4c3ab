// Pressing and forging flat what is uneven already.
#include <cmath>

#include <fmt/format.h>

#include "catch.hpp"
#include "etchcast/error.hpp"
#include "forge_helpers.hpp"
#include "workpiece/relief.hpp"
#include "workpiece/repeat.hpp"

using namespace etchcast;

namespace {

/// Root mean square of the difference of stack coordinates, mm, over two repeats, clear of the faces by a twentieth.
double difference(const Bar& a, const Bar& b, double from, double to) {
  double sum = 0;
  int count = 0;
  for (int i = 0; i <= 80; ++i)
    for (double share = 0.05; share < 0.96; share += 0.09, ++count) {
      const double x = from + (to - from) * i / 80, low = a.bottom_at(x, 3), high = a.top_at(x, 3);
      const double z = low + share * (high - low);
      const double other = b.bottom_at(x, 3) + share * (b.top_at(x, 3) - b.bottom_at(x, 3));
      sum += std::pow(stack_at(a, x, 3, z) - stack_at(b, x, 3, other), 2);
    }
  return std::sqrt(sum / count);
}

std::string press(const std::string& keys) { return "{ do = \"press\", die = \"round\", " + keys + " },\n"; }

}  // namespace

TEST_CASE("joined: patterns of one repeat are found, others are not", "[ladder]") {
  const Repeat old{12, 3, 0, true, 12};
  const auto same = joined(old, 12.05, 0.25, 0, 0.01);  // crest upon crest
  REQUIRE(same);
  CHECK(same->repeat.mirrored);
  CHECK(same->spacing_mm == Approx(12));
  CHECK(std::abs(std::remainder(same->crest_mm - 3, 6)) < 1e-9);
  const auto off = joined(old, 12, 0.40, 0, 0.01);  // no mirror in common
  REQUIRE(off);
  CHECK_FALSE(off->repeat.mirrored);
  CHECK(off->crest_mm == Approx(4.8));
  const auto two_to_three = joined(old, 8, 0.375, 0, 0.01);
  REQUIRE(two_to_three);
  CHECK(two_to_three->repeat.spacing_mm == Approx(24));
  CHECK(two_to_three->repeat.mirrored);
  CHECK(two_to_three->repeat.finest_mm == Approx(8));
  CHECK_FALSE(joined(old, 12.4, 0, 0, 0.01));
  CHECK_FALSE(joined(old, 12 * 5 / 7.0, 0, 0, 0.01));
  CHECK_FALSE(joined(old, 12, 0, 0.2, 0.01));
}

TEST_CASE("press: pressed in two goes, ridges leave what they leave in one", "[ladder]") {
  // The flow has no memory, so stopping half way changes nothing: identity. (The second go touches along the whole groove
  // at once, where the first spread over it: the mesh sees that differently.)
  for (const std::string sides : {"top", "offset"}) {
    const std::string die = "nose = \"3 mm\", sides = \"" + sides + "\", ";
    const double last = sides == "top" ? 8.4 : 7.0;
    const Forging twice = forged(exact_recipe(kFivePlates, press(die + fmt::format("spacing = \"13 mm\", stop = \"{} mm\"", (10 + last) / 2)) +
                                                               press(die + fmt::format("spacing = \"13 mm\", stop = \"{} mm\"", last))));
    const double spacing = 13 * twice.billets[0].rows[2].reduction;
    const Forging once = forged(exact_recipe(kFivePlates, press(die + fmt::format("spacing = \"{:.6f} mm\", stop = \"{} mm\"", spacing, last))));
    INFO(sides);
    CHECK(twice.billets[0].rows[2].rough.empty());
    CHECK(twice.last().length_mm == Approx(once.last().length_mm).epsilon(2e-3));
    const double depth = sides == "top" ? 1.6 : 1.5, error = difference(once.last(), twice.last(), 2 * spacing, 4 * spacing);
    INFO(fmt::format("{:.2f} % of the depth", 100 * error / depth));
    CHECK(error < 0.02 * depth);
    for (double x = 2 * spacing; x < 4 * spacing; x += 0.3)
      CHECK(twice.last().top_at(x, 0) - twice.last().bottom_at(x, 0) == Approx(once.last().top_at(x, 0) - once.last().bottom_at(x, 0)).margin(0.03 * depth));
  }
}

TEST_CASE("press: the other face after turning the bar over, or by the lower die, is the same", "[ladder]") {
  const std::string first = press("spacing = \"12 mm\", depth = \"1 mm\", sides = \"top\", angle = \"20 deg\"");
  const std::string below = press("spacing = \"12 mm\", depth = \"1 mm\", sides = \"bottom\", phase = \"30 %\", angle = \"20 deg\"");
  const std::string over = press("spacing = \"12 mm\", depth = \"1 mm\", sides = \"top\", phase = \"30 %\", angle = \"-20 deg\"");
  const std::string turn = "{ do = \"turn\", by = \"180 deg\" },";
  const Forging a = forged(exact_recipe(kFivePlates, first + below)), b = forged(exact_recipe(kFivePlates, first + turn + over + turn));
  CHECK(a.billets[0].rows[2].rough.empty());
  CHECK(b.billets[0].rows[3].rough.empty());
  CHECK(b.last().length_mm == Approx(a.last().length_mm).epsilon(1e-4));
  CHECK(difference(a.last(), b.last(), 60, 90) < 0.01);
}

TEST_CASE("press: on an uneven bar volume is kept, points find back, and patterns lie where they should", "[ladder][property]") {
  for (const std::string angle : {"0 deg", "25 deg"}) {
    const Forging f = forged(exact_recipe(kFivePlates, press("spacing = \"12 mm\", depth = \"1 mm\", sides = \"top\", angle = \"" + angle + "\"") +
                                                           press("spacing = \"8 mm\", depth = \"1 mm\", sides = \"bottom\", phase = \"30 %\", angle = \"" + angle + "\"")));
    INFO(angle);
    const Bar& bar = f.last();
    CHECK(f.billets[0].rows[2].rough.empty());
    CHECK(f.billets[0].rows[2].volume_mm3 == Approx(200 * 40 * 10.0).epsilon(1e-9));
    // The volume between faces and ends, by sums.
    double volume = 0;
    constexpr int kN = 4000, kM = 40;
    for (int i = 0; i < kN; ++i)
      for (int j = 0; j < kM; ++j) {
        const double x = bar.length_mm * (i + 0.5) / kN, y = 40 * ((j + 0.5) / kM - 0.5);
        volume += (bar.top_at(x, y) - bar.bottom_at(x, y)) * bar.length_mm / kN * 40 / kM;
      }
    CHECK(volume == Approx(200 * 40 * 10.0).epsilon(2e-4));
    auto batch = std::make_unique<Batch<double>>();
    *batch = {};
    for (int i = 0; i < kLanes; ++i) {
      const double x = 5 + (bar.length_mm - 10) * i / kLanes, y = 15 * std::sin(i), low = bar.bottom_at(x, y);
      batch->x[i] = x, batch->y[i] = y, batch->z[i] = low + (bar.top_at(x, y) - low) * (0.02 + 0.96 * (i % 17) / 16.0);
    }
    const auto start = *batch;
    to_flat(bar, *batch);
    for (int i = 0; i < kLanes; ++i) CHECK(std::abs(batch->z[i]) <= 5 + 2e-3);  // metal of the bar comes from the bar
    from_flat(bar, *batch);
    for (int i = 0; i < kLanes; ++i)
      CHECK(std::hypot(batch->x[i] - start.x[i], batch->y[i] - start.y[i], batch->z[i] - start.z[i]) < 1e-7);
    // Faces are the metal's own: the skin is skin.
    for (double x = 30; x < 170; x += 1.7) {
      CHECK(stack_at(bar, x, 2, bar.top_at(x, 2)) == Approx(10).margin(5e-3));
      CHECK(stack_at(bar, x, 2, bar.bottom_at(x, 2)) == Approx(0).margin(5e-3));
    }
  }
}

TEST_CASE("press: patterns without a repeat in common go by plane sections, and say so", "[ladder]") {
  const Forging f = forged(exact_recipe(kFivePlates, press("spacing = \"12 mm\", depth = \"1 mm\", sides = \"top\"") +
                                                         press("spacing = \"8.9 mm\", depth = \"1 mm\", sides = \"bottom\"") +
                                                         press("spacing = \"8.9 mm\", depth = \"1 mm\", sides = \"bottom\"")));
  CHECK(f.billets[0].rows[1].rough.empty());
  CHECK(f.billets[0].rows[2].rough.find("do not fall in with the pattern") != std::string::npos);
  CHECK(f.billets[0].rows[3].rough.find("its faces do not repeat") != std::string::npos);
}

TEST_CASE("flatten: a pressed bar forged flat gives the humps' skin back, and keeps the volume", "[ladder]") {
  const Forging f = forged(exact_recipe(kFivePlates, press("spacing = \"13 mm\", depth = \"1.3 mm\", sides = \"offset\", phase = \"15 %\"") + "{ do = \"flatten\" },"));
  const Bar& bar = f.last();
  CHECK(f.billets[0].rows[2].volume_mm3 == Approx(200 * 40 * 10.0).epsilon(1e-9));
  // Pressing thinned the metal under the ridges, where layers now stand thicker than between them: a wave is left inside.
  double low = 10, high = 0;
  for (double x = 60; x < 110; x += 0.25) {
    const double s = stack_at(bar, x, 0, 1.5);
    low = std::min(low, s), high = std::max(high, s);
    CHECK(stack_at(bar, x, 0, bar.top_at(x, 0)) == Approx(10).margin(0.02));
  }
  CHECK(high - low > 0.1);
}

TEST_CASE("press: dies shorter than the bar leave the rest as it was", "[ladder]") {
  const Forging f = forged(exact_recipe(kFivePlates, press("spacing = \"12 mm\", depth = \"1.2 mm\", from = \"60 mm\", to = \"120 mm\"")));
  const Bar& bar = f.last();
  CHECK(f.billets[0].rows[1].volume_mm3 == Approx(200 * 40 * 10.0).epsilon(1e-9));
  for (double x = 1; x < bar.length_mm; x += 1.3) {
    if (x > 50 - 6 && x < 130 + 6) continue;
    CHECK(bar.top_at(x, 0) == Approx(5).margin(1e-9));
    for (const double z : {-4.0, 0.3, 3.7}) CHECK(stack_at(bar, x, 7, z) == Approx(z + 5).margin(1e-9));
  }
  double low = 10, high = 0;
  for (double x = 66; x < 114; x += 0.4) low = std::min(low, stack_at(bar, x, 0, 3)), high = std::max(high, stack_at(bar, x, 0, 3));
  CHECK(high - low > 0.5);
  // It grows as much as the dies' part of a bar pressed all along.
  const Forging whole = forged(exact_recipe(kFivePlates, press("spacing = \"12 mm\", depth = \"1.2 mm\"")));
  CHECK(bar.length_mm - 200 == Approx(60 * (1 - 1 / whole.billets[0].rows[1].reduction)).epsilon(0.3));
  CHECK_THROWS_AS(forged(exact_recipe(kFivePlates, press("spacing = \"12 mm\", depth = \"1.2 mm\", from = \"60 mm\", to = \"70 mm\""))), Error);
  CHECK_THROWS_AS(forged(exact_recipe(kFivePlates, press("spacing = \"12 mm\", depth = \"1.2 mm\", from = \"60 mm\", flow = \"plane\""))), Error);
}
