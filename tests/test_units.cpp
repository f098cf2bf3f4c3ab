// Quantities with units: exact conversions, and what a smith is told when one is wrong.
// Conversion factors: NIST Special Publication 811 (2008), Appendix B: 1 in = 25.4 mm and 1 ft = 0.3048 m exactly,
// t/C = (t/F - 32)/1.8.

#include <cmath>
#include <numbers>

#include "base/measures.hpp"
#include "base/units.hpp"
#include "base/words.hpp"
#include "catch.hpp"

using namespace etchcast;

namespace {

double value_of(std::string_view text, Unit unit) {
  std::string why;
  const auto value = parse_quantity(text, unit, why);
  INFO(text << ": " << why);
  REQUIRE(value.has_value());
  return *value;
}

std::string refusal_of(std::string_view text, Unit unit) {
  std::string why;
  INFO(text);
  REQUIRE_FALSE(parse_quantity(text, unit, why).has_value());
  return why;
}

}  // namespace

TEST_CASE("units: lengths in inches are exact, as decimals, fractions and mixed numbers", "[units]") {
  CHECK(value_of("1 in", Unit::length) == 25.4);
  CHECK(value_of("3/8 in", Unit::length) == Approx(9.525).epsilon(1e-15));
  CHECK(value_of("0.375 in", Unit::length) == Approx(9.525).epsilon(1e-15));
  CHECK(value_of("1 1/2 in", Unit::length) == Approx(38.1).epsilon(1e-15));
  CHECK(value_of("1-1/2 in", Unit::length) == Approx(38.1).epsilon(1e-15));
  CHECK(value_of("-1 1/2 in", Unit::length) == Approx(-38.1).epsilon(1e-15));
  CHECK(value_of("1/16\"", Unit::length) == Approx(1.5875).epsilon(1e-15));
  CHECK(value_of("2 inches", Unit::length) == Approx(50.8).epsilon(1e-15));
  CHECK(value_of("1 inch", Unit::length) == 25.4);
  CHECK(value_of("1 ft", Unit::length) == Approx(304.8).epsilon(1e-15));
  CHECK(value_of("60 thou", Unit::length) == Approx(1.524).epsilon(1e-15));
}

TEST_CASE("units: metric lengths come out in mm", "[units]") {
  CHECK(value_of("9.5 mm", Unit::length) == 9.5);
  CHECK(value_of("9.5mm", Unit::length) == 9.5);
  CHECK(value_of("  .5   mm ", Unit::length) == 0.5);
  CHECK(value_of("25 um", Unit::length) == Approx(0.025).epsilon(1e-15));
  CHECK(value_of("25 \u00B5m", Unit::length) == Approx(0.025).epsilon(1e-15));
  CHECK(value_of("25 \u03BCm", Unit::length) == Approx(0.025).epsilon(1e-15));
  CHECK(value_of("2 cm", Unit::length) == 20);
  CHECK(value_of("1.2 m", Unit::length) == 1200);
  CHECK(value_of("+1e1 mm", Unit::length) == 10);
}

TEST_CASE("units: temperatures in F and C agree at fixed points", "[units]") {
  CHECK(value_of("32 F", Unit::temperature) == 0);
  CHECK(value_of("212 F", Unit::temperature) == Approx(100).epsilon(1e-14));
  CHECK(value_of("1500 F", Unit::temperature) == Approx(815.0 + 5.0 / 9).epsilon(1e-14));
  CHECK(value_of("2300 F", Unit::temperature) == Approx(1260).epsilon(1e-14));
  CHECK(value_of("-40 F", Unit::temperature) == Approx(value_of("-40 C", Unit::temperature)).epsilon(1e-14));
  CHECK(value_of("1260 degC", Unit::temperature) == 1260);
  CHECK(value_of("1260 \u00B0C", Unit::temperature) == 1260);
  CHECK(value_of("2300 \u00B0F", Unit::temperature) == Approx(1260).epsilon(1e-14));
  CHECK(value_of("2300 deg F", Unit::temperature) == Approx(1260).epsilon(1e-14));
}

