#pragma once
/// \file pile.hpp — the first stack of a billet laid up from plates and earlier bars.

#include "etchcast/forging.hpp"

namespace etchcast {

struct Pile {
  Bar bar;
  std::vector<std::string> notes;  ///< what was trimmed
};

/// Lays the stack. Bars used k times are cut into k lengths from the heel, cropped and cleaned by the recipe's losses.
///   Errors  Error(Fault::recipe) at the entry: a bar that is uneven, round or too short.
Pile lay_pile(const Recipe& recipe, const BilletPlan& plan, const Forging& so_far);

/// Mean density of a bar's metal, g/cm3, by thickness of its bands.
double mean_density(const Bar& bar, const std::vector<Steel>& steels);

}  // namespace etchcast
