// Transformation temperatures, tempering, and a forged bar at the quench.

#include "catch.hpp"
#include "etchcast/metallurgy.hpp"
#include "forge_helpers.hpp"
#include "steels/transformation.hpp"

using namespace etchcast;

namespace {

Steel steel(double c, double mn, double si, double cr = 0, double ni = 0, double mo = 0) {
  Steel s;
  s.carbon = c, s.manganese = mn, s.silicon = si, s.chromium = cr, s.nickel = ni, s.molybdenum = mo;
  return s;
}
const Steel k4340 = steel(0.40, 0.70, 0.25, 0.80, 1.80, 0.25), k4140 = steel(0.40, 0.85, 0.25, 0.95, 0, 0.20);
const Steel k1080 = steel(0.79, 0.76, 0.20), k75Ni8 = steel(0.75, 0.40, 0.25, 0, 1.95);

std::string laminate(const std::string& steels, const std::string& steps, const std::string& stack,
                     const std::string& more = "") {
  return "losses = false\n[steels]\n" + steels + "\n[[billet]]\nname = \"bar\"\nstack = " + stack + "\nsteps = [" +
         steps + "]\n" + more + "[hand]\neven = true\n";
}

const std::string kWeldAndDraw = R"({ do = "weld", to = "60 %", soak = "8 min" }, { do = "draw", thickness = "3 mm" })";

Hardening hardened(const std::string& text) {
  const Recipe recipe = parse_recipe(text, "t");
  return hardening(recipe, forge(recipe));
}

std::string fine_pile(const std::string& a, const std::string& b) {  // 20 plates of a millimetre
  std::string list = "[";
  for (int i = 0; i < 10; ++i) list += "\"" + a + " 1 mm\", \"" + b + " 1 mm\", ";
  return list + "]";
}

double carbon_kept(const Hardening& h) {
  double sum = 0;
  for (const SteelInBar& one : h.steels) sum += one.share * one.carbon_after;
  return sum;
}

/// Running text without its line breaks.
std::string in_one_line(std::string text) {
  for (size_t at; (at = text.find("\n")) != std::string::npos;) {
    const size_t next = text.find_first_not_of(" \n", at);
    text.replace(at, (next == std::string::npos ? text.size() : next) - at, next == std::string::npos ? "" : " ");
  }
  return text;
}

bool says(const Hardening& h, std::string_view words) {
  for (const std::string& line : h.practice)
    if (line.find(words) != std::string::npos) return true;
  return false;
}

bool warns(const Hardening& h, std::string_view words) {
  for (const std::string& caution : h.cautions)
    if (caution.find(words) != std::string::npos) return true;
  return false;
}

}  // namespace

// [Andrews, J. Iron Steel Inst. 203 (1965) 721, as quoted by Krauss]
TEST_CASE("hardening: Ac1 and Ac3 by Andrews, and only where they hold", "[hardening][source]") {
  CHECK(ac1_c(k4340).value == Approx(705.88).margin(0.01));
  CHECK(ac3_c(k4340).value == Approx(773.30).margin(0.01));
  CHECK(ac1_c(k4140).value == Approx(737.23).margin(0.01));
  CHECK(ac3_c(k4140).value == Approx(799.09).margin(0.01));
  CHECK(ac1_c(k4340).valid);
  CHECK(ac3_c(k4140).valid);
  // Beyond 0.6 % C the figures test arithmetic and are marked as such.
  CHECK(ac1_c(k1080).value == Approx(720.69).margin(0.01));
  CHECK(ac3_c(k1080).value == Approx(738.51).margin(0.01));
  CHECK(ac1_c(k75Ni8).value == Approx(693.04).margin(0.01));
  CHECK(ac3_c(k75Ni8).value == Approx(715.73).margin(0.01));
  for (const Steel& s : {k1080, k75Ni8}) CHECK_FALSE((ac1_c(s).valid || ac3_c(s).valid || martensite_start_c(s).valid));
  const Steel rich = steel(0.95, 0.40, 0.20);
  CHECK(ac3_c(rich).value < ac1_c(rich).value);
  CHECK_FALSE(ac3_c(rich).valid);
  CHECK_FALSE(ac1_c(steel(0.3, 0.5, 0.4, 13)).valid);  // stainless
  const Steel crossed = steel(0.55, 0.3, 0.2, 4);      // within limits, and yet Ac3 falls below Ac1
  CHECK(ac3_c(crossed).value < ac1_c(crossed).value);
  CHECK_FALSE(ac3_c(crossed).valid);
  // Not the formula that one page gives this name, with -23.4 C in Ac1 and Ac3 linear in carbon.
  CHECK(ac1_c(steel(0.5, 0, 0)).value == 723);
  CHECK(ac3_c(steel(0.16, 0, 0)).value - ac3_c(steel(0.04, 0, 0)).value == Approx(-203 * 0.2));
}

