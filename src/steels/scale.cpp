// Scale: how much metal the fire takes, and how much a bar grows in it.

#include "steels/scale.hpp"

#include <cmath>

#include "etchcast/steels.hpp"

namespace etchcast {
namespace {

constexpr double kIron = 55.845, kOxygen = 15.999;  // g/mol
constexpr double kGas = 8.314, kZeroC = 273.15;     // J/(mol K), K
constexpr double kPureIron = 7.874;                 // g/cm3

}  // namespace

// [Davies, Simnad & Birchenall, Trans. AIME 191 (1951) 889], value from memory; a second law for 500-900 C (Stanley,
// von Hoene & Huntoon 1950) gives 1.5 times as much at 900 C, so the size is right within a factor of 2.
double scaling_rate(double celsius) { return 6.1 * std::exp(-169452 / (kGas * (celsius + kZeroC))); }

double oxygen_share(const Oxide& oxide) {
  return oxide.oxygen * kOxygen / (oxide.oxygen * kOxygen + oxide.iron * kIron);
}

double iron_lost_per_oxygen(const Oxide& oxide) { return oxide.iron * kIron / (oxide.oxygen * kOxygen); }

double volume_ratio(const Oxide& oxide) {
  const double mass_per_iron = (oxide.iron * kIron + oxide.oxygen * kOxygen) / (oxide.iron * kIron);
  return mass_per_iron * kPureIron / oxide.density;
}

// Scale on iron above 700 C is nearly all wustite, so that is what the oxygen is reckoned to make. Near a neutral flame
// growth is slower and linear in time (Lee, Gleeson & Young, Oxid. Met. 63 (2005) 15): hence "at most".
std::optional<double> scale_loss_at_most_mm(double celsius, double seconds) {
  if (!(celsius >= 700 && celsius <= 1250) || !(seconds >= 0)) return {};
  const double oxygen_g_cm2 = std::sqrt(scaling_rate(celsius) * seconds);
  return 10 * oxygen_g_cm2 * iron_lost_per_oxygen(kWustite) / 7.85;
}

std::optional<double> thermal_elongation(double celsius) {
  if (!(celsius >= 20 && celsius <= 1200)) return {};
  if (celsius <= 750) return 1.2e-5 * celsius + 0.4e-8 * celsius * celsius - 2.416e-4;
  return celsius <= 860 ? 0.011 : 2e-5 * celsius - 6.2e-3;  // the pause while ferrite turns to denser austenite
}

}  // namespace etchcast
