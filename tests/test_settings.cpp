// Keys given from outside: put where they lead before anything is checked, and told by their own name when wrong.

#include "catch.hpp"
#include "etchcast/forging.hpp"
#include "recipe/document.hpp"

using namespace etchcast;

namespace {

constexpr const char* kRecipe = R"(title = "Two bars"
[steels]
dark = "1084"
"1.2767" = { c = 0.45, ni = 4 }
[[billet]]
name = "jacket"
stack = ["dark 3 mm", "1.2767 3 mm"]
repeat = 4
steps = [
  { do = "weld" },
  { do = "draw", thickness = "8 mm", width = "40 mm" },
  { do = "press", id = "ladder", spacing = "12 mm", depth = "1 mm" },
]
[[billet]]
name = "bar"
width = "40 mm"
length = "120 mm"
stack = ["dark 3 mm", "1.2767 1.5 mm"]
steps = [ { do = "weld" }, { do = "draw", thickness = "2 mm", id = "thin" }, { do = "grind", depth = "0.1 mm" } ]
[blade]
spine = ["2 mm", "1.5 mm", "0.7 mm"]
)";

Recipe with(std::vector<Setting> settings) { return parse_recipe(kRecipe, "test.toml", settings); }

/// The faults, a line each: place, then message, then hint.
std::string faults(std::vector<Setting> settings, const std::string& recipe = kRecipe) {
  std::string text;
  try {
    parse_recipe(recipe, "test.toml", settings);
  } catch (const Error& error) {
    CHECK(error.fault() == Fault::recipe);
    for (const Diagnostic& d : error.diagnostics()) {
      CHECK(d.place.line == 0);
      text += d.place.file + ": " + d.message + (d.hint.empty() ? "" : "; " + d.hint) + "\n";
    }
  }
  UNSCOPED_INFO(text);
  return text;
}

bool holds(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

}  // namespace

TEST_CASE("settings: any key of any table, billet and step", "[settings]") {
  CHECK(with({{"ladder.spacing", "8 mm"}}).billets[0].steps[2].given.at("spacing").number == 8);
  CHECK(with({{"jacket:3.depth", "1.5 mm"}}).billets[0].steps[2].given.at("depth").number == 1.5);
  CHECK(with({{"jacket:press.depth", "1.5 mm"}}).billets[0].steps[2].given.at("depth").number == 1.5);
  CHECK(with({{"press.sides", "top"}}).billets[0].steps[2].given.at("sides").word == "top");
  CHECK(with({{"2.thickness", "3 mm"}}).billets[1].steps[1].given.at("thickness").number == 3);  // of the last billet
  CHECK(with({{"thin.heat", "2000 F"}}).billets[1].steps[1].given.at("heat").number == Approx(1093.3).margin(0.1));
  CHECK(with({{"bar.width", "1 1/2 in"}}).billets[1].width_mm == Approx(38.1));
  CHECK(with({{"jacket.repeat", "7"}}).billets[0].stack.size() == 14);
  CHECK(with({{"bar.stack", R"(["dark 2 mm", "jacket", "dark 2 mm"])"}}).billets[1].stack.size() == 3);
  CHECK(with({{"bar.stack[2]", "1.2767 2 mm"}}).billets[1].stack[1].thickness_mm == 2);
  CHECK(with({{"bar.length", "auto"}}).billets[1].length_auto);
  CHECK(with({{"blade.spine[3]", "1 mm"}}).blade->spine_mm->at(2) == 1);
  CHECK(with({{"blade.flip", "true"}}).blade->flip);
  CHECK(with({{"title", "Another"}}).title == "Another");
  CHECK(with({{"title", "7"}}).title == "7");
  CHECK(with({{"title", "\"quoted\""}}).title == "quoted");
  CHECK(with({{"units", "inch"}}).units == System::inch);
}

TEST_CASE("settings: tables that the recipe has not are made, and names may hold dots", "[settings]") {
  CHECK(with({{"hand.seed", "9"}}).hand.seed == 9);
  CHECK(with({{"etch.coupon.relief", "18 um"}}).etch.relief == EtchPlan::Relief::coupon);
  CHECK(with({{"losses", "false"}}).losses.kerf_mm == 0);
  CHECK(with({{"losses.kerf", "3 mm"}}).losses.kerf_mm == 3);
  CHECK(with({{"losses", "true"}, {"losses.kerf", "3 mm"}}).losses.kerf_mm == 3);
  CHECK(with({{"steels.dark", "1095"}}).steels[0].grade == "1095");
  CHECK(with({{"steels.1.2767.ni", "3"}}).steels[1].nickel == 3);
  CHECK(with({{"stock.bars", R"({ dark = "36 in" })"}}).stock.bars_mm.at("dark") == Approx(914.4));
}

