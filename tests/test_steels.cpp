// The table of steels against the standards, hardness, tempering tables, fire windows, scale and expansion.

#include "catch.hpp"
#include "etchcast/metallurgy.hpp"
#include "etchcast/reference.hpp"
#include "etchcast/steels.hpp"
#include "forge_helpers.hpp"
#include "steels/scale.hpp"

using namespace etchcast;

namespace {

Content content(std::string_view grade, Element element) {
  for (const Content& c : find_sheet(grade)->contents)
    if (c.element == element) return c;
  FAIL("no such element in " << grade);
  return {};
}

void check_range(std::string_view grade, Element element, double least, double most) {
  INFO(grade << " " << symbol_of(element));
  CHECK(content(grade, element).least == Approx(least));
  CHECK(content(grade, element).most == Approx(most));
}

double celsius(double fahrenheit) { return (fahrenheit - 32) / 1.8; }

}  // namespace

TEST_CASE("steels: every sheet is in order, and a recipe's grade is made from it", "[steels]") {
  CHECK(steel_sheets().size() == grades().size());
  for (const SteelSheet& sheet : steel_sheets()) {
    INFO(sheet.grade);
    CHECK_FALSE(sheet.source.empty());
    double sum = 0;
    for (const Content& c : sheet.contents) {
      CHECK(c.least <= c.nominal);
      CHECK(c.nominal <= c.most);
      sum += c.nominal;
    }
    CHECK(sum <= 100);
    CHECK(sheet.contents[0].element == Element::carbon);
    for (const auto& window : {sheet.forge, sheet.harden})
      if (window) {
        CHECK(window->low_c <= window->high_c);
        CHECK_FALSE(window->source.empty());
      }
    const Recipe recipe = parse_recipe(
        "[steels]\ns = \"" + std::string(sheet.grade) + "\"\n[[billet]]\nname = \"b\"\nstack = \"s 3 mm\"\n", "t");
    for (const Content& c : sheet.contents) CHECK(recipe.steels[0].*field_of(c.element) == c.nominal);
  }
  CHECK(find_sheet("15n20")->grade == "75Ni8");
  CHECK(find_sheet("AISI 304")->grade == "304");
  CHECK(find_sheet("o-1")->grade == "O1");
  CHECK(find_sheet("unobtainium") == nullptr);
}

TEST_CASE("steels: a composition of one's own is kept, a grade's is changed only where told", "[steels]") {
  const Recipe recipe = parse_recipe(
      "[steels]\nown = { c = 0.9, cr = 1.2, w = 0.3 }\nplus = { grade = \"L6\", ni = 2.5 }\n[[billet]]\nname = "
      "\"b\"\nstack = \"own 3 mm\"\n",
      "t");
  CHECK(recipe.steels[0].chromium == 1.2);
  CHECK(recipe.steels[0].tungsten == 0.3);
  CHECK(recipe.steels[0].nickel == 0);
  CHECK(recipe.steels[1].nickel == 2.5);
  CHECK(recipe.steels[1].chromium == 0.8);
}

// [ASTM A29 / SAE J403, as a bar supplier's table of chemical ranges prints them]
TEST_CASE("steels: carbon steels keep to ASTM A29 and SAE J403", "[steels][source]") {
  using enum Element;
  check_range("1018", carbon, 0.15, 0.20);
  check_range("1018", manganese, 0.60, 0.90);
  check_range("1045", carbon, 0.43, 0.50);
  check_range("1045", manganese, 0.60, 0.90);
  check_range("1070", carbon, 0.65, 0.75);
  check_range("1070", manganese, 0.60, 0.90);
  check_range("1074", carbon, 0.70, 0.80);
  check_range("1074", manganese, 0.50, 0.80);
  check_range("1075", carbon, 0.70, 0.80);
  check_range("1075", manganese, 0.40, 0.70);
  check_range("1080", carbon, 0.75, 0.88);
  check_range("1080", manganese, 0.60, 0.90);
  check_range("1084", carbon, 0.80, 0.93);
  check_range("1084", manganese, 0.60, 0.90);
  check_range("1095", carbon, 0.90, 1.03);
  check_range("1095", manganese, 0.30, 0.50);
}

