#pragma once
/// \file scale.hpp — oxygen, oxide and the iron that goes into it.

namespace etchcast {

/// Parabolic rate constant of iron in air, g^2 cm^-4 s^-1; no range check.
double scaling_rate(double celsius);

/// An oxide of iron: `iron` and `oxygen` atoms in its formula.
struct Oxide {
  int iron, oxygen;
  double density;  ///< g/cm3
};
inline constexpr Oxide kWustite{1, 1, 5.745}, kMagnetite{3, 4, 5.17}, kHematite{2, 3, 5.24};  // value from memory

double oxygen_share(const Oxide& oxide);          ///< of its mass
double iron_lost_per_oxygen(const Oxide& oxide);  ///< g of iron for each g of oxygen taken up
double volume_ratio(const Oxide& oxide);          ///< oxide over the iron it was made from, iron at 7.87 g/cm3

}  // namespace etchcast
