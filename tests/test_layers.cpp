// Counting layers: the ledger's figures, counted again in the picture.
#include <cmath>

#include <fmt/format.h>

#include "catch.hpp"
#include "data_helpers.hpp"
#include "etchcast/render.hpp"
#include "forge_helpers.hpp"
#include "forging/layers.hpp"

using namespace etchcast;

namespace {

std::string folds(int count) {
  std::string steps;
  for (int i = 0; i < count; ++i) steps += "{ do = \"fold\" }, { do = \"weld\", to = \"50 %\", spread = 0 },";
  return steps;
}
const std::string kSeven = "stack = [\"dark 2 mm\", \"bright 2 mm\"]\nrepeat = 3\ntop = \"dark 2 mm\"";

/// Bands met on the way up the middle of the section's picture.
int counted_in_picture(const std::string& text, const std::string& at) {
  const Recipe recipe = parse_recipe(text, "t");
  const Forging f = forge(recipe);
  RenderOptions options;
  options.view = Looking::end;
  options.at = at;
  options.px_per_mm = 60;
  const MetalData data(render_data(recipe, f, options), recipe.steels.size());
  int bands = 1;
  float last = -1;
  for (size_t r = 0; r < data.rows(); ++r) {
    const float dark = *data.at(r, data.columns() / 2);
    const float now = dark > 0.5f ? 1.0f : 0.0f;
    if (last >= 0 && now != last) ++bands;
    last = now;
  }
  return bands;
}

}  // namespace

TEST_CASE("layers: seven leaves folded five times are 224 by name and 193 in truth", "[layers]") {
  // Identity: n 2^m leaves; (n-1) 2^m + 1 where like faces meet and merge.
  const Forging f = forged(exact_recipe(kSeven, folds(5)));
  CHECK(f.billets[0].rows.back().nominal == 224);
  CHECK(f.billets[0].rows.back().layers_most == 193);
  CHECK(f.last().bands.size() == 193);
}

TEST_CASE("layers: one cut and fold doubles them", "[layers]") {
  // Common practice; 2n - 1 are distinct since top meets top.
  const Forging f = forged(exact_recipe(kSeven, folds(1)));
  CHECK(f.billets[0].rows.back().nominal == 14);
  CHECK(f.billets[0].rows.back().layers_most == 13);
}

TEST_CASE("layers: restacking merges only where like steels meet", "[layers]") {
  // Identity: n pieces of N layers, n N - (n - 1) if the stack has the same steel at both ends, else n N.
  const std::string odd = exact_recipe(kSeven, R"({ do = "restack", pieces = 4 },)");
  const std::string even = exact_recipe("stack = [\"dark 2 mm\", \"bright 2 mm\"]\nrepeat = 3", R"({ do = "restack", pieces = 4 },)");
  const std::string turned = exact_recipe("stack = [\"dark 2 mm\", \"bright 2 mm\"]\nrepeat = 3", R"({ do = "restack", pieces = 4, flip = "over" },)");
  CHECK(forged(odd).last().bands.size() == 4 * 7 - 3);
  CHECK(forged(even).last().bands.size() == 4 * 6);
  CHECK(forged(turned).last().bands.size() == 4 * 6 - 3);
}

TEST_CASE("layers: the picture's section shows as many as the ledger says", "[layers]") {
  const std::string text = exact_recipe(kSeven, folds(2) + R"({ do = "draw", thickness = "8 mm" },)");
  CHECK(counted_in_picture(text, "bar:2") == 13);
  CHECK(counted_in_picture(text, "bar:4") == 25);
  CHECK(counted_in_picture(text, "bar:5") == 25);
}

TEST_CASE("layers: after bending, lines through the bar count the same as before", "[layers]") {
  const Forging f = forged(exact_recipe(kSeven, folds(1) + R"({ do = "press", spacing = "15 mm", depth = "2 mm" },)"));
  CHECK(f.billets[0].rows.back().layers_least == 13);
  CHECK(f.billets[0].rows.back().layers_most == 13);
}

TEST_CASE("layers: grinding and scale take the outer ones", "[layers]") {
  const Forging f = forged(exact_recipe(kSeven, R"({ do = "grind", depth = "2.5 mm" },)"));
  CHECK(f.last().bands.size() == 5);
  CHECK(f.last().thickness_mm == Approx(9));
}