// [ASTM A681 by materials databases (L6, O2) and a distributor's sheet (O1); ASTM A295 by suppliers' sheets]
TEST_CASE("steels: tool and bearing steels keep to ASTM A681 and A295", "[steels][source]") {
  using enum Element;
  check_range("L6", carbon, 0.65, 0.75);
  check_range("L6", manganese, 0.25, 0.80);
  check_range("L6", silicon, 0.10, 0.50);
  check_range("L6", chromium, 0.60, 1.20);  // not 1.5-2.5, as one page has it
  check_range("L6", nickel, 1.25, 2.00);    // not 0.150, a slip of one sheet
  CHECK(content("L6", nickel).nominal > 1.2);
  CHECK(content("L6", chromium).most < 1.5);
  check_range("O1", carbon, 0.85, 1.00);
  check_range("O1", manganese, 1.00, 1.40);  // not 1.40-1.80 (O2's), not 0.40: slips of two sheets
  check_range("O1", chromium, 0.40, 0.70);   // value from memory; one sheet prints 0.40-0.60
  check_range("O1", tungsten, 0.40, 0.60);
  check_range("O1", vanadium, 0, 0.30);  // not 0.030
  CHECK(content("O1", manganese).nominal < content("O2", manganese).least);
  check_range("O2", carbon, 0.85, 0.95);
  check_range("O2", manganese, 1.40, 1.80);
  check_range("52100", carbon, 0.93, 1.05);  // not 0.98-1.10, the older AISI range
  check_range("52100", manganese, 0.25, 0.45);
  check_range("52100", silicon, 0.15, 0.35);
  check_range("52100", chromium, 1.35, 1.60);
}

// Nickel: [ASTM B160]; the rest: value from memory (EN 10132-4, SAE J404, ASTM A686, EN 10088).
TEST_CASE("steels: nickel keeps to ASTM B160, European and other grades to values from memory", "[steels][source]") {
  using enum Element;
  CHECK(content("N02200", nickel).least == 99.0);
  check_range("N02200", manganese, 0, 0.35);
  CHECK(find_sheet("Nickel 200")->density == 8.89);
  check_range("75Ni8", carbon, 0.72, 0.78);
  check_range("75Ni8", nickel, 1.80, 2.10);
  check_range("75Ni8", manganese, 0.30, 0.50);
  check_range("C75S", manganese, 0.60, 0.90);
  check_range("C85S", carbon, 0.80, 0.90);
  check_range("C100S", carbon, 0.95, 1.05);
  check_range("80CrV2", vanadium, 0.15, 0.25);
  check_range("80CrV2", silicon, 0.15, 0.35);
  check_range("90MnCrV8", manganese, 1.80, 2.20);  // EN ISO 4957: more than O2's 1.40-1.80
  CHECK(content("90MnCrV8", manganese).nominal == 2.0);
  CHECK(find_sheet("1.2842")->grade == "90MnCrV8");
  CHECK(find_sheet("1.2842")->harden->low_c == 790);
  CHECK(find_sheet("1.2842")->harden->high_c == 820);
  check_range("100MnCrW4", chromium, 0.50, 0.70);
  check_range("X20Cr13", carbon, 0.16, 0.25);
  CHECK(find_sheet("1.4021")->grade == "X20Cr13");
  check_range("304", chromium, 17.5, 19.5);
  check_range("304", nickel, 8.0, 10.5);
  check_range("A203E", nickel, 3.25, 3.75);
  CHECK(content("C11000", copper).least == 99.90);
  CHECK(content("8670", molybdenum).nominal == 0.08);
  CHECK(content("26C3", carbon).nominal == 1.25);
  CHECK(content("AEB-L", carbon).nominal == 0.67);
  CHECK(find_sheet("C80") == nullptr);  // no strip standard has it, and C80U is a tool steel of little manganese
  check_range("5160", chromium, 0.70, 0.90);
  check_range("W2", vanadium, 0.15, 0.35);
  check_range("X65Cr13", carbon, 0.58, 0.70);
  CHECK(find_sheet("L6")->density == 7.86);     // [a materials database: 7.86 g/cm3 = 0.284 lb/in3]
  CHECK(find_sheet("52100")->density == 7.81);  // [a supplier's sheet: 7.81 g/cm3 = 0.282 lb/in3]
}