// Signs: value from memory; one page prints the whole bracket with its signs turned
TEST_CASE("hardening: manganese and chromium lower the long form of Ac3", "[hardening]") {
  CHECK(ac3_long_c(k4340).value == Approx(743.50).margin(0.01));
  CHECK(ac3_long_c(k4140).value == Approx(763.14).margin(0.01));
  CHECK(ac3_long_c(k4140).value != Approx(ac3_c(k4140).value - 30 * 0.85 + 11 * 0.95));
}

// [Andrews 1965], chromium and molybdenum value from memory; [Steven & Haynes 1956] value from memory
TEST_CASE("hardening: martensite start and what austenite is left", "[hardening][source]") {
  CHECK(martensite_start_c(k4340).value == Approx(305.105).margin(0.001));
  CHECK(martensite_start_c(k4140).value == Approx(330.965).margin(0.001));
  CHECK(martensite_start_c(k1080).value == Approx(181.726).margin(0.001));
  CHECK(martensite_start_second_c(k4340).value == Approx(298.85).margin(0.01));
  CHECK(martensite_start_second_c(k4140).value == Approx(323.00).margin(0.01));
  // [Koistinen & Marburger, Acta Metall. 7 (1959) 59]
  CHECK(retained_austenite(200, 25) == Approx(0.1459).margin(1e-4));
  CHECK(retained_austenite(200, 200 - 63.0) == Approx(0.5).margin(1e-3));
  CHECK(retained_austenite(250, 250 - 209.3) == Approx(0.1).margin(1e-3));
  CHECK(retained_austenite(440, 440 - 418.7) == Approx(0.01).margin(1e-4));
  CHECK(retained_austenite(martensite_start_c(k4340).value, 25) == Approx(0.0459).margin(1e-4));
  CHECK(retained_austenite(100, 150) == 1);
}

// [Hollomon & Jaffe, Trans. AIME 162 (1945) 223]
TEST_CASE("hardening: tempers that do the same have the same parameter", "[hardening][source]") {
  CHECK(tempering_parameter(200, 2) == Approx(9.6054).margin(1e-4));
  CHECK(tempering_parameter(600, 1) == Approx(17.463).margin(1e-3));
  CHECK(tempering_parameter(600, 10) == Approx(18.336).margin(1e-3));
  CHECK(equal_temper_c(tempering_parameter(200, 2), 1) == Approx(207.12).margin(0.01));
  CHECK(equal_temper_c(tempering_parameter(600, 1), 10) == Approx(558.42).margin(0.01));
  for (const double hours : {0.25, 1.0, 7.0}) {
    const double p = tempering_parameter(230, hours, 15);
    CHECK(equal_temper_c(p, hours, 15) == Approx(230).epsilon(1e-12));
    CHECK(equal_temper_hours(p, 230, 15) == Approx(hours).epsilon(1e-10));
  }
  CHECK_THROWS_AS(tempering_parameter(200, 0), std::domain_error);
}

