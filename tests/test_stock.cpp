// Steel to buy: the cut list, [stock] and its faults, and lengths that are left to the program.

#include <cmath>
#include <regex>

#include "catch.hpp"
#include "etchcast/blade.hpp"
#include "etchcast/check.hpp"
#include "etchcast/render.hpp"
#include "etchcast/stock.hpp"
#include "forge_helpers.hpp"

using namespace etchcast;

namespace {

constexpr double kInch = 25.4;
const std::string kWeld = "{ do = \"weld\", heat = \"1260 C\", to = \"60 %\" }";
const std::string kBlade = "[blade]\nshape = \"petty\"\nlength = \"150 mm\"\nheel = \"30 mm\"\n";

/// The cut list of plates 6 in long and 1 1/2 in wide.
CutList six_inch_plates(const std::string& stack, const std::string& stock) {
  const Recipe recipe =
      parse_recipe(exact_recipe(stack, kWeld, stock, "width = \"1 1/2 in\"\nlength = \"6 in\"\n"), "test.toml");
  return cut_list(recipe, forge(recipe));
}

/// The only fault of a recipe.
Diagnostic fault_of(const std::string& text) {
  try {
    forge(parse_recipe(text, "test.toml"));
  } catch (const Error& error) {
    CHECK(error.fault() == Fault::recipe);
    REQUIRE(error.diagnostics().size() == 1);
    return error.diagnostics()[0];
  }
  FAIL("no fault");
  return {};
}

bool holds(const std::string& text, const std::string& words) { return text.find(words) != std::string::npos; }

std::string auto_recipe(const std::string& steps, const std::string& blade = kBlade, const std::string& losses = "") {
  return losses +
         "[steels]\ndark = \"1084\"\nbright = \"75Ni8\"\n[[billet]]\nname = \"bar\"\nwidth = \"40 mm\"\nlength = "
         "\"auto\"\n" +
         kFivePlates + "\nsteps = [\n" + steps + "\n]\n" + blade;
}

}  // namespace

TEST_CASE("stock: a 48 in bar gives eight plates of 6 in sheared, seven and 138 mm over sawn with 2 mm", "[stock]") {
  // Common practice: a shear wastes nothing, a saw its kerf. 7 x 152.4 + 7 x 2 = 1080.8; 1219.2 - 1080.8 = 138.4.
  CHECK(plates_per_bar(48 * kInch, 6 * kInch, 0) == 8);
  CHECK(left_of_bar(48 * kInch, 6 * kInch, 0, 8) == Approx(0).margin(1e-9));
  CHECK(plates_per_bar(48 * kInch, 6 * kInch, 2) == 7);
  CHECK(left_of_bar(48 * kInch, 6 * kInch, 2, 7) == Approx(138.4));
}

TEST_CASE("stock: the last plate needs no cut where the bar ends with it", "[stock]") {
  CHECK(plates_per_bar(100, 24, 1) == 4);  // 4 x 24 + 3 x 1 = 99
  CHECK(left_of_bar(100, 24, 1, 4) == 0);
  CHECK(plates_per_bar(99, 24, 1) == 4);
  CHECK(plates_per_bar(98.9, 24, 1) == 3);
  CHECK(plates_per_bar(20, 24, 1) == 0);
}

TEST_CASE("stock: nine plates are a bar and one plate of the next", "[stock]") {
  const std::string nine = "stack = \"dark 3 mm\"\nrepeat = 9";
  const CutList sheared = six_inch_plates(nine, "[stock]\nbars = { dark = \"48 in\" }\n");
  REQUIRE(sheared.lines.size() == 1);
  const CutLine& line = sheared.lines[0];
  CHECK(sheared.told);
  CHECK(line.plates() == 9);
  CHECK(line.bar_count() == 2);
  REQUIRE(line.bars.size() == 2);
  CHECK(line.bars[0].over_mm == Approx(0).margin(1e-6));
  CHECK(line.bars[1].over_mm == Approx(42 * kInch));
  CHECK(line.mass_g == Approx(9 * 3 * 152.4 * 38.1 * 7.85 / 1000));
  const CutList sawn = six_inch_plates(nine, "[stock]\nbars = { dark = \"48 in\" }\nkerf = \"2 mm\"\n");
  REQUIRE(sawn.lines[0].bars.size() == 2);
  CHECK(sawn.lines[0].bars[0].over_mm == Approx(138.4));
  CHECK(sawn.lines[0].bars[1].over_mm == Approx(1219.2 - 2 * 154.4));
}

