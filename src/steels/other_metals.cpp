// Nickel, copper and stainless steels. Ranges in weight %: least, most, nominal.

#include "steels/sheets.hpp"

namespace etchcast {
namespace {

using enum Element;

constexpr Window kForgeNickel{650, 1230, "value from memory"};
constexpr Window kForgeCopper{750, 1040,
                              "1900 F at most: a smith's account of copper between steel; low end: value from memory"};
constexpr Window kForge13Cr{900, 1200, "value from memory"};
constexpr Window kForge304{925, 1200, "value from memory"};
constexpr Window kHarden410{925, 1010, "value from memory"};
constexpr Window kHarden420{980, 1065, "value from memory"};
constexpr Window kHardenX20Cr13{950, 1050, "value from memory"};
constexpr Window kHardenX65Cr13{1040, 1080, "value from memory"};
constexpr Hold kHold13Cr{5, 15, "value from memory, for a thin blade"};
constexpr std::string_view kAirHardens = "it hardens in air";

constexpr std::string_view kSulphur =
    "it holds 0.15 % of sulphur and more, so that it cuts freely. Sulphur lets welds and forged work split. Stack 410, "
    "420 or 304 in its place";
constexpr std::string_view kCopperMelts =
    "copper melts far below the welding heat of steel. Melted copper runs out of the stack and into the grain of the "
    "steel beside it, which then cracks. The picture draws copper light grey: its colour is not drawn";

constexpr SteelSheet kOtherMetals[] = {
    {.grade = "N02200",
     .also = "Nickel 200, 2.4066",
     .standard = "ASTM B160 / B162",
     .source = "Ni, Mn, Si: ASTM B160 by a maker's data sheet; C, density 8.89, solidus, tone and attack: value from "
               "memory",
     .contents = {{carbon, 0, 0.15, 0.02}, {manganese, 0, 0.35, 0}, {silicon, 0, 0.35, 0}, {nickel, 99.0, 100, 99.6}},
     .density = 8.89,
     .tone = 1.0,
     .attack = 0.0,
     .solidus_c = 1435,
     .forge = kForgeNickel},
    // Electrolytic copper begins to melt at 1065 C, oxygen-free copper at 1083 C.
    {.grade = "C11000",
     .also = "CW004A, copper",
     .standard = "ASTM B152 / EN 1652",
     .source = "all figures: value from memory; tone and attack: guesses",
     .contents = {{carbon, 0, 0, 0}, {copper, 99.90, 100, 99.95}},
     .density = 8.94,
     .tone = 0.70,
     .attack = 0.5,
     .solidus_c = 1065,
     .forge = kForgeCopper,
     .caution = kCopperMelts},
    {.grade = "304",
     .also = "S30400, 1.4301, X5CrNi18-10",
     .standard = "ASTM A240 / EN 10088",
     .source = "all figures: value from memory",
     .contents = {{carbon, 0, 0.07, 0.05},
                  {manganese, 0, 2.00, 1.20},
                  {silicon, 0, 0.75, 0.45},
                  {chromium, 17.5, 19.5, 18.2},
                  {nickel, 8.0, 10.5, 8.2}},
     .density = 7.93,
     .tone = 0.98,
     .attack = 0.0,
     .solidus_c = 1400,
     .forge = kForge304},
    {.grade = "410",
     .also = "S41000, 1.4006, X12Cr13",
     .standard = "ASTM A276",
     .source = "all figures: value from memory",
     .contents = {{carbon, 0.08, 0.15, 0.12},
                  {manganese, 0, 1.00, 0.50},
                  {silicon, 0, 1.00, 0.40},
                  {chromium, 11.5, 13.5, 12.5}},
     .density = 7.74,
     .tone = 0.97,
     .attack = 0.0,
     .solidus_c = 1480,
     .forge = kForge13Cr,
     .harden = kHarden410,
     .no_normalise = kAirHardens},
    {.grade = "416",
     .also = "S41600",
     .standard = "ASTM A582",
     .source = "sulphur 0.15 % and more, which is not reckoned with; all figures: value from memory",
     .contents =
         {{carbon, 0, 0.15, 0.12}, {manganese, 0, 1.25, 0.80}, {silicon, 0, 1.00, 0.40}, {chromium, 12.0, 14.0, 13.0}},
     .density = 7.74,
     .tone = 0.96,
     .attack = 0.0,
     .solidus_c = 1480,
     .forge = kForge13Cr,
     .harden = kHarden410,
     .no_normalise = kAirHardens,
     .caution = kSulphur},
    {.grade = "420",
     .also = "S42000",
     .standard = "ASTM A276",
     .source = "C 0.15 and more, up to 0.40 in practice; all figures: value from memory",
     .contents = {{carbon, 0.15, 0.40, 0.30},
                  {manganese, 0, 1.00, 0.50},
                  {silicon, 0, 1.00, 0.40},
                  {chromium, 12.0, 14.0, 13.0}},
     .density = 7.74,
     .tone = 0.96,
     .attack = 0.0,
     .solidus_c = 1450,
     .forge = kForge13Cr,
     .harden = kHarden420,
     .hold = kHold13Cr,
     .no_normalise = kAirHardens},
    // The softest of what is sold as 420.
    {.grade = "X20Cr13",
     .also = "1.4021",
     .standard = "EN 10088",
     .source = "all figures: value from memory",
     .contents = {{carbon, 0.16, 0.25, 0.20},
                  {manganese, 0, 1.50, 0.60},
                  {silicon, 0, 1.00, 0.40},
                  {chromium, 12.0, 14.0, 13.0}},
     .density = 7.70,
     .tone = 0.96,
     .attack = 0.0,
     .solidus_c = 1460,
     .forge = kForge13Cr,
     .harden = kHardenX20Cr13,
     .hold = kHold13Cr,
     .no_normalise = kAirHardens},
    {.grade = "X65Cr13",
     .also = "1.4037",
     .standard = "EN 10088",
     .source = "all figures: value from memory; the solidus is an estimate between 420 and the iron-carbon line",
     .contents = {{carbon, 0.58, 0.70, 0.65},
                  {manganese, 0, 1.00, 0.60},
                  {silicon, 0, 1.00, 0.40},
                  {chromium, 12.5, 14.5, 13.0}},
     .density = 7.70,
     .tone = 0.95,
     .attack = 0.0,
     .solidus_c = 1390,
     .harden = kHardenX65Cr13,
     .hold = kHold13Cr,
     .no_normalise = kAirHardens},
    {.grade = "AEB-L",
     .also = "",
     .standard = "a maker's grade, no public standard; close to X65Cr13",
     .source = "nominal figures only, all: value from memory; the solidus is taken from X65Cr13",
     .contents = {{carbon, 0.67, 0.67, 0.67},
                  {manganese, 0.60, 0.60, 0.60},
                  {silicon, 0.40, 0.40, 0.40},
                  {chromium, 13.0, 13.0, 13.0}},
     .density = 7.70,
     .tone = 0.95,
     .attack = 0.0,
     .solidus_c = 1390,
     .harden = Window{kHardenX65Cr13.low_c, kHardenX65Cr13.high_c, "as X65Cr13; value from memory"},
     .hold = kHold13Cr,
     .no_normalise = kAirHardens},
};

}  // namespace

std::span<const SteelSheet> other_metals() { return kOtherMetals; }

}  // namespace etchcast