TEST_CASE("hardening: carbon evens out to the mean by mass", "[hardening]") {
  const Hardening h =
      hardened(laminate("rich = { c = 0.95 }\npoor = { c = 0.75 }", kWeldAndDraw, fine_pile("rich", "poor")));
  CHECK(h.mean_carbon == Approx(0.85).epsilon(1e-12));
  CHECK(h.carbon_contrast < 0.1);
  for (const SteelInBar& one : h.steels) CHECK(one.carbon_after == Approx(0.85).margin(0.006));
  CHECK(carbon_kept(h) == Approx(0.85).epsilon(1e-12));
  CHECK(h.cutting == -1);
  CHECK(h.partly_known);  // nobody has told a heat for steels of one's own
}

TEST_CASE("hardening: the mix goes by the windows of its steels", "[hardening]") {
  const Hardening meet = hardened(laminate("a = \"O1\"\nb = \"L6\"", kWeldAndDraw, fine_pile("a", "b")));
  // Their windows meet in one point, 1500 F, which no forge holds: one of them leads, with a window of its own.
  CHECK_FALSE(meet.harden);
  REQUIRE(meet.leading >= 0);
  CHECK(can_be_held(*meet.heat()));
  CHECK(says(meet, meet.steels[size_t(meet.leading)].grade + "), which leads"));
  CHECK_FALSE(warns(meet, "no one hardening heat"));
  const Hardening apart = hardened(laminate("a = \"1095\"\nb = \"52100\"", kWeldAndDraw, fine_pile("a", "b")));
  CHECK_FALSE(apart.harden);
  CHECK(apart.forge->low_c == 925);
  CHECK(apart.leading >= 0);
}

TEST_CASE("hardening: a core in the middle is the steel that cuts, layers thinner than the edge are the mix",
          "[hardening]") {
  const Hardening core = hardened(
      laminate("skin = \"410\"\ncore = \"52100\"", kWeldAndDraw, R"(["skin 3 mm", "core 4 mm", "skin 3 mm"])"));
  REQUIRE(core.cutting >= 0);
  CHECK(core.steels[core.cutting].name == "core");
  CHECK(warns(core, "chromium draws carbon"));
  for (const char* name : {"ladder-petty", "twist", "clad-gyuto"}) {
    const Recipe recipe = read_recipe(std::string(ETCHCAST_SOURCE_DIR) + "/patterns/" + name + ".toml");
    const Forging forging = forge(recipe);
    const Hardening h = hardening(recipe, forging);
    INFO(name);
    CHECK((h.cutting >= 0) == (std::string(name) == "clad-gyuto"));
    CHECK(carbon_kept(h) == Approx(h.mean_carbon).margin(0.003));  // jackets gain what their core loses
    CHECK(warns(h, "breaks like glass"));
    CHECK(warns(h, "weld seams end at the edge") == (std::string(name) == "twist"));
    for (const SteelInBar& one : h.steels) CHECK_FALSE((one.ac1_c || one.martensite_c));  // above 0.6 % C: none told
    CHECK(hardening_text(recipe, forging).find("Ac1") == std::string::npos);  // nothing for metallurgists alone
    CHECK(in_one_line(diffusion_text(recipe, forging)).find("value from memory") != std::string::npos);
  }
}

TEST_CASE("hardening: below 0.6 % C the formulas are told, and a soft edge is warned of", "[hardening]") {
  const Hardening h = hardened(laminate("a = \"1018\"\nb = \"1075\"", kWeldAndDraw, fine_pile("a", "b")));
  for (const SteelInBar& one : h.steels) {
    CHECK(one.ac1_c);
    CHECK(one.martensite_c);
  }
  CHECK(warns(h, "below 0.60 %"));
  const Hardening iron = hardened(laminate("a = \"1018\"\nb = \"wrought\"", kWeldAndDraw, fine_pile("a", "b")));
  CHECK(warns(iron, "takes no knife edge"));
  CHECK(says(iron, "There is nothing to harden in this edge"));
  const Hardening nickel = hardened(laminate("a = \"1095\"\nb = \"N02200\"", kWeldAndDraw, fine_pile("a", "b")));
  CHECK(warns(nickel, "nickel does not harden"));
  CHECK_FALSE(nickel.partly_known);
  CHECK(carbon_kept(nickel) == Approx(nickel.mean_carbon).epsilon(1e-12));  // by mass: nickel is heavier
}

