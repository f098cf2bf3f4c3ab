// Recipes that are right: what comes out of the text. Recipes that are wrong stand in test_recipe_faults.cpp.

#include <filesystem>
#include <fstream>

#include "catch.hpp"
#include "etchcast/forging.hpp"
#include "recipe/grades.hpp"

using namespace etchcast;

namespace {

constexpr const char* kSteels = "[steels]\ndark = \"1084\"\nbright = \"75Ni8\"\n";

Recipe with_billet(const std::string& lines) {
  return parse_recipe(std::string(kSteels) + "[[billet]]\nname = \"bar\"\n" + lines, "test.toml");
}

}  // namespace

TEST_CASE("recipe: the starter recipe reads without a fault and is the ladder it says", "[recipe]") {
  const Recipe recipe = parse_recipe(starter_recipe("my \"first\" \\ blade\n"), "new.toml");
  CHECK(recipe.title == "my \"first\" \\ blade?");
  CHECK(recipe.comment == "A ladder: about 135 layers in the bar, pressed across with round dies and ground flat.");
  REQUIRE(recipe.billets.size() == 1);
  const BilletPlan& bar = recipe.billets[0];
  CHECK(bar.stack.size() == 11);
  CHECK(bar.stack.front().name == "dark");
  CHECK(bar.stack.back().name == "dark");
  REQUIRE(bar.steps.size() == 10);
  CHECK(bar.steps[0].name == "weld");
  CHECK(bar.steps[0].given.at("heat").number == Approx(1260));
  CHECK(bar.steps[0].given.at("soak").number == Approx(480));
  CHECK(bar.steps[0].given.at("to").number == Approx(0.6));
  CHECK(bar.steps[2].given.at("pieces").number == 4);
  CHECK(bar.steps[8].id == "ladder");
  CHECK(bar.steps[8].given.at("sides").word == "offset");
  CHECK(bar.steps[8].given.count("id") == 0);
  CHECK(bar.steps[8].given.count("do") == 0);
  REQUIRE(recipe.blade);
  CHECK(recipe.blade->shape == "petty");
  CHECK((*recipe.blade->spine_mm)[2] == Approx(0.7));
  CHECK(recipe.etch.depth_mm == Approx(0.015));
  CHECK(recipe.hand.seed == 3);
}

TEST_CASE("recipe: repeat and top are written out, from the bottom to the top", "[recipe]") {
  const Recipe recipe = with_billet(
      "stack = [\"dark 3.2 mm\", \"bright 1/16 in over\"]\nrepeat = 2\ntop = [\"dark 1 mm spin\", \"bright 2 mm "
      "none\"]\n");
  const auto& stack = recipe.billets[0].stack;
  REQUIRE(stack.size() == 6);
  CHECK(stack[3].name == "bright");
  CHECK(*stack[3].thickness_mm == Approx(1.5875));
  CHECK(stack[3].flip == Flip::over);
  CHECK(stack[4].flip == Flip::spin);
  CHECK(stack[5].flip == Flip::none);
  CHECK(stack[3].place.line == 6);
  CHECK(stack[3].place.column == 25);
}

TEST_CASE("recipe: bars of earlier billets may be laid with or without a thickness", "[recipe]") {
  const Recipe recipe = with_billet(
      "stack = \"dark 3 mm\"\nwidth = \"30 mm\"\n"
      "[[billet]]\nname = \"knife\"\nstack = [\"bar end\", \"bar 2 mm\", \"bar\"]\n"
      "[[billet]]\nname = \"last\"\nlength = \"100 mm\"\nstack = [\"knife\", \"dark 3 mm\"]\n");
  REQUIRE(recipe.billets.size() == 3);
  CHECK(recipe.billets[0].width_mm == 30);
  CHECK(recipe.billets[0].length_mm == 150);
  const BilletPlan& knife = recipe.billets[1];
  CHECK(knife.width_mm == 0);
  CHECK(knife.length_mm == 0);
  CHECK(recipe.billets[2].length_mm == 100);
  CHECK_FALSE(knife.stack[0].thickness_mm);
  CHECK(knife.stack[0].flip == Flip::end);
  CHECK(*knife.stack[1].thickness_mm == 2);
}

TEST_CASE("recipe: only the keys given are in a step, defaults are not", "[recipe]") {
  const Recipe recipe = with_billet("stack = \"dark 3 mm\"\nsteps = [{ do = \"draw\", thickness = \"2 mm\" }]\n");
  const StepCall& draw = recipe.billets[0].steps[0];
  CHECK(draw.given.size() == 1);
  CHECK(draw.given.at("thickness").number == 2);
  CHECK(draw.place.file == "test.toml");
  CHECK(draw.place.line == 7);
  CHECK(draw.place.column == 10);
  CHECK(draw.given.at("thickness").place.column == 37);
}