// [Suppliers' and a bladesmiths' society's sheets for 1095, O1, L6 and 52100]
TEST_CASE("steels: forging and hardening windows meet where the published ones do", "[steels][source]") {
  const auto forge = [](const char* grade) { return *find_sheet(grade)->forge; };
  const auto with_l6 = overlap(forge("1095"), forge("L6")), with_o1 = overlap(forge("1095"), forge("O1"));
  CHECK(with_l6->low_c == 845);
  CHECK(with_l6->high_c == 1095);
  CHECK(with_o1->low_c == Approx(845).margin(2.5));  // 845 in the table of windows, 843 in O1's own sheet
  CHECK(with_o1->high_c == 1066);
  const auto with_52100 = overlap(*with_o1, forge("52100"));
  CHECK(with_52100->low_c == 925);
  CHECK(with_52100->high_c == 1066);
  const auto harden = overlap(*find_sheet("O1")->harden, *find_sheet("L6")->harden);
  REQUIRE(harden);  // 1450-1500 F and 1500-1550 F: one point
  CHECK(harden->low_c == harden->high_c);
  CHECK(harden->low_c == Approx(815.6).margin(0.05));
  CHECK(find_sheet("L6")->harden->low_c > 800);  // not the 790 C one page prints for 1500 F
  CHECK(forge("L6").high_c < celsius(2100));     // not the 2100-2175 F one sheet prints
  CHECK_FALSE(can_be_held(*overlap(*find_sheet("1095")->harden, *find_sheet("52100")->harden)));
}

TEST_CASE(
    "steels: every window of heat can be held in a forge, and every steel that hardens has what a smith must know",
    "[steels]") {
  for (const SteelSheet& sheet : steel_sheets()) {
    INFO(sheet.grade);
    if (sheet.normalise) CHECK(can_be_held(*sheet.normalise));
    if (!sheet.harden) continue;
    CHECK(can_be_held(*sheet.harden));
    CHECK(sheet.normalise.has_value() == sheet.no_normalise.empty());
    CHECK(hottest_weld_c(steel_of({std::shared_ptr<const SteelSheet>(), &sheet})) > sheet.harden->high_c + 80);
    if (sheet.hold) CHECK(sheet.hold->least_min < sheet.hold->most_min);
  }
  // 800 C of a kiln supplier's sheet and 1475 F of common practice lie within 1095's window.
  CHECK(find_sheet("1095")->harden->low_c < 800);
  CHECK(find_sheet("1095")->harden->high_c > celsius(1475));
  // Value from memory: 52100 is normalised near 900 C, 10xx near 855 C (1575 F, common practice); O1 and L6 are not.
  CHECK(find_sheet("52100")->normalise->low_c < 900);
  CHECK(find_sheet("52100")->normalise->high_c > 900);
  CHECK(find_sheet("1084")->normalise->low_c < celsius(1575));
  CHECK(find_sheet("1084")->normalise->high_c > celsius(1575));
  CHECK_FALSE(find_sheet("O1")->no_normalise.empty());
  CHECK_FALSE(find_sheet("L6")->no_normalise.empty());
}

TEST_CASE("steels: how hot a steel may be follows its melting, or its own sheet", "[steels]") {
  const auto steel = [](std::string_view grade) {
    return steel_of({std::shared_ptr<const SteelSheet>(), find_sheet(grade)});
  };
  // Common practice welds 1095 and 1084 at 1200 to 1260 C, and copper between steel at 1040 C (1900 F) at most.
  for (const char* usual : {"1084", "1095", "C100S", "75Ni8", "52100", "80CrV2", "5160", "1018", "wrought", "410"}) {
    INFO(usual);
    CHECK(hottest_c(steel(usual)) > 1260);
    CHECK(hottest_weld_c(steel(usual)) > 1260);
  }
  CHECK(hottest_c(steel("copper")) == 1040);
  CHECK(hottest_c(steel("26C3")) < 1260);
  // A steel without a sheet of its own is forged as 1095 is, by its carbon: no hotter than its neighbours.
  CHECK(forging_heats(steel("1095")).high_c == 1150);  // a kiln supplier's sheet
  CHECK(forging_heats(steel("C100S")).high_c == Approx(1150).margin(6));
  CHECK(forging_heats(steel("1084")).high_c == Approx(1175).margin(1));
  CHECK(forging_heats(steel("1075")).high_c > forging_heats(steel("1084")).high_c);
  CHECK(hottest_weld_c(steel("O1")) < 1260);  // starts at 1066 C on a distributor's sheet
}

