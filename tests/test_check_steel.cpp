// What a master would say of the steels, of a core, and of the stock.

#include <algorithm>

#include "catch.hpp"
#include "check_helpers.hpp"
#include "etchcast/check.hpp"
#include "forge_helpers.hpp"

using namespace etchcast;

namespace {

const std::string kWeld = "{ do = \"weld\", heat = \"1260 C\", to = \"60 %\" }";
const std::string kGyuto =
    "[blade]\nshape = \"petty\"\nlength = \"150 mm\"\nheel = \"30 mm\"\nspine = \"3 mm\"\nedge = \"0.3 mm\"\n";

/// Jackets of three plates on either side of a core of its own steel, forged to 3 mm.
std::string clad(const std::string& core, const std::string& blade = kGyuto, const std::string& lower = "2 mm") {
  std::string text =
      exact_recipe("stack = [\"dark 2 mm\", \"bright 1 mm\", \"dark " + lower + "\", \"" + core +
                       "\", \"dark 2 mm\", \"bright 1 mm\", \"dark 2 mm\"]",
                   kWeld + ",\n{ do = \"draw\", thickness = \"3 mm\", width = \"40 mm\", heat = \"1050 C\" }", blade);
  return text.insert(text.find("bright ="), "core = \"52100\"\n");
}

}  // namespace

TEST_CASE("check: the core's line stands at (2c - e) H / (S - e) on both sides", "[check]") {
  // Identity, c = half the core: 5 of 15 mm in 3 mm is 1 mm, (1 - 0.3) x 30 / 2.7 = 7.8 mm.
  const auto all = checked(clad("core 5 mm"));
  REQUIRE(find(all, "the core (52100, 1.00 mm thick)"));
  const std::string text = find(all, "the core (52100")->text;
  CHECK(text.find("7.8 mm up at the heel") != std::string::npos);
  CHECK(find(all, "the core (52100")->weight == Warning::Weight::note);
  CHECK(find(all, "the edge is core (52100) from heel to tip"));
}

TEST_CASE("check: layers of the jackets are counted without the core", "[check]") {
  // Three layers a side above the line at 7.8 mm: (30 - 7.8) / 3 = 7.4 mm.
  const auto all = checked(clad("core 5 mm"));
  REQUIRE(find(all, "layers of the jackets"));
  const std::string text = find(all, "layers of the jackets")->text;
  CHECK(std::stod(text.substr(text.find("show ") + 5)) == Approx(7.4).margin(0.15));
  CHECK(!find(all, "nothing disturbs"));
  CHECK(!find(checked(exact_recipe(kFivePlates, kWeld, kGyuto)), "layers of the jackets"));
}

TEST_CASE("check: a core off the middle makes unlike sides, and leaves the edge where it is thin", "[check]") {
  CHECK(warned(checked(clad("core 5 mm", kGyuto, "4 mm")), "the two lines are up to"));
  CHECK(warned(checked(clad("core 7 mm", kGyuto, "6 mm\", \"bright 1 mm\", \"dark 6 mm")),
               "the edge is not core (52100) all along"));
}

TEST_CASE("check: a thick core leaves a bare tip", "[check]") {
  CHECK(find(checked(clad("core 9 mm", kGyuto + "")), "the core (52100"));
  const std::string taper =
      "[blade]\nshape = \"petty\"\nlength = \"150 mm\"\nheel = \"30 mm\"\nspine = [\"3 mm\", \"2.4 mm\", \"0.7 "
      "mm\"]\nedge = \"0.2 mm\"\n";
  CHECK(find(checked(clad("core 7 mm", taper)), "before the tip the blade is thinner than its core"));
}

TEST_CASE("check: forging heats off a steel's sheet are told with the sheet", "[check]") {
  // 52100: 925 to 1150 C, a bladesmith's published sheet.
  const auto all = checked(clad("core 5 mm"));
  REQUIRE(find(all, "welding at 1260 C (2300 F) is hotter than the 1150 C (2102 F) at which core (52100)"));
  CHECK(find(all, "welding at 1260 C")->weight == Warning::Weight::note);
  std::string hot = clad("core 5 mm"), cold = hot;
  hot.replace(hot.find("1050 C"), 6, "1200 C");
  cold.replace(cold.find("1050 C"), 6, "910 C");
  CHECK(warned(checked(hot), "1200 C (2192 F) is hotter than the 1150 C"));
  CHECK(warned(checked(cold), "910 C (1670 F) is below the 925 C (1697 F) under which core (52100)"));
  CHECK(!find(all, "under which"));
}

TEST_CASE("check: hardening heats that do not meet, and carbon too low for an edge", "[check]") {
  const std::string blade = "[blade]\nshape = \"petty\"\nlength = \"150 mm\"\nheel = \"30 mm\"\n";
  const auto with = [&](const std::string& dark, const std::string& bright) {
    std::string text = exact_recipe(kFivePlates, kWeld, blade);
    text.replace(text.find("\"1084\""), 6, "\"" + dark + "\"");
    text.replace(text.find("\"75Ni8\""), 7, "\"" + bright + "\"");
    return checked(text);
  };
  CHECK(warned(with("1018", "1018"), "it takes no knife edge"));
  CHECK(!find(with("1084", "75Ni8"), "no one heat suits"));
  CHECK(find(with("O2", "L6"), "no one heat suits all steels"));  // up to 800 C, from 816 C
}

TEST_CASE("check: plates longer than a bar, and a little too long for one more", "[check]") {
  const std::string nine = "stack = \"dark 3 mm\"\nrepeat = 16", size = "width = \"40 mm\"\nlength = \"6 in\"\n";
  CHECK(warned(checked(exact_recipe(nine, kWeld, "[stock]\nbars = \"5 in\"\n", size)), "a bar of it is only 127 mm (5.0 in) long"));
  const auto sawn = checked(exact_recipe(nine, kWeld, "[stock]\nkerf = \"2 mm\"\n", size));
  REQUIRE(find(sawn, "8 to a bar, and 2 bars would do instead of 3"));
  CHECK(find(sawn, "Plates of 150.5 mm (5.93 in)"));  // (1219.2 + 2) / 8 - 2 = 150.65
  CHECK(!find(checked(exact_recipe(nine, kWeld, "", size)), "to a bar"));
}
