// The closed form that stands for the metal's flow in previews.
#include <map>

#include <fmt/format.h>

#include "catch.hpp"
#include "etchcast/check.hpp"
#include "forge_helpers.hpp"
#include "metal/rough.hpp"
#include "metal_helpers.hpp"

using namespace metal_test;

TEST_CASE("rough flow: its waves are those of slow viscous flow", "[metal]") {
  // Mid-plane of a layer, see test_metal_limits.cpp: identity. Upper face pressed, lower face a mirror that slips, or rigid
  // and sticking.
  for (const auto& [k, slips, sticks] : {std::tuple{1.0, 0.545863, 0.498762}, {2.0, 0.570804, 0.483090},
                                         {kPi, 0.486346, 0.424953}, {6.0, 0.197919, 0.193637}}) {
    CHECK(layer_wave(k, 0.5, false) == Approx(slips).margin(2e-6));
    CHECK(layer_wave(k, 0.5, true) == Approx(sticks).margin(2e-6));
  }
  for (const bool sticks : {false, true})
    for (const double k : {0.001, 0.5, 7.0, 29.0, 31.0, 200.0}) {
      CHECK(layer_wave(k, 1, sticks) == Approx(1).margin(1e-9));
      CHECK(layer_wave(k, 0, sticks) == Approx(0).margin(1e-9));
    }
  CHECK(layer_wave(0.001, 0.3, true) == Approx(3 * 0.09 - 2 * 0.027));
  CHECK(layer_wave(200, 1 - 2 / 200.0, false) == Approx(3 * std::exp(-2.0)).epsilon(1e-9));
}

TEST_CASE("rough flow: its error against the solved flow is what the docs tell", "[metal]") {
  // Root mean square of layer heights in % of the die's depth; docs/model.md.
  struct Case {
    const char* name;
    double repeat, m;
    bool sticks;
    double most;
  };
  for (const Case& c : {Case{"A", 1, 0.17, true, 3}, Case{"B", 2, 0.17, true, 4}, Case{"C", 0.5, 0.17, false, 4},
                        Case{"C", 2, 1, true, 1}, Case{"D", 1, 0.17, true, 5}, Case{"D", 2, 1, false, 2},
                        Case{"E", 2, 0.17, true, 9}, Case{"E", 1, 0.17, true, 12}, Case{"E", 4, 0.17, true, 12},
                        Case{"E", 2, 1, false, 3}, Case{"D0", 2, 1, true, 4}, Case{"E0", 1, 1, false, 6}}) {
    const Problem p = pressing(c.name, c.repeat, 0.15, c.sticks, c.m);
    const auto solved = solve(p, fineness_for(p)).table, rough = rough_flow(p).table;
    const double error = 100 * difference(*solved, *rough) / 0.15;
    INFO(fmt::format("{} repeat {} m {} {}: {:.2f} %", c.name, c.repeat, c.m, c.sticks ? "sticks" : "slips", error));
    CHECK(error < c.most);
    CHECK(rough->lengthening() == Approx(solved->lengthening()).epsilon(0.02));
    CHECK(rough->thinnest() > 0.02);
  }
}

TEST_CASE("rough flow: it refuses what the solved flow refuses", "[metal]") {
  CHECK_THROWS_AS(rough_flow(pressing("D", 1, 1.1, true, 1)), etchcast::Error);
  CHECK_THROWS_AS(rough_flow(pressing("E0", 1, 0.35, true, 0.2)), etchcast::Error);
}

TEST_CASE("preview: a pressing is marked rough in ledger and check, and keeps volume", "[metal]") {
  const std::string text = exact_recipe(kFivePlates, R"({ do = "press", spacing = "14 mm", depth = "1.4 mm" },
    { do = "press", spacing = "14 mm", depth = "1.4 mm", phase = "20 %" }, { do = "flatten" },)");
  const Recipe recipe = parse_recipe(text, "test.toml");
  const Forging preview = forge(recipe, {.preview = true}), full = forge(recipe);
  int warned = 0;
  for (const Warning& w : check(recipe, preview)) warned += w.text.starts_with("This step is a rough forecast");
  CHECK(warned == 3);
  for (const Warning& w : check(recipe, full)) CHECK_FALSE(w.text.starts_with("This step is a rough forecast"));
  for (size_t i = 1; i < 4; ++i) {
    CHECK_FALSE(preview.billets[0].rows[i].rough.empty());
    CHECK(full.billets[0].rows[i].rough.empty());
    CHECK(preview.billets[0].rows[i].volume_mm3 == Approx(full.billets[0].rows[i].volume_mm3).epsilon(1e-9));
  }
  CHECK(preview.last().length_mm == Approx(full.last().length_mm).epsilon(0.05));
}