TEST_CASE("stock: one line for each steel and thickness, 48 in taken for granted without [stock]", "[stock]") {
  const CutList list = six_inch_plates("stack = [\"dark 3 mm\", \"bright 1 mm\", \"dark 2 mm\"]\nrepeat = 2", "");
  CHECK_FALSE(list.told);
  CHECK(list.kerf_mm == 0);
  REQUIRE(list.lines.size() == 3);
  for (const CutLine& line : list.lines) {
    CHECK(line.plates() == 2);
    CHECK(line.bar_mm == Approx(1219.2));
  }
  CHECK(list.steel_mass_g[0] == Approx(2 * 5 * 152.4 * 38.1 * 7.85 / 1000));
}

TEST_CASE("stock: short plates of a later billet come out of what long ones leave", "[stock]") {
  const std::string billet = "width = \"40 mm\"\nstack = [\"dark 3 mm\", \"bright 3 mm\"]\nsteps = [" + kWeld + "]\n";
  const Recipe recipe = parse_recipe(
      "losses = false\n[steels]\ndark = \"1084\"\nbright = \"75Ni8\"\n[stock]\nbars = \"1000 mm\"\n"
      "[[billet]]\nname = \"short\"\nlength = \"90 mm\"\n" +
          billet + "[[billet]]\nname = \"long\"\nlength = \"900 mm\"\n" + billet,
      "test.toml");
  const CutList list = cut_list(recipe, forge(recipe));
  REQUIRE(list.lines.size() == 2);
  CHECK(list.lines[0].pieces[0].billet == "long");
  CHECK(list.lines[0].bar_count() == 1);
  CHECK(list.lines[0].bars[0].over_mm == Approx(10));
}

TEST_CASE("stock: bars made earlier are not bought, and plates no bar gives are told", "[stock]") {
  const Recipe recipe = read_recipe(ETCHCAST_SOURCE_DIR "/patterns/clad-gyuto.toml");
  const CutList list = cut_list(recipe, forge(recipe));
  REQUIRE(list.lines.size() == 3);
  CHECK(list.lines[2].plates() == 1);  // the core
  const CutList none = six_inch_plates("stack = \"dark 3 mm\"", "[stock]\nbars = { dark = \"100 mm\" }\n");
  CHECK(none.lines[0].too_long == 1);
  CHECK(none.lines[0].bar_count() == 0);
}

TEST_CASE("stock: the ledger has the cut list, as text and as JSON", "[stock]") {
  const Recipe recipe =
      parse_recipe(exact_recipe("stack = \"dark 3 mm\"\nrepeat = 9", kWeld, "[stock]\nkerf = \"2 mm\"\n",
                                "width = \"40 mm\"\nlength = \"6 in\"\n"),
                   "test.toml");
  const Forging forging = forge(recipe);
  const std::string text = ledger_text(recipe, forging);
  CHECK(holds(text, "Steel to cut, sawn, kerf 2.0 mm (0.08 in)"));
  CHECK(holds(text, "9 of 152.4 x 40.0 mm (6.00 x 1.57"));
  CHECK(holds(std::regex_replace(text, std::regex("\n +"), " "), "2 bars of 1219 mm (48.0 in), over: 1 x 138 mm (5.4 in), 1 x 910 mm (35.8 in)"));
  CHECK(holds(ledger_json(recipe, forging), "\"over_mm\": 138.4"));
}