TEST_CASE("recipe: without a hand, an etch or losses the usual ones hold", "[recipe]") {
  const Recipe recipe = with_billet("stack = \"dark 3 mm\"\n");
  CHECK_FALSE(recipe.blade);
  CHECK_FALSE(recipe.hand.even);
  CHECK(recipe.hand.wander_mm == HandPlan{}.wander_mm);
  CHECK(recipe.losses.crop_mm == Losses{}.crop_mm);
  CHECK(recipe.etch.finish == FinishKind::oxide);
}

TEST_CASE("recipe: losses may be switched off or given one by one", "[recipe]") {
  const std::string rest = std::string(kSteels) + "[[billet]]\nname = \"bar\"\nstack = \"dark 3 mm\"\n";
  CHECK(parse_recipe("losses = false\n" + rest, "a").losses.scale_weld_mm == 0);
  CHECK(parse_recipe("losses = true\n" + rest, "a").losses.scale_weld_mm == Losses{}.scale_weld_mm);
  const Losses losses = parse_recipe("[losses]\nkerf = \"1/16 in\"\n" + rest, "a").losses;
  CHECK(losses.kerf_mm == Approx(1.5875));
  CHECK(losses.crop_mm == Losses{}.crop_mm);
}

TEST_CASE("recipe: a blade takes one spine thickness or three, and all its keys", "[recipe]") {
  const Recipe recipe = with_billet(
      "stack = \"dark 3 mm\"\n[blade]\npath = \"M 0 0 Z\"\nspine = \"2 mm\"\nedge = \"0.2 mm\"\ngrind = \"sabre\"\n"
      "bevel = \"55 %\"\nfrom = \"bar\"\nx = \"1 in\"\ny = \"-2 mm\"\nz = \"0.5 mm\"\ntang = \"0 mm\"\nflip = true\n"
      "before_hardening = true\n[hand]\neven = true\n[etch]\nfinish = \"coffee\"\n");
  const BladePlan& blade = *recipe.blade;
  CHECK(blade.shape == "path");
  CHECK((*blade.spine_mm)[0] == 2);
  CHECK((*blade.spine_mm)[2] == 2);
  CHECK(blade.grind == Grind::sabre);
  CHECK(blade.bevel == Approx(0.55));
  CHECK(*blade.x_mm == Approx(25.4));
  CHECK(*blade.y_mm == -2);
  CHECK(blade.tang_mm == 0);
  CHECK(blade.flip);
  CHECK(blade.before_hardening);
  CHECK(blade.place.line == 7);
  CHECK(recipe.hand.even);
  CHECK(recipe.etch.finish == FinishKind::coffee);
}

TEST_CASE("recipe: steels keep the order of the text and take a grade by any of its names", "[recipe]") {
  const Recipe recipe = parse_recipe(
      "[steels]\nz = \"15n20\"\nb = \"1.2842\"\na = { grade = \"Nickel 200\", tone = 0.9 }\nown = { c = 0.5, ni = 2, "
      "density = 7.8 }\n[[billet]]\nname = \"bar\"\nstack = \"z 3 mm\"\n",
      "a");
  REQUIRE(recipe.steels.size() == 4);
  CHECK(recipe.steels[0].name == "z");
  CHECK(recipe.steels[0].grade == "75Ni8");
  CHECK(recipe.steels[1].grade == "90MnCrV8");
  CHECK(recipe.steels[2].grade == "N02200");
  CHECK(recipe.steels[2].tone == 0.9);
  CHECK(recipe.steels[2].density == 8.89);
  CHECK(recipe.steels[2].solidus_c == 1435);
  CHECK(recipe.steels[3].carbon == 0.5);
  CHECK(recipe.steels[3].density == 7.8);
  CHECK(recipe.steels[3].tone > 0.8);
  CHECK(recipe.steels[3].attack < 0.2);
}

TEST_CASE("recipe: the comment is the first run of comment lines and nothing further down", "[recipe]") {
  const std::string rest = std::string(kSteels) + "[[billet]]\nname = \"bar\"\nstack = \"dark 3 mm\"\n# last\n";
  CHECK(parse_recipe("\n# Bold and\r\n#plain.\r\n\r\n# not this\r\n" + rest, "a").comment == "Bold and\nplain.");
  CHECK(parse_recipe("\xEF\xBB\xBF# after a mark\n" + rest, "a").comment == "after a mark");
  CHECK(parse_recipe(rest, "a").comment.empty());
}