TEST_CASE("steels: a name that is not known is answered by its sense, never by its letters", "[steels]") {
  const auto hint = [](const char* word) { return steel_hint(word); };
  const auto names = [&](const char* word, const char* grade) {
    INFO(word << ": " << hint(word));
    CHECK(hint(word).find(grade) != std::string::npos);
  };
  names("mild steel", "\"1018\"");
  names("mild", "\"1018\"");
  names("Carbon-Steel", "\"1084\"");
  names("nickel", "Nickel 200");
  names("nickle", "Nickel 200");
  names("stainless", "\"410\"");
  names("damascus", "[[billet]]");
  names("304L", "\"304\"");
  names("440C", "\"420\"");
  names("1055", "\"1084\"");
  names("1.4116", "\"1.4021\"");
  names("80CrV3", "\"80CrV2\"");
  names("O7", "\"O1\"");
  names("cooper", "\"copper\"");
  names("C80", "\"1080\"");
  for (const char* foreign : {"304L", "440C", "316", "1.4116"}) {
    INFO(foreign << ": " << hint(foreign));
    CHECK(hint(foreign).find("\"10") == std::string::npos);
    CHECK(hint(foreign).find("L6") == std::string::npos);
  }
  for (const char* unknown : {"D2", "S7", "1804", "unobtainium", "M390"}) CHECK(hint(unknown).empty());
}

// [Suppliers' tempering sheets], +-2 HRC for O1 below 427 C and L6, +-3 for 1095
TEST_CASE("steels: tempered hardness covers every published table, and nothing else is told", "[steels][source]") {
  const auto covers = [](const char* grade, double at, double hrc) {
    INFO(grade << " " << at);
    const auto range = tempered_hardness(*find_sheet(grade), at);
    REQUIRE(range);
    CHECK(range->least <= hrc);
    CHECK(range->most >= hrc);
    CHECK(range->most - range->least >= 1);
    CHECK(range->most - range->least < 11);
  };
  for (const auto& [at, hrc] : {std::pair(150, 64), {205, 62}, {260, 59}, {315, 56}, {425, 49}, {540, 40}})
    covers("O1", at, hrc);
  for (const auto& [at, hrc] : {std::pair(300, 63), {400, 62}, {600, 57}, {800, 50}, {1000, 44}, {1200, 31}})
    covers("O1", celsius(at), hrc);
  for (const auto& [at, hrc] : {std::pair(300, 62), {400, 61}, {500, 58}, {700, 53}, {1000, 46}})
    covers("L6", celsius(at), hrc);
  for (const auto& [at, hrc] : {std::pair(150, 65), {200, 60}, {260, 55}, {340, 50}}) covers("1095", at, hrc);
  // Handbooks' charts for 0.95 % C, value from memory: 2 to 3 HRC above the supplier's sheet from 230 C up.
  for (const auto& [at, hrc] : {std::pair(205, 62), {230, 60.5}, {260, 58.5}}) covers("1095", at, hrc);
  CHECK_FALSE(tempered_hardness(*find_sheet("1095"), 400));  // the table ends at 340 C
  CHECK_FALSE(tempered_hardness(*find_sheet("O1"), 20));
  for (const char* grade : {"1080", "1084", "75Ni8", "52100", "5160", "8670", "80CrV2", "W2"})
    CHECK_FALSE(tempered_hardness(*find_sheet(grade), 200));  // no table seen
  CHECK(quenched_hardness(*find_sheet("L6"))->least == 63);
  CHECK(quenched_hardness(*find_sheet("O1"))->most == 65);
  CHECK(tempered_hardness(*find_sheet("O1"), 150)->most == 65);  // a temper does not harden it
}

// [ASTM E140, table 1]; 33-31 and 29-21 are values from memory and not checked
TEST_CASE("steels: Rockwell and Vickers go by ASTM E140", "[steels][source]") {
  for (const auto& [hrc, hv] : {std::pair(68, 940),
                                {65, 832},
                                {62, 746},
                                {60, 697},
                                {58, 653},
                                {55, 595},
                                {52, 544},
                                {50, 513},
                                {45, 446},
                                {40, 392},
                                {36, 354},
                                {34, 336},
                                {30, 302},
                                {20, 238}})
    CHECK(*vickers_from_rockwell(hrc) == hv);
  CHECK(*vickers_from_rockwell(52) != 512);  // two slips of one conversion page
  CHECK(*vickers_from_rockwell(40) != 381);
  double last = 0;
  for (double hrc = 20; hrc <= 68; hrc += 0.25) {
    const double hv = *vickers_from_rockwell(hrc);
    CHECK(hv > last);
    CHECK(*rockwell_from_vickers(hv) == Approx(hrc).margin(0.5));
    last = hv;
  }
  CHECK_FALSE(vickers_from_rockwell(69));
  CHECK_FALSE(rockwell_from_vickers(200));
}