TEST_CASE("stock: faults are told at their place", "[stock][fault]") {
  const auto message = [](const std::string& stock) { return fault_of(exact_recipe(kFivePlates, kWeld, stock)); };
  CHECK(message("[stock]\nbar = \"48 in\"\n").hint == "did you mean \"bars\"?");
  const Diagnostic unknown = message("[stock]\nbars = { drak = \"48 in\" }\n");
  CHECK(unknown.message == "there is no steel \"drak\"");
  CHECK(unknown.hint == "did you mean \"dark\"?");
  CHECK(unknown.place.column == 10);
  CHECK(holds(message("[stock]\nbars = { dark = 48 }\n").message, "a bar of dark needs a unit"));
  CHECK(holds(message("[stock]\nbars = \"2 mm\"\n").message, "too small"));
  CHECK(holds(message("[stock]\nkerf = \"1 in\"\n").message, "too large"));
  CHECK(holds(message("[[stock]]\nkerf = \"1 mm\"\n").message, "stock must be a table"));
}

TEST_CASE("auto: the stack found is the shortest in whole mm whose bar holds the blade", "[stock][auto]") {
  const std::string steps = kWeld + ",\n{ do = \"draw\", thickness = \"4 mm\", width = \"40 mm\" }";
  const Recipe recipe = parse_recipe(auto_recipe(steps), "test.toml");
  const Forging forging = forge(recipe);
  const LedgerRow& pile = forging.billets[0].rows[0];
  const double needed = 150 + 30 + 2 * 8;  // blade, tang, a crop at each end
  CHECK(pile.length_mm == std::round(pile.length_mm));
  CHECK(forging.last().length_mm >= needed);
  CHECK(forging.last().length_mm - needed <
        forging.last().length_mm / pile.length_mm + 0.01);  // a mm less is too short
  CHECK(fit_blade(forging.last(), Blade(*recipe.blade), *recipe.blade).problems.empty());
  REQUIRE(!pile.notes.empty());
  CHECK(holds(pile.notes[0], "length = \"auto\": "));
  CHECK(holds(ledger_text(recipe, forging), "is the shortest stack"));
}

TEST_CASE("auto: exact without losses, and with the blade's place given", "[stock][auto]") {
  // Identity: without spread a weld to 60 % makes 1 mm of stack 1 / 0.6 mm of bar: 180 x 0.6 = 108.
  const std::string weld = "{ do = \"weld\", heat = \"1260 C\", to = \"60 %\", spread = 0 }";
  const auto length = [&](const std::string& blade) {
    return forged(auto_recipe(weld, kBlade + blade, "losses = false\n")).billets[0].rows[0].length_mm;
  };
  CHECK(length("") == 108);
  CHECK(length("x = \"60 mm\"\n") == 126);  // (60 + 150) x 0.6
}

TEST_CASE("auto: where no length does it, it says why", "[stock][auto]") {
  const auto message = [](const std::string& steps, const std::string& blade = kBlade) {
    return fault_of(auto_recipe(steps, blade)).message;
  };
  CHECK(holds(message(kWeld + ",\n{ do = \"upset\", length = \"100 mm\" }"),
              "one of 100.0 mm however long the stack is"));
  CHECK(holds(message(kWeld + ",\n{ do = \"restack\", pieces = 40 }"), "even a stack of 2000 mm becomes one of"));
  CHECK(holds(message(kWeld + ",\n{ do = \"trim\", ends = \"5000 mm\" }"), "nothing would be left of a bar"));
  CHECK(holds(message(kWeld, ""), "needs a [blade]"));
}

TEST_CASE("auto: only for the billet the blade is ground from", "[stock][auto]") {
  const std::string one = "\nwidth = \"40 mm\"\n" + kFivePlates + "\nsteps = [" + kWeld + "]\n";
  const std::string text =
      "[steels]\ndark = \"1084\"\nbright = \"75Ni8\"\n[[billet]]\nname = \"first\"\nlength = \"auto\"" + one +
      "[[billet]]\nname = \"second\"" + one;
  const Diagnostic fault = fault_of(text + kBlade);
  CHECK(holds(fault.message, "not for \"first\""));
  CHECK(fault.place.line == 6);
  CHECK_NOTHROW(forge(parse_recipe(text + kBlade + "from = \"first\"\n", "test.toml")));
}
