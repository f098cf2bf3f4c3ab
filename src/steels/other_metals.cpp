// Nickel and stainless steels. Ranges in weight %: least, most, nominal.

#include "steels/sheets.hpp"

namespace etchcast {
namespace {

using enum Element;

constexpr Window kForgeNickel{650, 1230, "value from memory"};
constexpr Window kForge13Cr{900, 1200, "value from memory"};
constexpr Window kHarden410{925, 1010, "value from memory"};
constexpr Window kHarden420{980, 1065, "value from memory"};
constexpr Window kHardenX65Cr13{1040, 1080, "value from memory"};

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
    {.grade = "410",
     .also = "S41000, 1.4006",
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
     .harden = kHarden410},
    {.grade = "420",
     .also = "S42000, 1.4021",
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
     .harden = kHarden420},
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
     .harden = kHardenX65Cr13},
};

}  // namespace

std::span<const SteelSheet> other_metals() { return kOtherMetals; }

}  // namespace etchcast
