#pragma once
/// \file sheets.hpp — the steel table's parts, by family, and what their rows are written with.

#include "etchcast/steels.hpp"

namespace etchcast {

std::span<const SteelSheet> carbon_steels();
std::span<const SteelSheet> alloy_steels();
std::span<const SteelSheet> tool_steels();
std::span<const SteelSheet> other_metals();

/// Degrees C; windows printed in F stay exact, so that two of them can meet in one point.
constexpr double from_fahrenheit(double fahrenheit) { return (fahrenheit - 32) / 1.8; }

}  // namespace etchcast
