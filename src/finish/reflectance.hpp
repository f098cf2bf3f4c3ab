#pragma once
/// \file reflectance.hpp — how much light etched steel gives back, from optical constants; colours are linear R, G, B.

#include <array>

#include "etchcast/picture.hpp"

namespace etchcast {

using Colour = std::array<float, 3>;

/// Refractive index n - ik at one wavelength.
struct Index {
  double n, k;
};

/// Share of light thrown back by a clean flat surface in air, looked at straight on (Fresnel).
constexpr double normal_reflectance(Index index) {
  const double k2 = index.k * index.k;
  return ((index.n - 1) * (index.n - 1) + k2) / ((index.n + 1) * (index.n + 1) + k2);
}

/// Indices near 650, 550 and 450 nm. Iron and nickel: Johnson & Christy, Phys. Rev. B 9 (1974) 5056;
/// magnetite, the black oxide: Querry, CRDC-CR-85034 (1985).
inline constexpr std::array<Index, 3> kIron{{{2.92, 3.10}, {2.95, 2.93}, {2.59, 2.77}}};
inline constexpr std::array<Index, 3> kNickel{{{1.99, 4.26}, {1.92, 3.61}, {1.73, 2.95}}};
inline constexpr std::array<Index, 3> kMagnetite{{{2.366, 0.138}, {2.343, 0.105}, {2.386, 0.032}}};

constexpr Colour colour_of(const std::array<Index, 3>& index) {
  return {float(normal_reflectance(index[0])), float(normal_reflectance(index[1])),
          float(normal_reflectance(index[2]))};
}

/// What one steel looks like after the etch. Both parts are already weighed by their shares, so pixels mix linearly.
struct Surface {
  Colour metal;  ///< bare satin metal: mirrors the lamp, stretched by its scratches
  Colour film;   ///< etched ground or oxide film: scatters, almost matt
  float share;   ///< share of the steel that shows as metal, 0 .. 1
};

Surface surface_of(const Steel& steel, FinishKind finish);

}  // namespace etchcast
