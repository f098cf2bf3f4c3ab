// Low-alloy steels. Ranges in weight %: least, most, nominal.

#include "steels/sheets.hpp"

namespace etchcast {
namespace {

using enum Element;

constexpr Window kHarden5160{from_fahrenheit(1525), from_fahrenheit(1550), "value from memory"};
constexpr Window kForge52100{925, 1150, "a bladesmith's published sheet"};
constexpr Window kHarden52100{815, 855, "suppliers' sheets"};
constexpr Window kHarden80CrV2{from_fahrenheit(1500), from_fahrenheit(1550), "value from memory"};
constexpr Window kHarden8670{from_fahrenheit(1500), from_fahrenheit(1550), "value from memory"};
constexpr Window kHarden26C3{from_fahrenheit(1450), from_fahrenheit(1490), "value from memory"};
// Common practice is told for mixes: 1450-1480 F with 1075, 1475 F with 1095, 1475-1500 F with 1084.
constexpr Window kHarden75Ni8{from_fahrenheit(1450), from_fahrenheit(1500), "common practice, welded to 10xx"};

// Steels whose carbides dissolve slowly want more than the 855 C (1575 F) of plain steels: all value from memory.
constexpr Window kNormalise5160{from_fahrenheit(1575), from_fahrenheit(1625), "value from memory"};
constexpr Window kNormalise52100{from_fahrenheit(1625), from_fahrenheit(1700), "value from memory"};
constexpr Window kNormalise80CrV2{from_fahrenheit(1575), from_fahrenheit(1650), "value from memory"};
constexpr Window kNormalise8670{from_fahrenheit(1575), from_fahrenheit(1650), "value from memory"};
constexpr Window kNormalise26C3{from_fahrenheit(1625), from_fahrenheit(1700), "value from memory"};
constexpr Window kNormalise75Ni8{from_fahrenheit(1550), from_fahrenheit(1600),
                                 "common practice: about 1575 F (855 C), welded to 10xx"};

constexpr Hold kShortHold{5, 15, "value from memory"};
constexpr Hold kHold75Ni8{5, 15, "common practice, welded to 10xx"};
constexpr Hold kHold52100{10, 20, "value from memory"};

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
     .harden = kHarden5160,
     .hold = kShortHold,
     .oil = Oil::medium,
     .normalise = kNormalise5160},
    {.grade = "52100",
     .also = "E52100, 100Cr6, 1.3505, G52986, EN31, SUJ2",
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
     .harden = kHarden52100,
     .hold = kHold52100,
     .oil = Oil::medium,
     .normalise = kNormalise52100},
    // SAE's own 86xx steels hold less nickel (0.40-0.70 %) and more manganese (0.75-1.00 %): this is a saw steel.
    {.grade = "8670",
     .also = "",
     .standard = "a trade name, no public standard",
     .source = "nominal figures only, all: value from memory",
     .contents = {{carbon, 0.70, 0.70, 0.70},
                  {manganese, 0.50, 0.50, 0.50},
                  {silicon, 0.25, 0.25, 0.25},
                  {chromium, 0.40, 0.40, 0.40},
                  {nickel, 0.90, 0.90, 0.90},
                  {molybdenum, 0.08, 0.08, 0.08}},
     .tone = 0.40,
     .attack = 0.60,
     .harden = kHarden8670,
     .hold = kShortHold,
     .oil = Oil::medium,
     .normalise = kNormalise8670},
    {.grade = "80CrV2",
     .also = "1.2235",
     .standard = "EN 10132-4",
     .source = "C 0.80 nominal: a published study of the steel's heat treatment; all else: value from memory (Si "
               "0.25-0.40 where 1.2235 is sold as tool steel)",
     .contents = {{carbon, 0.75, 0.85, 0.80},
                  {manganese, 0.30, 0.50, 0.40},
                  {silicon, 0.15, 0.35, 0.25},
                  {chromium, 0.40, 0.60, 0.50},
                  {vanadium, 0.15, 0.25, 0.20}},
     .tone = 0.32,
     .attack = 0.82,
     .harden = kHarden80CrV2,
     .hold = kShortHold,
     .oil = Oil::medium,
     .normalise = kNormalise80CrV2},
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
     .harden = kHarden75Ni8,
     .hold = kHold75Ni8,
     .oil = Oil::medium,
     .normalise = kNormalise75Ni8},
    {.grade = "26C3",
     .also = "",
     .standard = "a maker's grade, no public standard",
     .source = "nominal figures only, all: value from memory",
     .contents = {{carbon, 1.25, 1.25, 1.25},
                  {manganese, 0.40, 0.40, 0.40},
                  {silicon, 0.30, 0.30, 0.30},
                  {chromium, 0.30, 0.30, 0.30}},
     .tone = 0.15,
     .attack = 0.95,
     .harden = kHarden26C3,
     .hold = kShortHold,
     .oil = Oil::fast,
     .normalise = kNormalise26C3},
    // Boiler plate, the bright layer of early pattern-welded blades.
    {.grade = "A203E",
     .also = "A203 grade E, K32018",
     .standard = "ASTM A203",
     .source = "all figures: value from memory",
     .contents =
         {{carbon, 0, 0.20, 0.15}, {manganese, 0, 0.70, 0.55}, {silicon, 0.15, 0.40, 0.25}, {nickel, 3.25, 3.75, 3.50}},
     .tone = 0.96,
     .attack = 0.03},
};

}  // namespace

std::span<const SteelSheet> alloy_steels() { return kAlloySteels; }

}  // namespace etchcast
