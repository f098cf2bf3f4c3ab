#pragma once
/// \file skin.hpp — the skin of a hot bar that has lost its carbon, and whether cleaning before a weld takes it off.

#include <string>

#include "base/measures.hpp"

namespace etchcast {

/// How deep the skin is after welding and forging heats.
///   Units   mm.   Source  value from memory of the trade; diffusion gives the same size: carbon wanders some 0.3 mm in
///   ten minutes at 1250 C, and scale eats half of that.
inline constexpr double kSkinLeast = 0.2, kSkinMost = 0.5;

/// What to say of faces that are cleaned by so much before they meet in a weld.
std::string skin_note(double clean_mm, const Measures& say);

}  // namespace etchcast