TEST_CASE("settings: the last of several counts, an empty one takes the key out, the text stays as it was", "[settings]") {
  CHECK(with({{"ladder.spacing", "8 mm"}, {"ladder.spacing", "9 mm"}}).billets[0].steps[2].given.at("spacing").number == 9);
  CHECK(with({{"ladder.nose", "4 mm"}, {"ladder.nose", ""}}).billets[0].steps[2].given.count("nose") == 0);
  CHECK(with({{"blade.spine", ""}}).blade->spine_mm.has_value() == false);
  const Recipe recipe = with({{"bar.width", "50 mm"}});
  CHECK(recipe.text == kRecipe);
  REQUIRE(recipe.settings.size() == 1);
  CHECK(recipe.settings[0].where == "bar.width");
}

TEST_CASE("settings: a fault in one points at it and says what would be right", "[settings]") {
  CHECK(holds(faults({{"ladder.spacing", "8"}}), "--set ladder.spacing: spacing needs a unit: write \"8 mm\""));
  CHECK(holds(faults({{"ladder.spacing", "900 mm"}}), "--set ladder.spacing: spacing = \"900 mm\" is too large"));
  CHECK(holds(faults({{"ladder.spacng", "8 mm"}}), "a press step has no key \"spacng\"; did you mean \"spacing\"?"));
  CHECK(holds(faults({{"lader.spacing", "8 mm"}}), "there is no step, billet or table \"lader\" in the recipe; did you mean \"ladder\"?"));
  CHECK(holds(faults({{"jacket:lader.spacing", "8 mm"}}), "there is no step \"lader\" in the recipe; did you mean \"ladder\"?"));
  CHECK(holds(faults({{"hnad.seed", "3"}}), "did you mean \"hand\"?"));
  CHECK(holds(faults({{"blade.shap", "petty"}}), "[blade] has no key \"shap\"; did you mean \"shape\"?"));
  CHECK(holds(faults({{"weld.heat", "1250 C"}}), "\"weld\" is more than one step"));
  CHECK(holds(faults({{"ladder", "1"}}), "\"ladder\" is a step: say which of its keys"));
  CHECK(holds(faults({{"bar:9.depth", "1 mm"}}), "there is no step \"9\""));
  CHECK(holds(faults({{"ladder.nose", ""}}), "there is no key \"nose\" to take out"));
  CHECK(holds(faults({{"bar.stack", "[\"dark"}}), "--set bar.stack: \"[\"dark\" cannot be read"));
  CHECK(holds(faults({{"blade.spine[4]", "1 mm"}}), "spine has no entry 4; it has 3"));
  CHECK(holds(faults({{"title.x", "1"}}), "there is no key \"x\" in text"));
  CHECK(holds(faults({{"bar.length", "auto"}, {"blade.from", "jacket"}}), "--set bar.length: length = \"auto\""));
  CHECK(holds(faults({{"ladder.depth", "x"}, {"bar.repeat", "1.5"}}), "--set ladder.depth"));
  CHECK(holds(faults({{"ladder.depth", "x"}, {"bar.repeat", "1.5"}}), "--set bar.repeat: repeat must be a whole number"));
}

TEST_CASE("settings: hostile paths are faults, not crashes", "[settings]") {
  for (const char* where : {".", "..", "a.", ".b", "[1]", "a[0]", "blade.[1]", "blade.spine[99999999999999999999]", ":", "bar:", "bar:.x",
                            "bar.steps[1]", "billet", "billet[1].name", "steels", "blade..x", "bar.steps[1].do.x"})
    for (const char* value : {"", "x", "[", "{}", "{", "\"", "'a'", "1e999", "-nan", "[[[[[[[["}) {
      INFO(where << "=" << value);
      try {
        with({{where, value}});
      } catch (const Error& error) {
        CHECK(error.fault() == Fault::recipe);
      }
    }
}

TEST_CASE("settings: what forging refuses points at the setting too", "[settings]") {
  try {
    forge(with({{"thin.thickness", "200 mm"}}));
    FAIL("a bar cannot be drawn thicker");
  } catch (const Error& error) {
    CHECK(error.diagnostics()[0].place.file == "--set thin.thickness");
  }
}

TEST_CASE("settings: a recipe read once gives its variants, the same as read anew", "[settings]") {
  const RecipeText text(kRecipe, "test.toml");
  for (const char* spacing : {"8 mm", "9 mm", "10 mm"}) {
    const std::vector<Setting> settings{{"ladder.spacing", spacing}};
    CHECK(text.with(settings).billets[0].steps[2].given.at("spacing").number == with(settings).billets[0].steps[2].given.at("spacing").number);
  }
  CHECK(text.with({}).billets[0].steps[2].given.at("spacing").number == 12);
}