TEST_CASE("hardening: a tempering table is told only while the steel keeps its grade's carbon", "[hardening]") {
  const auto text = [](const std::string& recipe_text) {
    const Recipe recipe = parse_recipe(recipe_text, "t");
    return in_one_line(hardening_text(recipe, forge(recipe)));
  };
  CHECK(text(laminate("a = \"L6\"\nb = \"75Ni8\"", kWeldAndDraw, fine_pile("a", "b"))).find("HRC") !=
        std::string::npos);
  const std::string moved = text(laminate("a = \"1095\"\nb = \"1018\"", kWeldAndDraw, fine_pile("a", "b")));
  CHECK(moved.find("HRC") == std::string::npos);
  CHECK(moved.find("no longer holds the 0.90 to 1.03 %") != std::string::npos);
}

TEST_CASE("hardening: jackets that never reach the edge do not count there", "[hardening]") {
  std::string middle;
  for (int i = 0; i < 12; ++i) middle += R"("a 0.5 mm", "b 0.5 mm", )";
  const Hardening h = hardened(laminate("a = \"1095\"\nb = \"75Ni8\"\nskin = \"410\"", kWeldAndDraw,
                                        "[\"skin 4 mm\", " + middle + "\"skin 4 mm\"]"));
  REQUIRE(h.steels.size() == 3);
  CHECK(h.cutting == -1);
  CHECK(h.steels[2].edge_share == 0);
  CHECK(h.mean_carbon < 0.6);
  CHECK(h.edge_carbon > 0.7);  // the skin took some over the heats
  CHECK_FALSE(warns(h, "below 0.60 %"));
  REQUIRE(h.harden);                                    // of 1095 and 75Ni8
  CHECK(h.harden->low_c == Approx(787.8).margin(0.1));  // 1450 F
  CHECK(warns(h, "no one hardening heat"));             // 410 wants more
}

namespace {

/// Jackets on a core, forged to 3 mm, with a blade ground from it.
std::string clad(const std::string& jacket, const std::string& core, const std::string& core_mm,
                 const std::string& lower = "3 mm", const std::string& upper = "3 mm") {
  return "losses = false\n[steels]\nskin = \"" + jacket + "\"\ncore = \"" + core +
         "\"\n[[billet]]\nname = \"bar\"\nwidth = \"45 mm\"\nlength = \"140 mm\"\nstack = [\"skin " + lower +
         "\", \"core " + core_mm + "\", \"skin " + upper + "\"]\nsteps = [" +
         R"({ do = "weld", to = "60 %", soak = "8 min" },
  { do = "draw", thickness = "3 mm", width = "50 mm" })" +
         "]\n[blade]\nshape = \"petty\"\nlength = \"150 mm\"\nheel = \"30 mm\"\nspine = \"2.6 mm\"\nedge = \"0.2 "
         "mm\"\n[hand]\neven = true\n";
}

}  // namespace

TEST_CASE("hardening: a thin core is what cuts, with its own carbon and its own heat", "[hardening]") {
  // A millimetre of core in 3 mm: its faces lose carbon to the jackets, its middle hardly.
  const Hardening h = hardened(clad("1018", "1095", "3 mm"));
  REQUIRE(h.cutting >= 0);
  CHECK(h.steels[size_t(h.cutting)].name == "core");
  CHECK(h.core);
  CHECK_FALSE(h.strayed);
  CHECK(h.edge_carbon > h.steels[size_t(h.cutting)].carbon_after);  // its middle, not its mean
  CHECK(h.edge_carbon <= 0.95 + 1e-9);
  CHECK(h.mean_carbon < 0.6);
  REQUIRE(h.harden);
  CHECK(h.harden->low_c == Approx(787.8).margin(0.1));  // 1095's, though the bar is mostly 1018
  const Recipe recipe = parse_recipe(clad("1018", "1095", "3 mm"), "t");
  CHECK(hardening_text(recipe, forge(recipe)).find("The edge is core: 1095.") != std::string::npos);
}

