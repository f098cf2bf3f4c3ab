// Low-alloy and tool steels. Ranges in weight %: least, most, nominal.

#include "steels/sheets.hpp"
#include "steels/temper_tables.hpp"

namespace etchcast {
namespace {

using enum Element;

constexpr Window kHarden5160{830, 845, "value from memory"};
constexpr Window kForge52100{925, 1150, "a bladesmith's published sheet"};
constexpr Window kHarden52100{815, 855, "suppliers' sheets"};
constexpr Window kHarden80CrV2{from_fahrenheit(1500), from_fahrenheit(1550), "value from memory"};
// Common practice is told for mixes: 1450-1480 F with 1075, 1475 F with 1095, 1475-1500 F with 1084.
constexpr Window kHarden75Ni8{from_fahrenheit(1450), from_fahrenheit(1500), "common practice, welded to 10xx"};
constexpr Window kForgeW2{815, 1065, "value from memory"};
constexpr Window kHardenW2{from_fahrenheit(1400), from_fahrenheit(1550), "value from memory"};
constexpr Window kForgeO1{843, 1066, "a distributor's sheet: start at 982-1066 C"};
constexpr Window kHardenO1{from_fahrenheit(1450), from_fahrenheit(1500), "a distributor's sheet"};
constexpr Window kForgeO2{845, 1050, "value from memory"};
constexpr Window kHardenO2{760, 800, "value from memory"};
// One sheet prints a forging range of 2100-2175 F for L6; all others have 1800-2000 F.
constexpr Window kForgeL6{845, 1095, "a bladesmiths' society's sheet: start at 980-1095 C"};
// 1500 F is 815.6 C. The sheet's own "790 C" beside it is a slip; another sheet has 815-840 C.
constexpr Window kHardenL6{from_fahrenheit(1500), from_fahrenheit(1550), "a bladesmiths' society's sheet"};

constexpr SteelSheet kAlloySteels[] = {
    {.grade = "5160",
     .also = "G51600",
     .standard = "SAE J404 / ASTM A29",
     .source = "C 0.60, Mn 0.88, Cr 0.80 as typical: a knife steel reference; all else: value from memory",
     .contents = {{carbon, 0.56, 0.64, 0.60},
                  {manganese, 0.75, 1.00, 0.88},
                  {silicon, 0.15, 0.35, 0.25},
                  {chromium, 0.70, 0.90, 0.80}},
     .tone = 0.25,
     .attack = 0.80,
     .harden = kHarden5160},
    {.grade = "52100",
     .also = "100Cr6, 1.3505, G52986",
     .standard = "ASTM A295",
     .source = "ranges: ASTM A295; density 7.81: suppliers' sheets; tone and attack: value from memory",
     .contents = {{carbon, 0.93, 1.05, 1.00},
                  {manganese, 0.25, 0.45, 0.35},
                  {silicon, 0.15, 0.35, 0.25},
                  {chromium, 1.35, 1.60, 1.50},
                  {nickel, 0, 0.25, 0},
                  {molybdenum, 0, 0.10, 0}},
     .density = 7.81,
     .tone = 0.45,
     .attack = 0.62,
     .forge = kForge52100,
     .harden = kHarden52100},
    {.grade = "8670",
     .also = "",
     .standard = "SAE",
     .source = "nominal figures only, all: value from memory",
     .contents = {{carbon, 0.70, 0.70, 0.70},
                  {manganese, 0.50, 0.50, 0.50},
                  {chromium, 0.40, 0.40, 0.40},
                  {nickel, 0.90, 0.90, 0.90}},
     .tone = 0.40,
     .attack = 0.60},
    {.grade = "80CrV2",
     .also = "1.2235",
     .standard = "EN 10132-4",
     .source = "C 0.80 nominal: a published study of the steel's heat treatment; all else: value from memory",
     .contents = {{carbon, 0.75, 0.85, 0.80},
                  {manganese, 0.30, 0.50, 0.40},
                  {silicon, 0.25, 0.40, 0.30},
                  {chromium, 0.40, 0.60, 0.50},
                  {vanadium, 0.15, 0.25, 0.20}},
     .tone = 0.32,
     .attack = 0.82,
     .harden = kHarden80CrV2},
    {.grade = "75Ni8",
     .also = "15N20, 1.5634",
     .standard = "EN 10132-4",
     .source = "75Ni8 = 1.5634 in EN 10132-4: a saw maker's guide; all figures: value from memory",
     .contents = {{carbon, 0.72, 0.78, 0.75},
                  {manganese, 0.30, 0.50, 0.40},
                  {silicon, 0.15, 0.35, 0.25},
                  {chromium, 0, 0.15, 0.10},
                  {nickel, 1.80, 2.10, 2.00},
                  {molybdenum, 0, 0.10, 0}},
     .tone = 0.92,
     .attack = 0.05,
     .harden = kHarden75Ni8},
};

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
     .harden = kHardenW2},
    // A second sheet prints manganese 1.40-1.80 (which is O2's) and vanadium 0.030, a third manganese 0.40: slips.
    {.grade = "O1",
     .also = "1.2510, 100MnCrW4, T31501",
     .standard = "ASTM A681",
     .source = "ranges: ASTM A681 by a distributor's sheet (chromium 0.40-0.70 from memory); density, tone and "
               "attack: value from memory",
     .contents = {{carbon, 0.85, 1.00, 0.95},
                  {manganese, 1.00, 1.40, 1.20},
                  {silicon, 0, 0.50, 0.30},
                  {chromium, 0.40, 0.60, 0.50},
                  {vanadium, 0, 0.30, 0},
                  {tungsten, 0.40, 0.60, 0.50}},
     .tone = 0.04,
     .forge = kForgeO1,
     .harden = kHardenO1,
     .temper = kO1Tables},
    {.grade = "O2",
     .also = "1.2842, 90MnCrV8, T31502",
     .standard = "ASTM A681",
     .source = "ranges: ASTM A681 by a materials database, single values read as upper limits; 90MnCrV8 has Mn "
               "1.80-2.20, V 0.05-0.20, and density, tone and attack: value from memory",
     .contents = {{carbon, 0.85, 0.95, 0.90},
                  {manganese, 1.40, 1.80, 1.60},
                  {silicon, 0, 0.50, 0.30},
                  {chromium, 0, 0.35, 0.30},
                  {molybdenum, 0, 0.30, 0},
                  {vanadium, 0, 0.30, 0}},
     .tone = 0.03,
     .forge = kForgeO2,
     .harden = kHardenO2},
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
     .temper = kL6Tables},
};

}  // namespace

std::span<const SteelSheet> alloy_steels() { return kAlloySteels; }
std::span<const SteelSheet> tool_steels() { return kToolSteels; }

}  // namespace etchcast
