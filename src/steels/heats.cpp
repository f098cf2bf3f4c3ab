// How hot a steel may be: in any fire, in a weld, under the hammer.

#include <algorithm>

#include "steels/edge.hpp"

namespace etchcast {
namespace {

// Carbon, phosphorus and sulphur gather at the boundaries of the grains, which therefore melt first: the steel is burnt
// below its bulk solidus. Common practice welds steel of 0.95 to 1.0 % C at 1260 C (2300 F), 85 to 95 C below the
// linear solidus; handbooks see the first burning at 0.9 % C lower still, near 1220 C (value from memory). 80 C is the
// project's own choice: no more than that practice goes, and room for a pyrometer that reads 25 C low.
constexpr double kBurning = 80;  // C
// A pure metal has nothing that melts first. A smith's account of copper between steel has 1040 C (1900 F) at most,
// 25 C below where electrolytic copper begins to melt.
constexpr double kPureMetal = 25;  // C
// The published sheets of 1095 and 52100 start forging at 1150 C, 205 and 196 C below the linear solidus.
constexpr double kForging = 200;  // C
// Common practice welds 1095, which starts to be forged at 1150 C, at up to 1260 C; 30 C for the pyrometer.
constexpr double kWeldOverForging = 140;  // C

}  // namespace

double hottest_c(const Steel& steel) {
  return steel.solidus_c - (is_copper(steel) || is_nickel(steel) ? kPureMetal : kBurning);
}

Window forging_heats(const Steel& steel) {
  if (steel.sheet && steel.sheet->forge) return *steel.sheet->forge;
  return {0, steel.solidus_c - kForging, "200 C (360 F) below melting, reckoned as for 1095 and 52100"};
}

double hottest_weld_c(const Steel& steel) {
  return std::min(hottest_c(steel), forging_heats(steel).high_c + kWeldOverForging);
}

}  // namespace etchcast