TEST_CASE("hardening: a core off the middle, or as thin as the edge, is no core all along", "[hardening]") {
  const Hardening off = hardened(clad("410", "52100", "1 mm", "5 mm", "3 mm"));
  CHECK(off.cutting >= 0);
  CHECK(off.steels[size_t(off.cutting)].name == "skin");  // the core lies wholly beside the edge
  CHECK(warns(off, "it takes no knife edge"));
  const Hardening partly = hardened(clad("1018", "52100", "2 mm", "3.9 mm", "3 mm"));
  CHECK(partly.cutting >= 0);
  CHECK((partly.strayed || partly.steels[size_t(partly.cutting)].edge_share > 0.95));
}

TEST_CASE("hardening: the middle layer of a laminate is no core", "[hardening]") {
  for (const char* name : {"plain-laminate", "ladder-petty", "random", "fold-by-fold", "twist-stars", "raindrop"}) {
    INFO(name);
    const Recipe recipe = read_recipe(std::string(ETCHCAST_SOURCE_DIR) + "/patterns/" + name + ".toml");
    CHECK_FALSE(hardening(recipe, forge(recipe)).core);
  }
}

TEST_CASE("hardening: what is done goes by what cuts and what covers it", "[hardening]") {
  const Hardening plain = hardened(laminate("a = \"1084\"\nb = \"75Ni8\"", kWeldAndDraw, fine_pile("a", "b")));
  CHECK(says(plain, "Normalise three times. The first heat is 845 to 870 C (1550 to 1600 F)"));
  CHECK_FALSE(says(plain, "stainless"));
  const Hardening carbon_core = hardened(clad("410", "52100", "3 mm"));
  CHECK(says(carbon_core, "Go by the core"));
  CHECK(says(carbon_core, "885 to 925 C (1625 to 1700 F), for 52100"));
  CHECK(says(carbon_core, "815 to 855 C"));
  const Hardening stainless_core = hardened(clad("1018", "X65Cr13", "3 mm"));
  CHECK(stainless_core.steels[size_t(stainless_core.cutting)].grade == "X65Cr13");
  CHECK(says(stainless_core, "1040 to 1080 C"));
  CHECK(says(stainless_core, "Do not normalise"));
  CHECK(says(stainless_core, "aluminium"));
  CHECK(says(stainless_core, "Jackets of carbon steel are far above their own hardening heat"));
  CHECK(says(stainless_core, "value from memory"));
  CHECK_FALSE(says(stainless_core, "Normalise three times"));
  const Hardening both = hardened(laminate("a = \"1084\"\nb = \"420\"", kWeldAndDraw, fine_pile("a", "b")));
  CHECK(says(both, "share the edge"));
}

TEST_CASE("hardening: figures are such as a forge can hold, in both systems", "[hardening]") {
  for (const char* name : {"ladder-petty", "ladder-slanted", "clad-gyuto", "twist"}) {
    const Recipe recipe = read_recipe(std::string(ETCHCAST_SOURCE_DIR) + "/patterns/" + name + ".toml");
    const std::string text = in_one_line(hardening_text(recipe, forge(recipe)));
    INFO(text);
    for (const char* false_figure : {"1472", "1571", "351 ", "802 C", "816 C", "1499"})
      CHECK(text.find(false_figure) == std::string::npos);
    CHECK(text.find("175 to 230 C (350 to 450 F)") != std::string::npos);
  }
}