TEST_CASE("units: times, shares, angles and turns come out in inside units", "[units]") {
  constexpr double kPi = std::numbers::pi;
  CHECK(value_of("8 min", Unit::time) == 480);
  CHECK(value_of("90 s", Unit::time) == 90);
  CHECK(value_of("1 h", Unit::time) == 3600);
  CHECK(value_of("60 %", Unit::share) == Approx(0.6).epsilon(1e-15));
  CHECK(value_of("60%", Unit::share) == Approx(0.6).epsilon(1e-15));
  CHECK(value_of("30 deg", Unit::angle) == Approx(kPi / 6).epsilon(1e-15));
  CHECK(value_of("180\u00B0", Unit::angle) == Approx(kPi).epsilon(1e-15));
  CHECK(value_of("3 turns", Unit::turns) == 3);
  CHECK(value_of("1 turn", Unit::turns) == 1);
  CHECK(value_of("1.25 turns/in", Unit::turns_per_length) == Approx(1.25 * 2 * kPi / 25.4).epsilon(1e-14));
  CHECK(value_of("5 turns/100 mm", Unit::turns_per_length) == Approx(0.1 * kPi).epsilon(1e-14));
  CHECK(value_of("0.05 turns / mm", Unit::turns_per_length) == Approx(0.1 * kPi).epsilon(1e-14));
  CHECK(value_of("1 turn/1 1/2 in", Unit::turns_per_length) == Approx(2 * kPi / 38.1).epsilon(1e-14));
}

TEST_CASE("units: counts, numbers and flags are read without a unit", "[units]") {
  CHECK(value_of("4", Unit::count) == 4);
  CHECK(value_of("0.3", Unit::number) == 0.3);
  CHECK(value_of("true", Unit::flag) == 1);
  CHECK(value_of("false", Unit::flag) == 0);
  CHECK(refusal_of("4.5", Unit::count) == "must be a whole number, not \"4.5\"");
  CHECK(refusal_of("4 mm", Unit::number) == "must be a plain number, not \"4 mm\"");
  CHECK(refusal_of("yes", Unit::flag) == "is true or false");
}

TEST_CASE("units: a bare number is answered with the same number and its units", "[units]") {
  CHECK(refusal_of("1.5", Unit::length) == "needs a unit: write \"1.5 mm\" or \"1/16 in\"");
  CHECK(refusal_of("40", Unit::length) == "needs a unit: write \"40 mm\" or \"1 9/16 in\"");
  CHECK(refusal_of("0", Unit::length) == "needs a unit: write \"0 mm\" or \"3/8 in\"");
  CHECK(refusal_of("2300", Unit::temperature) == "needs a unit: write \"2300 C\" or \"2300 F\"");
  CHECK(refusal_of("8", Unit::time) == "needs a unit: write \"8 min\" or \"8 s\"");
  CHECK(refusal_of("0.6", Unit::share) == "needs a percent sign: write \"60 %\"");
  CHECK(refusal_of("60", Unit::share) == "needs a percent sign: write \"60 %\"");
  CHECK(refusal_of("30", Unit::angle) == "needs a unit: write \"30 deg\"");
  CHECK(refusal_of("3", Unit::turns) == "needs a unit: write \"3 turns\"");
  CHECK(refusal_of("1.25", Unit::turns_per_length) == "needs a unit: write \"1.25 turns/in\" or \"1.25 turns/mm\"");
}

TEST_CASE("units: a unit of another kind is named for what it is", "[units]") {
  CHECK(refusal_of("8 min", Unit::length) ==
        "must be a length, but \"8 min\" is a time: write \"9.5 mm\" or \"3/8 in\"");
  CHECK(
      refusal_of("3 turns", Unit::turns_per_length) ==
      "must be turns per length, but \"3 turns\" is a number of turns: write \"1.25 turns/in\" or \"5 turns/100 mm\"");
  CHECK(refusal_of("1 turns/in", Unit::turns) ==
        "must be a number of turns, but \"1 turns/in\" is turns per length: write \"3 turns\"");
}

TEST_CASE("units: what is no finite quantity is refused", "[units]") {
  CHECK(refusal_of("", Unit::length) == "is empty: write \"9.5 mm\" or \"3/8 in\"");
  CHECK(refusal_of("  ", Unit::time) == "is empty: write \"8 min\" or \"90 s\"");
  for (const char* text : {"nan mm", "NaN", "inf mm", "-inf mm", "infinity in", "mm", "- mm", "about 3 mm"})
    CHECK(refusal_of(text, Unit::length).starts_with("must be a length, not "));
  for (const char* text : {"1e999 mm", "1/0 in", "0/0 in", "1 1/0 in"})
    CHECK(refusal_of(text, Unit::length).ends_with("that is no usable number"));
  CHECK(refusal_of("9,5 mm", Unit::length).starts_with("has a comma in \"9,5 mm\""));
  for (const char* text :
       {"1.5.2 mm", "3 mm 4", "3 mm thick", "3 furlong", "1.5 1/2 in", "1/2/3 in", "0x10 mm", "2 MM"})
    CHECK(refusal_of(text, Unit::length).starts_with("has an unknown unit "));
  for (const char* text : {"1 turns/", "1 turns/0 mm", "1 turns/min", "1 turns/-2 mm", "1 turns/3"})
    CHECK(refusal_of(text, Unit::turns_per_length).starts_with("has an unknown unit "));
  CHECK(refusal_of("round", Unit::word).starts_with("is a word"));
}

