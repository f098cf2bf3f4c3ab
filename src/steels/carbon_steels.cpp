// Plain carbon steels and iron. Ranges in weight %: least, most, nominal.
// Chemical ranges of 10xx steels: ASTM A29 / SAE J403 as a bar supplier's sheet prints them (1075 by SAE only). Silicon
// is not part of those ranges; 0.15-0.35 is the usual, value from memory.

#include "steels/sheets.hpp"
#include "steels/temper_tables.hpp"

namespace etchcast {
namespace {

using enum Element;

constexpr Window kForge1095{815, 1150, "a kiln supplier's sheet for 1095"};
// 800 C: a kiln supplier's sheet; 1475 F: common practice for 1095 welded to 75Ni8.
constexpr Window kHarden1095{800, from_fahrenheit(1475), "a kiln supplier's sheet and common practice with 75Ni8"};
constexpr Window kHarden1075{from_fahrenheit(1450), from_fahrenheit(1480), "common practice, welded to 75Ni8"};
constexpr Window kHarden1084{from_fahrenheit(1475), from_fahrenheit(1500), "common practice, welded to 75Ni8"};
constexpr Window kHarden1080{from_fahrenheit(1475), from_fahrenheit(1500), "as 1084; value from memory"};

constexpr SteelSheet kCarbonSteels[] = {
    {.grade = "1075",
     .also = "G10750",
     .standard = "SAE J403",
     .source = "C and Mn: SAE J403; Si, density, tone and attack: value from memory",
     .contents = {{carbon, 0.70, 0.80, 0.75}, {manganese, 0.40, 0.70, 0.55}, {silicon, 0.15, 0.35, 0.20}},
     .tone = 0.14,
     .harden = kHarden1075},
    {.grade = "1080",
     .also = "G10800, C80",
     .standard = "SAE J403 / ASTM A29",
     .source = "C and Mn: ASTM A29; Si, density, tone and attack: value from memory",
     .contents = {{carbon, 0.75, 0.88, 0.80}, {manganese, 0.60, 0.90, 0.75}, {silicon, 0.15, 0.35, 0.20}},
     .tone = 0.07,
     .harden = kHarden1080},
    {.grade = "1084",
     .also = "G10840",
     .standard = "SAE J403 / ASTM A29",
     .source = "C and Mn: ASTM A29; Si, density, tone and attack: value from memory",
     .contents = {{carbon, 0.80, 0.93, 0.84}, {manganese, 0.60, 0.90, 0.75}, {silicon, 0.15, 0.35, 0.20}},
     .tone = 0.06,
     .harden = kHarden1084},
    {.grade = "1095",
     .also = "G10950",
     .standard = "SAE J403 / ASTM A29",
     .source = "C and Mn: ASTM A29; Si, density, tone and attack: value from memory",
     .contents = {{carbon, 0.90, 1.03, 0.95}, {manganese, 0.30, 0.50, 0.40}, {silicon, 0.15, 0.35, 0.20}},
     .tone = 0.12,
     .forge = kForge1095,
     .harden = kHarden1095,
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
     .harden = Window{kHarden1075.low_c, kHarden1075.high_c, "as 1075"}},
    {.grade = "C85S",
     .also = "1.1269",
     .standard = "EN 10132-4",
     .source = "all figures: value from memory",
     .contents = {{carbon, 0.80, 0.90, 0.85},
                  {manganese, 0.40, 0.70, 0.55},
                  {silicon, 0.15, 0.35, 0.25},
                  {chromium, 0, 0.40, 0}},
     .tone = 0.09},
    {.grade = "C100S",
     .also = "1.1274",
     .standard = "EN 10132-4",
     .source = "all figures: value from memory",
     .contents = {{carbon, 0.95, 1.05, 1.00},
                  {manganese, 0.30, 0.60, 0.45},
                  {silicon, 0.15, 0.35, 0.25},
                  {chromium, 0, 0.40, 0}},
     .tone = 0.12,
     .harden = Window{kHarden1095.low_c, kHarden1095.high_c, "as 1095"}},
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