TEST_CASE("recipe: nearly a million plates are read and a million and one are refused", "[recipe]") {
  std::string stack = "stack = [";
  for (int i = 0; i < 100; ++i) stack += "\"dark 0.01 mm\", ";
  CHECK(with_billet(stack + "]\nrepeat = 1000\n").billets[0].stack.size() == 100000);
  // Foil of 0.005 mm would stand 5 m high at a million plates; a bar's thickness is its own.
  std::string bars = "stack = \"dark 3 mm\"\n[[billet]]\nname = \"pile\"\nstack = [";
  for (int i = 0; i < 100; ++i) bars += "\"bar\", ";
  CHECK_THROWS_AS(with_billet(bars + "]\nrepeat = 10000\n"), Error);  // with the one plate of the bar
  CHECK(with_billet(bars + "]\nrepeat = 9999\n").billets[1].stack.size() == 999900);
}

TEST_CASE("recipe: a file is read from disk under its own name", "[recipe]") {
  const auto path = std::filesystem::temp_directory_path() / "etchcast_test_recipe.toml";
  std::ofstream(path) << starter_recipe("from disk");
  const Recipe recipe = read_recipe(path.string());
  std::filesystem::remove(path);
  CHECK(recipe.title == "from disk");
  CHECK(recipe.file == path.string());
}

TEST_CASE("grades: each has a source, figures in range, and is found by every one of its names", "[recipe][grades]") {
  CHECK(grades().size() >= 20);
  for (const Grade& grade : grades()) {
    INFO(grade.steel.grade);
    CHECK_FALSE(grade.source.empty());
    CHECK_FALSE(grade.standard.empty());
    CHECK(grade.steel.tone >= 0);
    CHECK(grade.steel.tone <= 1);
    CHECK(grade.steel.attack >= 0);
    CHECK(grade.steel.attack <= 1);
    CHECK(grade.steel.density > 7);
    CHECK(grade.steel.density < 9);
    CHECK(grade.steel.solidus_c >= (grade.steel.copper > 50 ? 1065 : 1300));
    CHECK(grade.steel.solidus_c <= 1495);
    CHECK(find_grade(grade.steel.grade) == &grade);
  }
  for (const SteelSheet& sheet : steel_sheets())
    for (const std::string_view word : names_of(sheet)) {
      INFO(word);
      REQUIRE(find_grade(word) != nullptr);
      CHECK(find_grade(word)->steel.grade == sheet.grade);  // no two grades share a name
    }
  CHECK(find_grade("15N20")->steel.grade == "75Ni8");
  CHECK(find_grade("unobtainium") == nullptr);
}

TEST_CASE("grades: carbon steels begin to melt on the iron-carbon line", "[recipe][grades]") {
  // Linear solidus, value from memory: 1355 C at 0.95 % C, 1375 C at 0.84 % C.
  CHECK(find_grade("1095")->steel.solidus_c == Approx(1355));
  CHECK(find_grade("1084")->steel.solidus_c == Approx(1375));
  CHECK(find_grade("wrought")->steel.solidus_c == 1495);
}

TEST_CASE("grades: the trade number a recipe asks for stays beside the designation", "[recipe][grades]") {
  const Recipe recipe = parse_recipe(
      "[steels]\nbright = \"15n20\"\n\"O1\" = \"AISI O-1\"\ndark = \"1084\"\nown = { c = 1.1 }\n[[billet]]\nname = "
      "\"b\"\nstack = \"dark 3 mm\"\n",
      "t");
  CHECK(recipe.steels[0].called == "15N20");
  CHECK(designation(recipe.steels[0]) == "75Ni8 (15N20)");
  CHECK(named(recipe.steels[0]) == "bright (75Ni8, 15N20)");
  CHECK(recipe.steels[1].called.empty());
  CHECK(named(recipe.steels[1]) == "O1");
  CHECK(designation(recipe.steels[2]) == "1084");
  CHECK(named(recipe.steels[2]) == "dark (1084)");
  CHECK(designation(recipe.steels[3]) == "own");
  CHECK(named(recipe.steels[3]) == "own (own composition)");
}

TEST_CASE("grades: two names for one steel are one metal in the bar", "[recipe][grades]") {
  const std::string text =
      "[steels]\ndark = \"1084\"\ncore = \"1084\"\nbright = \"15N20\"\n[[billet]]\nname = \"b\"\nwidth = \"40 "
      "mm\"\nlength = \"100 mm\"\nstack = [\"dark 3 mm\", \"core 3 mm\", \"bright 2 mm\"]\n";
  const Recipe recipe = parse_recipe(text, "t");
  CHECK(same_metal(recipe, 1) == 0);
  CHECK(same_metal(recipe, 2) == 2);
  CHECK(forge(recipe).billets[0].bars[0]->bands.size() == 2);
  const Recipe measured =
      parse_recipe(text + "[etch.coupon]\npaper = 225\ngreys = { dark = 45, core = 60, bright = 180 }\n", "t");
  CHECK(same_metal(measured, 1) == 1);  // measured apart, drawn apart
  const Recipe once = parse_recipe(text + "[etch.coupon]\npaper = 225\ngreys = { dark = 45, bright = 180 }\n", "t");
  CHECK(same_metal(once, 1) == 0);
}