TEST_CASE("units: inch fractions go to the nearest sixteenth and own up to rounding", "[units]") {
  CHECK(inch_fraction(9.525) == "3/8");
  CHECK(inch_fraction(9.5) == "3/8");
  CHECK(inch_fraction(38.1) == "1 1/2");
  CHECK(inch_fraction(25.4) == "1");
  CHECK(inch_fraction(10) == "~3/8");
  CHECK(inch_fraction(9.65) == "~3/8");  // off by 0.125 mm
  CHECK(inch_fraction(1.5) == "1/16");
  CHECK(inch_fraction(0) == "0");
  CHECK(inch_fraction(0.3) == "~0");
  CHECK(inch_fraction(-3.175) == "-1/8");
}

TEST_CASE("units: quantities are written back so that they can be read again", "[units]") {
  CHECK(quantity_text(9.5, Unit::length) == "9.5 mm");
  CHECK(quantity_text(20000, Unit::length) == "20 m");
  CHECK(quantity_text(0.025, Unit::length) == "25 um");
  CHECK(quantity_text(value_of("2300 F", Unit::temperature), Unit::temperature) == "1260 C");
  CHECK(quantity_text(0.07, Unit::share) == "7 %");
  CHECK(quantity_text(std::numbers::pi / 6, Unit::angle) == "30 deg");
  CHECK(quantity_text(value_of("1.25 turns/in", Unit::turns_per_length), Unit::turns_per_length) == "1.25 turns/in");
  CHECK(unit_examples(Unit::length) == "a length such as \"9.5 mm\" or \"3/8 in\"");
  CHECK(unit_examples(Unit::flag) == "true or false");
}

TEST_CASE("words: the nearest word forgives one or two slips and no more", "[units]") {
  constexpr std::string_view kKnown[] = {"depth", "die", "spacing", "thickness"};
  CHECK(nearest_word("detph", kKnown) == "depth");
  CHECK(nearest_word("Depth", kKnown) == "depth");
  CHECK(nearest_word("thicknes", kKnown) == "thickness");
  CHECK(nearest_word("spcaing", kKnown) == "spacing");
  CHECK(nearest_word("colour", kKnown).empty());
  CHECK(nearest_word("", kKnown).empty());
  CHECK(nearest_word(std::string(1000, 'd'), kKnown).empty());
}

TEST_CASE("measures: sizes stand in both systems, the smith's own first", "[units]") {
  // Factors: NIST SP 811, App. B (identity); how many decimals a calliper or a tape gives is common practice.
  const Measures metric(System::metric), inch(System::inch);
  CHECK(metric.between(0.2, 0.5) == "0.20 to 0.50 mm (0.008 to 0.020 in)");
  CHECK(inch.between(0.2, 0.5) == "0.008 to 0.020 in (0.20 to 0.50 mm)");
  CHECK(metric.length(12.7) == "12.7 mm (0.50 in)");
  CHECK(inch.length(12.7) == "0.50 in (12.7 mm)");
  CHECK(metric.length(0.18) == "0.18 mm (0.007 in)");
  CHECK(metric.length(481.2) == "481 mm (18.9 in)");
  CHECK(metric.lengths({38.1, 9.525}) == "38.1 x 9.5 mm (1.50 x 0.38 in)");
  CHECK(metric.mass(124.1) == "124 g (4.4 oz)");
  CHECK(inch.mass(1240) == "2.73 lb (1.24 kg)");
}

TEST_CASE("measures: a heat stays as it was written, and its conversion is one that a forge can hold", "[units]") {
  const Measures metric(System::metric), inch(System::inch);
  CHECK(metric.heat(value_of("2300 F", Unit::temperature)) == "1260 C (2300 F)");
  CHECK(metric.heat(1200) == "1200 C (2190 F)");
  CHECK(inch.heat(value_of("1475 F", Unit::temperature)) == "1475 F (800 C)");
  CHECK(metric.heats(value_of("1475 F", Unit::temperature), value_of("1500 F", Unit::temperature)) ==
        "800 to 815 C (1475 to 1500 F)");
  CHECK(metric.heat(855) == "855 C (1570 F)");
  CHECK(metric.heats(177, 232) == "175 to 230 C (350 to 450 F)");
}

TEST_CASE("recipe: units says which figures are read first", "[units]") {
  const std::string rest = "[steels]\ndark = \"1084\"\n[[billet]]\nname = \"bar\"\nwidth = \"40 mm\"\nlength = \"150 mm\"\nstack = [\"dark 10 mm\"]\n";
  CHECK(parse_recipe(rest, "r").units == System::metric);
  CHECK(parse_recipe("units = \"inch\"\n" + rest, "r").units == System::inch);
  CHECK_THROWS_AS(parse_recipe("units = \"feet\"\n" + rest, "r"), Error);
}