TEST_CASE("hardening: the fire's soft skin and the edge left for it are told", "[hardening]") {
  // Common practice: 0.2 to 0.5 mm lose their carbon. An edge of 0.2 mm goes in at half a millimetre.
  const Hardening thin = hardened(clad("1018", "1095", "3 mm"));
  CHECK(says(thin, "the outer 0.20 to 0.50 mm (0.008 to 0.020 in)"));
  CHECK(says(thin, "Leave the edge at 0.50 mm (0.020 in) or more"));
  CHECK(edge_before_hardening_mm(0.6) == Approx(0.8));  // not less than the edge is to be
}

TEST_CASE("hardening: normalising and holding go by the steel", "[hardening]") {
  const Hardening oil = hardened(laminate("a = \"O1\"\nb = \"O1\"", kWeldAndDraw, fine_pile("a", "b")));
  CHECK(says(oil, "usually is not normalised"));
  CHECK(says(oil, "for 10 to 30 min"));
  CHECK(says(oil, "medium oil"));
  const Hardening own = hardened(laminate("a = { c = 0.9 }\nb = { c = 0.8 }", kWeldAndDraw, fine_pile("a", "b")));
  CHECK(says(own, "Normalise as the maker's data sheet says"));
  CHECK(says(own, "the hardening heat of its data sheet"));
}

TEST_CASE("hardening: two names for one steel are told as one, and a laminate has no core", "[hardening]") {
  const Hardening one = hardened(laminate("a = \"1084\"\nb = \"1084\"", kWeldAndDraw, fine_pile("a", "b")));
  CHECK(one.steels.size() == 1);
  // Five thick plates: the middle one makes most of the edge, and is still one layer among others.
  const Hardening laminated = hardened(
      laminate("a = \"1084\"\nb = \"75Ni8\"", kWeldAndDraw, R"(["a 3 mm", "b 2 mm", "a 3 mm", "b 2 mm", "a 3 mm"])"));
  CHECK_FALSE(laminated.core);
  CHECK_FALSE(warns(laminated, "core"));
}

TEST_CASE("hardening: tempering figures name the sheets they come from", "[hardening]") {
  const Recipe recipe = parse_recipe(laminate("a = \"L6\"\nb = \"75Ni8\"", kWeldAndDraw, fine_pile("a", "b")), "t");
  const std::string text = in_one_line(hardening_text(recipe, forge(recipe)));
  CHECK(text.find("a mill's sheet as") != std::string::npos);
  CHECK(text.find("a tool steel supplier's sheet") != std::string::npos);
}

TEST_CASE("hardening: nobody is told to melt a metal of the bar in the hardening fire", "[hardening]") {
  // Copper begins to melt at 1065 C, X65Cr13 is hardened at 1040 to 1080 C: both value from memory.
  const std::string
      steels = "skin = \"1084\"\ncu = \"copper\"\ncore = ",
      stack = R"(["skin 3 mm", "cu 0.5 mm", "core 3 mm", "cu 0.5 mm", "skin 3 mm"])",
      cool = R"({ do = "weld", to = "60 %", heat = "1040 C" }, { do = "draw", thickness = "3 mm", heat = "1000 C" })";
  const Hardening melts = hardened(laminate(steels + "\"X65Cr13\"", cool, stack));
  CHECK(warns(melts, "this bar cannot be hardened"));
  CHECK(melts.objections >= 1);
  CHECK_FALSE(melts.heat());
  CHECK(melts.practice.size() == 1);
  CHECK(says(melts, "Do not harden it"));
  const Hardening bears = hardened(laminate(steels + "\"1095\"", cool, stack));
  CHECK(bears.melts.empty());
  CHECK(says(bears, "790 to 815 C"));
  for (const SteelInBar& one : bears.steels) CHECK(one.takes_carbon == (one.name != "cu"));
  for (const SteelInBar& one : bears.steels) CHECK((one.takes_carbon || !one.ac1_c));  // no formula of steel for copper
}
