// Tool steels. Ranges in weight %: least, most, nominal.

#include "steels/sheets.hpp"
#include "steels/temper_tables.hpp"

namespace etchcast {
namespace {

using enum Element;

constexpr Window kForgeW2{815, 1065, "value from memory"};
constexpr Window kHardenW2{from_fahrenheit(1400), from_fahrenheit(1550), "value from memory"};
constexpr Window kForgeO1{843, 1066, "a distributor's sheet: start at 982-1066 C"};
constexpr Window kHardenO1{from_fahrenheit(1450), from_fahrenheit(1500), "a distributor's sheet"};
constexpr Window kHarden100MnCrW4{780, 820, "value from memory"};
constexpr Window kForgeO2{845, 1050, "value from memory"};
constexpr Window kHardenO2{from_fahrenheit(1400), from_fahrenheit(1475), "value from memory"};
constexpr Window kHarden90MnCrV8{790, 820, "value from memory"};
// One sheet prints a forging range of 2100-2175 F for L6; all others have 1800-2000 F.
constexpr Window kForgeL6{845, 1095, "a bladesmiths' society's sheet: start at 980-1095 C"};
// 1500 F is 815.6 C. The sheet's own "790 C" beside it is a slip; another sheet has 815-840 C.
constexpr Window kHardenL6{from_fahrenheit(1500), from_fahrenheit(1550), "a bladesmiths' society's sheet"};

constexpr Window kNormaliseW2{from_fahrenheit(1550), from_fahrenheit(1650), "value from memory"};
constexpr std::string_view kHardensThin =
    "its makers' sheets mostly leave it out, since thin pieces harden partly in still air (common practice)";
constexpr Hold kHoldW2{5, 15, "value from memory"};
// Chromium and tungsten carbides dissolve slowly: half an hour to an inch of section is told, a blade needs less.
constexpr Hold kHoldOil{10, 30, "value from memory"};

constexpr SteelSheet kToolSteels[] = {
    {.grade = "W2",
     .also = "T72302",
     .standard = "ASTM A686",
     .source = "all figures: value from memory",
     .contents = {{carbon, 0.85, 1.50, 1.00},
                  {manganese, 0.10, 0.40, 0.30},
                  {silicon, 0.10, 0.40, 0.25},
                  {chromium, 0, 0.15, 0.15},
                  {vanadium, 0.15, 0.35, 0.20}},
     .tone = 0.20,
     .attack = 0.95,
     .forge = kForgeW2,
     .harden = kHardenW2,
     .hold = kHoldW2,
     .oil = Oil::fast,
     .normalise = kNormaliseW2},
    // A second sheet prints manganese 1.40-1.80 (which is O2's) and vanadium 0.030, a third manganese 0.40: slips.
    {.grade = "O1",
     .also = "T31501",
     .standard = "ASTM A681",
     .source = "ranges: ASTM A681 by a distributor's sheet, chromium 0.40-0.70: value from memory (the sheet prints "
               "0.40-0.60); density, tone and attack: value from memory",
     .contents = {{carbon, 0.85, 1.00, 0.95},
                  {manganese, 1.00, 1.40, 1.20},
                  {silicon, 0, 0.50, 0.30},
                  {chromium, 0.40, 0.70, 0.50},
                  {vanadium, 0, 0.30, 0},
                  {tungsten, 0.40, 0.60, 0.50}},
     .tone = 0.04,
     .forge = kForgeO1,
     .harden = kHardenO1,
     .hold = kHoldOil,
     .oil = Oil::medium,
     .no_normalise = kHardensThin,
     .temper = kO1Tables},
    {.grade = "100MnCrW4",
     .also = "1.2510",
     .standard = "the German steel list; close to O1",
     .source = "all figures: value from memory",
     .contents = {{carbon, 0.90, 1.05, 0.95},
                  {manganese, 1.00, 1.20, 1.10},
                  {silicon, 0.15, 0.35, 0.25},
                  {chromium, 0.50, 0.70, 0.60},
                  {vanadium, 0.05, 0.15, 0.10},
                  {tungsten, 0.50, 0.70, 0.60}},
     .tone = 0.05,
     .forge = Window{kForgeO1.low_c, kForgeO1.high_c, "as O1"},
     .harden = kHarden100MnCrW4,
     .hold = kHoldOil,
     .oil = Oil::medium,
     .no_normalise = kHardensThin},
    {.grade = "O2",
     .also = "T31502",
     .standard = "ASTM A681",
     .source = "ranges: ASTM A681 by a materials database, single values read as upper limits; density, tone and "
               "attack: value from memory",
     .contents = {{carbon, 0.85, 0.95, 0.90},
                  {manganese, 1.40, 1.80, 1.60},
                  {silicon, 0, 0.50, 0.30},
                  {chromium, 0, 0.35, 0.30},
                  {molybdenum, 0, 0.30, 0},
                  {vanadium, 0, 0.30, 0}},
     .tone = 0.04,
     .forge = kForgeO2,
     .harden = kHardenO2,
     .hold = kHoldOil,
     .oil = Oil::medium,
     .no_normalise = kHardensThin},
    // Sold as "O2", but with more manganese than ASTM allows there.
    {.grade = "90MnCrV8",
     .also = "1.2842",
     .standard = "EN ISO 4957",
     .source = "all figures: value from memory",
     .contents = {{carbon, 0.85, 0.95, 0.90},
                  {manganese, 1.80, 2.20, 2.00},
                  {silicon, 0.10, 0.40, 0.25},
                  {chromium, 0.20, 0.50, 0.35},
                  {vanadium, 0.05, 0.20, 0.10}},
     .tone = 0.03,
     .forge = kForgeO2,
     .harden = kHarden90MnCrV8,
     .hold = kHoldOil,
     .oil = Oil::medium,
     .no_normalise = kHardensThin},
    // Slips in print: nickel "0.150 %" (for 1.50), chromium 1.5-2.5 %.
    {.grade = "L6",
     .also = "T61206",
     .standard = "ASTM A681",
     .source = "ranges: ASTM A681; density 7.86: materials databases; tone and attack: value from memory",
     .contents = {{carbon, 0.65, 0.75, 0.70},
                  {manganese, 0.25, 0.80, 0.60},
                  {silicon, 0.10, 0.50, 0.25},
                  {chromium, 0.60, 1.20, 0.80},
                  {nickel, 1.25, 2.00, 1.50},
                  {molybdenum, 0, 0.50, 0}},
     .density = 7.86,
     .tone = 0.80,
     .attack = 0.18,
     .forge = kForgeL6,
     .harden = kHardenL6,
     .hold = kHoldOil,
     .oil = Oil::medium,
     .no_normalise = kHardensThin,
     .temper = kL6Tables},
};

}  // namespace

std::span<const SteelSheet> tool_steels() { return kToolSteels; }

}  // namespace etchcast
