// Heats counted: the bar cools while a tool works along it, and goes back into the fire.
#include "workpiece/heats.hpp"

#include <algorithm>
#include <cmath>

namespace etchcast {
namespace {

constexpr double kMostHeats = 200;      // what a recipe may say of one step
constexpr double kCarry = 6;            // s from the fire to the first blow: 5 to 6 s is common practice
constexpr double kMostPasses = 4;       // 3 to 5 passes in a heat: value from memory of the trade
constexpr double kHeatPerMm3 = 5.1e-3;  // J/(mm3 K): 7850 kg/m3 times 650 J/(kg K)

/// How a tool works. All figures are estimates; those of the trade they rest on stand beside them.
struct Pace {
  double squeeze;    ///< ln(height before / after) of one pass along the bar
  double mm_s;       ///< of bar that a pass comes along in a second
  double mm3_s;      ///< of steel whose ln(height) goes down by 1 in a second: what the blows can give
  double contact_s;  ///< that a place lies between cold dies in one pass
};

const Pace& pace_of(ShopTool tool) {
  // A press takes 15 to 30 % of the height in a pass (value from memory of the trade): 20 %. Dies 40 mm long, a squeeze
  // each 2.5 s.
  static constexpr Pace kPress{0.223, 16, 1e9, 0.8};
  // Light blows, about 10 % in a pass, some four a second.
  static constexpr Pace kPowerHammer{0.105, 30, 3000, 0.1};
  // By hand 5 to 10 % in a heat on a first stack (value from memory of the trade). One blow a second of some 30 J that
  // reach the metal, against a flow stress of 60 MPa and as much again lost to friction and spring: 240 mm3/s.
  static constexpr Pace kHammer{0.05, 10, 240, 0};
  return tool == ShopTool::press ? kPress : tool == ShopTool::hammer ? kHammer : kPowerHammer;
}

/// Heat that cold dies draw out of a place in one pass, as a share of what it may lose. 2000 W/(m2 K) through scale, an
/// estimate (published figures run from 1000 to 10 000).
double chilled(const Pace& pace, double thickness, double from_c, double to_c) {
  constexpr double kThroughScale = 2e-3, kDies = 150;  // W/(mm2 K), C
  const double lost = 2 * kThroughScale * pace.contact_s * ((from_c + to_c) / 2 - kDies) / (kHeatPerMm3 * thickness);
  return lost / (from_c - to_c);
}

/// ln(height) that one heat brings on a bar of that size.
double in_a_heat(const HeatWork& work, double length, double width, double thickness) {
  const Pace& pace = pace_of(work.tool);
  const double hot = hot_seconds(width, thickness, work.from_c, work.to_c);
  const double working = std::max(hot - kCarry, 0.25 * hot);  // a sheet goes cold on the way; the smith hurries
  const double pass_s = length / pace.mm_s + chilled(pace, thickness, work.from_c, work.to_c) * hot;
  const double passes = std::min(kMostPasses, working / pass_s);
  return std::min(passes * pace.squeeze, working * pace.mm3_s / (length * width * thickness));
}

}  // namespace

double hot_seconds(double width_mm, double thickness_mm, double from_c, double to_c) {
  constexpr double kKelvin = 273.15, kRadiated = 0.8 * 5.670374e-14;  // W/(mm2 K4)
  const double reach = width_mm * thickness_mm / (2 * (width_mm + thickness_mm));
  const auto cube = [](double kelvin) { return kelvin * kelvin * kelvin; };
  return kHeatPerMm3 / (3 * kRadiated) * reach * (1 / cube(to_c + kKelvin) - 1 / cube(from_c + kKelvin));
}

int heats_for(const HeatWork& given) {
  HeatWork work = given;
  work.to_c = std::min(work.to_c, work.from_c - 100);  // whoever works colder than usual has as short a while
  double done = 0;
  int heats = 0;
  do {
    const double through = std::pow(work.sides.through, done), across = std::pow(work.sides.across, done);
    done += in_a_heat(work, work.length_mm / (through * across), work.width_mm * across, work.thickness_mm * through) /
            std::max(work.strain, 1e-9);
    ++heats;
  } while (done < 0.98 && heats < kMostHeats);  // nobody lights the fire for the last fiftieth
  return heats;
}

double squeezed(const Sides& sides) {
  constexpr double kSpread = 0.3;  // as in 'draw' with the width left open
  const double through = std::min(sides.through, 1.0), spread = std::pow(through, -kSpread);
  return -std::log(through) + std::max(0.0, std::log(spread / sides.across));
}

Thinning mean_thinning(const Sides& sides, int heats, int before_work) {
  Thinning sum{0, 0, 0};
  for (int i = 0; i < heats; ++i) {
    const double done = double(std::max(0, i - before_work)) / std::max(1, heats - before_work);
    sum.through += std::pow(sides.through, -done) / heats;
    sum.across += std::pow(sides.across, -done) / heats;
    sum.along += std::pow(sides.along(), -done) / heats;
  }
  return sum;
}

}  // namespace etchcast