// [Davies, Simnad & Birchenall 1951]: value from memory, so the table tests the arithmetic
TEST_CASE("steels: scale in air takes what the parabolic law says, as an upper bound", "[steels][source]") {
  for (const auto& [at, um] :
       {std::pair(900, 45.4), {1000, 89.8}, {1100, 160.9}, {1150, 208.9}, {1200, 266.4}, {1250, 334.3}})
    CHECK(*scale_loss_at_most_mm(at, 600) * 1000 == Approx(um).epsilon(0.002));
  CHECK(*scale_loss_at_most_mm(1200, 3600) * 1000 == Approx(652).epsilon(0.002));
  CHECK(scaling_rate(1100) == Approx(2.183e-6).epsilon(0.001));
  CHECK_FALSE(scale_loss_at_most_mm(1300, 600));
  CHECK_FALSE(scale_loss_at_most_mm(600, 600));
  // The forge's usual loss a heat, 0.05 mm, is within the bound for 4 min at 1090 C.
  CHECK(Losses{}.scale_forge_mm < *scale_loss_at_most_mm(1090, 240));
}

TEST_CASE("steels: oxides hold the oxygen their formulas say", "[steels]") {  // atomic masses
  CHECK(oxygen_share(kWustite) == Approx(0.22269).margin(1e-5));
  CHECK(oxygen_share(kMagnetite) == Approx(0.27640).margin(1e-5));
  CHECK(oxygen_share(kHematite) == Approx(0.30057).margin(1e-5));
  CHECK(iron_lost_per_oxygen(kWustite) == Approx(3.4905).margin(1e-4));
  CHECK(iron_lost_per_oxygen(kMagnetite) == Approx(2.6179).margin(1e-4));
  CHECK(iron_lost_per_oxygen(kHematite) == Approx(2.3270).margin(1e-4));
  CHECK(volume_ratio(kWustite) == Approx(1.763).margin(0.002));  // oxide densities: value from memory
  CHECK(volume_ratio(kMagnetite) == Approx(2.105).margin(0.002));
  CHECK(volume_ratio(kHematite) == Approx(2.148).margin(0.002));
}

// [EN 1993-1-2:2005, 3.4.1.1]
TEST_CASE("steels: hot steel is longer by the Eurocode's law", "[steels][source]") {
  for (const auto& [at, share] : {std::pair(20, 0.0),
                                  {500, 0.006758},
                                  {800, 0.011},
                                  {900, 0.0118},
                                  {1000, 0.0138},
                                  {1100, 0.0158},
                                  {1200, 0.0178}})
    CHECK(*thermal_elongation(at) == Approx(share).margin(1e-6));
  CHECK(*thermal_elongation(1100) / 1080 == Approx(14.63e-6).epsilon(0.001));
  CHECK(7850 / std::pow(1 + *thermal_elongation(1200), 3) == Approx(7445.3).margin(0.1));
  CHECK_FALSE(thermal_elongation(1300));
}

// [Tomlinson & Stringer, J. Iron Steel Inst. 193 (1959) 157]: value from memory
TEST_CASE("steels: a bar drawn under flat dies spreads by Tomlinson and Stringer and keeps its volume", "[steels]") {
  const Forging f = forged(exact_recipe("stack = [\"dark 25 mm\", \"bright 25 mm\"]",
                                        "{ do = \"draw\", thickness = \"40 mm\", bite = \"25 mm\" }", "",
                                        "width = \"50 mm\"\nlength = \"100 mm\"\n"));
  const Bar& bar = f.last();
  CHECK(bar.width_mm == Approx(53.539).epsilon(1e-4));
  CHECK(bar.length_mm / 100 == Approx(1.16737).epsilon(1e-4));
  CHECK(bar.length_mm * bar.width_mm * bar.thickness_mm == Approx(50 * 50 * 100).epsilon(1e-12));
}

TEST_CASE("steels: the text names every grade, its figures and their sources", "[steels][books]") {
  const std::string all = steels_text();
  for (const SteelSheet& sheet : steel_sheets()) CHECK(all.find(sheet.grade) != std::string::npos);
  std::string texts = all;
  for (const SteelSheet& sheet : steel_sheets()) texts += steel_text(sheet.grade);
  for (size_t from = 0, to; (to = texts.find('\n', from)) != std::string::npos; from = to + 1) CHECK(to - from <= 80);
  CHECK(steel_text("l6").find("Ni 1.25-2.00 %") != std::string::npos);
  CHECK(steel_text("l6").find("815 to 845 C (1500 to 1550 F)") != std::string::npos);
  CHECK(steel_text("8670").find("value from memory") != std::string::npos);
  CHECK(steel_text("1084").find("no table on record") != std::string::npos);
  CHECK_THROWS_AS(steel_text("1804"), Error);
}
