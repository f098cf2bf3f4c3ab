#pragma once
/// \file auto_length.hpp — length = "auto": how long the first stack must be for the bar to give the blade.

#include <functional>

#include "etchcast/recipe.hpp"

namespace etchcast {

/// What a bar must measure for the recipe's blade: blade and tang, and Losses::crop at each end, or from the bar's heel
/// end to a crop beyond the tip where the blade's place is given.
double bar_needed_mm(const Recipe& recipe);

/// The shortest first stack, in whole mm, whose finished bar is at least `needed` long. `forged` gives the length of
/// the bar that a stack of some length becomes, and throws Error where it cannot be made.
///   Range   up to 2 m: no fire or press takes a longer pile.
///   Errors  Error(Fault::recipe) at the plan's `length`: no such length, and why.
///   Cost    some ten forgings.
double length_giving(const BilletPlan& plan, double needed, const std::function<double(double)>& forged);

}  // namespace etchcast
