// Plain carbon steels and iron. Ranges in weight %: least, most, nominal.
// Chemical ranges of 10xx steels: ASTM A29 / SAE J403 as a bar supplier's sheet prints them (1074 and 1075 by SAE
// only). Silicon is not part of those ranges; 0.15-0.35 is the usual, value from memory.

#include "steels/sheets.hpp"
#include "steels/temper_tables.hpp"

namespace etchcast {
namespace {

using enum Element;

constexpr Window kForge1095{815, 1150, "a kiln supplier's sheet for 1095"};
// A single figure is no window: a forge holds a heat to some 25 F (14 C) either way.
constexpr Window kHarden1095{
    from_fahrenheit(1450), from_fahrenheit(1500),
    "800 C on a kiln supplier's sheet, 1475 F in common practice with 75Ni8; give or take 25 F (14 C)"};
constexpr Window kHarden1075{from_fahrenheit(1450), from_fahrenheit(1480), "common practice, welded to 75Ni8"};
constexpr Window kHarden1084{from_fahrenheit(1475), from_fahrenheit(1500), "common practice, welded to 75Ni8"};
constexpr Window kHarden1080{from_fahrenheit(1475), from_fahrenheit(1500), "as 1084; value from memory"};
constexpr Window kHarden1070{from_fahrenheit(1475), from_fahrenheit(1525), "value from memory"};
constexpr Window kHarden1045{from_fahrenheit(1500), from_fahrenheit(1550), "value from memory"};
constexpr Window kHardenW1{from_fahrenheit(1400), from_fahrenheit(1500), "value from memory"};
constexpr Window kNormalise{from_fahrenheit(1550), from_fahrenheit(1600),
                            "common practice: about 1575 F (855 C) for 10xx welded to 75Ni8"};
constexpr Window kNormalise1045{from_fahrenheit(1575), from_fahrenheit(1625), "value from memory"};
constexpr Window kNormaliseW1{from_fahrenheit(1550), from_fahrenheit(1650), "value from memory"};
constexpr Hold kHold{5, 15, "common practice for 10xx welded to 75Ni8"};

constexpr SteelSheet kCarbonSteels[] = {
    {.grade = "1045",
     .also = "G10450",
     .standard = "SAE J403 / ASTM A29",
     .source = "C and Mn: ASTM A29; Si, density, tone and attack: value from memory",
     .contents = {{carbon, 0.43, 0.50, 0.45}, {manganese, 0.60, 0.90, 0.75}, {silicon, 0.15, 0.35, 0.20}},
     .tone = 0.22,
     .attack = 0.85,
     .harden = kHarden1045,
     .hold = kHold,
     .oil = Oil::fast,
     .normalise = kNormalise1045},
    {.grade = "1070",
     .also = "G10700",
     .standard = "SAE J403 / ASTM A29",
     .source = "C and Mn: ASTM A29; Si, density, tone and attack: value from memory",
     .contents = {{carbon, 0.65, 0.75, 0.70}, {manganese, 0.60, 0.90, 0.75}, {silicon, 0.15, 0.35, 0.20}},
     .tone = 0.12,
     .harden = kHarden1070,
     .hold = kHold,
     .oil = Oil::fast,
     .normalise = kNormalise},
    {.grade = "1074",
     .also = "G10740",
     .standard = "SAE J403",
     .source = "C and Mn: SAE J403; Si, density, tone and attack: value from memory",
     .contents = {{carbon, 0.70, 0.80, 0.75}, {manganese, 0.50, 0.80, 0.65}, {silicon, 0.15, 0.35, 0.20}},
     .tone = 0.13,
     .harden = Window{kHarden1075.low_c, kHarden1075.high_c, "as 1075"},
     .hold = kHold,
     .oil = Oil::fast,
     .normalise = kNormalise},
    {.grade = "1075",
     .also = "G10750",
     .standard = "SAE J403",
     .source = "C and Mn: SAE J403; Si, density, tone and attack: value from memory",
     .contents = {{carbon, 0.70, 0.80, 0.75}, {manganese, 0.40, 0.70, 0.55}, {silicon, 0.15, 0.35, 0.20}},
     .tone = 0.14,
     .harden = kHarden1075,
     .hold = kHold,
     .oil = Oil::fast,
     .normalise = kNormalise},
    {.grade = "1080",
     .also = "G10800",
     .standard = "SAE J403 / ASTM A29",
     .source = "C and Mn: ASTM A29; Si, density, tone and attack: value from memory",
     .contents = {{carbon, 0.75, 0.88, 0.80}, {manganese, 0.60, 0.90, 0.75}, {silicon, 0.15, 0.35, 0.20}},
     .tone = 0.07,
     .harden = kHarden1080,
     .hold = kHold,
     .oil = Oil::fast,
     .normalise = kNormalise},
    {.grade = "1084",
     .also = "G10840",
     .standard = "SAE J403 / ASTM A29",
     .source = "C and Mn: ASTM A29; Si, density, tone and attack: value from memory",
     .contents = {{carbon, 0.80, 0.93, 0.84}, {manganese, 0.60, 0.90, 0.75}, {silicon, 0.15, 0.35, 0.20}},
     .tone = 0.06,
     .harden = kHarden1084,
     .hold = kHold,
     .oil = Oil::fast,
     .normalise = kNormalise},
    {.grade = "1095",
     .also = "G10950",
     .standard = "SAE J403 / ASTM A29",
     .source = "C and Mn: ASTM A29; Si, density, tone and attack: value from memory",
     .contents = {{carbon, 0.90, 1.03, 0.95}, {manganese, 0.30, 0.50, 0.40}, {silicon, 0.15, 0.35, 0.20}},
     .tone = 0.12,
     .forge = kForge1095,
     .harden = kHarden1095,
     .hold = kHold,
     .oil = Oil::fast,
     .normalise = kNormalise,
     .temper = k1095Tables},
    // EN 10132-4 strip: all from memory.
    {.grade = "C75S",
     .also = "1.1248",
     .standard = "EN 10132-4",
     .source = "all figures: value from memory",
     .contents = {{carbon, 0.70, 0.80, 0.75},
                  {manganese, 0.60, 0.90, 0.75},
                  {silicon, 0.15, 0.35, 0.25},
                  {chromium, 0, 0.40, 0}},
     .tone = 0.14,
     .harden = Window{kHarden1075.low_c, kHarden1075.high_c, "as 1075"},
     .hold = kHold,
     .oil = Oil::fast,
     .normalise = kNormalise},
    {.grade = "C85S",
     .also = "1.1269",
     .standard = "EN 10132-4",
     .source = "all figures: value from memory",
     .contents = {{carbon, 0.80, 0.90, 0.85},
                  {manganese, 0.40, 0.70, 0.55},
                  {silicon, 0.15, 0.35, 0.25},
                  {chromium, 0, 0.40, 0}},
     .tone = 0.09,
     .harden = Window{kHarden1084.low_c, kHarden1084.high_c, "as 1084; value from memory"},
     .hold = kHold,
     .oil = Oil::fast,
     .normalise = kNormalise},
    {.grade = "C100S",
     .also = "1.1274",
     .standard = "EN 10132-4",
     .source = "all figures: value from memory",
     .contents = {{carbon, 0.95, 1.05, 1.00},
                  {manganese, 0.30, 0.60, 0.45},
                  {silicon, 0.15, 0.35, 0.25},
                  {chromium, 0, 0.40, 0}},
     .tone = 0.12,
     .harden = Window{kHarden1095.low_c, kHarden1095.high_c, "as 1095"},
     .hold = kHold,
     .oil = Oil::fast,
     .normalise = kNormalise},
    {.grade = "W1",
     .also = "T72301",
     .standard = "ASTM A686",
     .source = "all figures: value from memory; sold by its carbon, ask for 0.95-1.05 %",
     .contents = {{carbon, 0.70, 1.50, 1.00}, {manganese, 0.10, 0.40, 0.30}, {silicon, 0.10, 0.40, 0.25}},
     .tone = 0.18,
     .attack = 0.95,
     .harden = kHardenW1,
     .hold = Hold{kHold.least_min, kHold.most_min, "as 1095"},
     .oil = Oil::fast,
     .normalise = kNormaliseW1},
    {.grade = "1018",
     .also = "G10180",
     .standard = "SAE J403 / ASTM A29",
     .source = "C and Mn: ASTM A29; Si, density, tone and attack: value from memory",
     .contents = {{carbon, 0.15, 0.20, 0.18}, {manganese, 0.60, 0.90, 0.75}, {silicon, 0.15, 0.35, 0.20}},
     .tone = 0.35,
     .attack = 0.70},
    {.grade = "wrought",
     .also = "wrought iron",
     .standard = "none in force",
     .source = "typical, no grade limits; slag 1-3 %, P 0.07-0.18 %; all figures: value from memory",
     .contents = {{carbon, 0.02, 0.06, 0.04}, {manganese, 0, 0.10, 0.05}, {silicon, 0.10, 0.13, 0.12}},
     .density = 7.70,
     .tone = 0.38,
     .attack = 0.70},
};

}  // namespace

std::span<const SteelSheet> carbon_steels() { return kCarbonSteels; }

}  // namespace etchcast