TEST_CASE("volume: in equals out plus what was cut, ground and scaled", "[layers]") {
  std::string text = exact_recipe(kSeven, R"({ do = "weld" }, { do = "draw", thickness = "6 mm", width = "40 mm" }, { do = "restack", pieces = 3 }, { do = "weld" },
    { do = "draw", thickness = "8 mm" }, { do = "press", spacing = "12 mm", depth = "1 mm" }, { do = "grind", thickness = "4 mm" },)");
  text.replace(text.find("losses = false"), 14, "losses = true");
  const Forging f = forged(text);
  const auto& rows = f.billets[0].rows;
  double removed = 0;
  for (const LedgerRow& row : rows) removed += row.removed_mm3;
  CHECK(rows.back().volume_mm3 + removed == Approx(rows.front().volume_mm3).epsilon(1e-9));
  CHECK(rows.back().yield == Approx(rows.back().mass_g / rows.front().mass_g));
}

TEST_CASE("billets: a bar may be a plate of a later one, and is cut in lengths from its heel", "[layers]") {
  const std::string text = "losses = false\n[steels]\ndark = \"1084\"\nbright = \"75Ni8\"\n"
    "[[billet]]\nname = \"jacket\"\nwidth = \"40 mm\"\nlength = \"200 mm\"\nstack = [\"dark 2 mm\", \"bright 2 mm\"]\nsteps = [ { do = \"press\", spacing = \"12 mm\", depth = \"0.5 mm\" }, { do = \"grind\", thickness = \"2 mm\" } ]\n"
    "[[billet]]\nname = \"clad\"\nwidth = \"40 mm\"\nlength = \"90 mm\"\nstack = [\"jacket\", \"dark 3 mm\", \"jacket over\"]\n[hand]\neven = true\n";
  const Forging f = forged(text);
  const Bar &jacket = *f.billets[0].bars.back(), &clad = f.last();
  CHECK(clad.length_mm == Approx(90));
  CHECK(clad.thickness_mm == Approx(7));
  CHECK(clad.leaves().size() == 2);
  // The lower jacket is the first length, the upper one the second, top face down.
  const double half = jacket.length_mm / 2;
  for (const double x : {10.0, 33.0, 80.0})
    for (const double y : {-7.0, 4.0}) {
      const Pick low = clad.picks({{x, y, -3.5 + 0.7}})[0], high = clad.picks({{x, y, 3.5 - 0.7}})[0];
      CHECK(low.leaf == 1);
      CHECK(low.s == Approx(stack_at(jacket, x, y, -1 + 0.7)).margin(1e-9));
      CHECK(high.s == Approx(stack_at(jacket, half + x, -y, -1 + 0.7)).margin(1e-9));
      CHECK(clad.picks({{x, y, 0}})[0].leaf == 0);
    }
}

TEST_CASE("layers: a bar of more than a million is refused at its line, before it is built", "[layers]") {
  const std::string base = "stack = [\"dark 0.5 mm\", \"bright 0.5 mm\"]\nrepeat = 100";
  const std::string fine = "{ do = \"draw\", thickness = \"2 mm\", width = \"40 mm\" }, { do = \"restack\", pieces = 100 },\n"
                           "{ do = \"draw\", thickness = \"2 mm\", width = \"40 mm\" },\n";  // 20,000 layers
  const std::string finer = fine + "{ do = \"restack\", pieces = 40 },\n";                    // 800,000
  const auto refusal = [](const std::string& text) {
    try {
      forged(text);
    } catch (const Error& error) {
      CHECK(error.fault() == Fault::recipe);
      return to_text(error.diagnostics()[0]);
    }
    return std::string("forged");
  };
  CHECK(forged(exact_recipe(base, finer)).last().bands.size() == 800000);
  const auto says = [](const std::string& text, const char* place, const char* what) {
    INFO(text);
    CHECK(text.find(place) != std::string::npos);
    CHECK(text.find(what) != std::string::npos);
  };
  says(refusal(exact_recipe(base, fine + "{ do = \"restack\", pieces = 51 },")), "test.toml:14:", "1020000 layers; a million is the limit");
  says(refusal(exact_recipe(base, finer + "{ do = \"fold\" },")), "test.toml:15:", "1599999 layers; a million is the limit");
  const std::string laid = exact_recipe(base, finer, "[[billet]]\nname = \"twice\"\nstack = [\"bar\", \"bar\"]\n");
  says(refusal(laid), "test.toml:19:", "1600000 layers; a million is the limit");
}
