// The first stack's length, found by forging stacks of several lengths.
#include "forging/auto_length.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include <fmt/format.h>

#include "etchcast/blade.hpp"

namespace etchcast {
namespace {

constexpr double kFirstTry = 100, kLongest = 2000;  // mm

[[noreturn]] void refuse(const BilletPlan& plan, std::string message, std::string hint) {
  throw Error(Fault::recipe, {{plan.length_place,
                               fmt::format("billet.{}.length", plan.name),
                               "length = \"auto\": " + std::move(message),
                               std::move(hint),
                               {}}});
}

/// Bars of tried stacks; a stack too short to be cut, piled or pressed as the steps say gives a bar of no length.
struct Trial {
  const std::function<double(double)>& forged;
  std::optional<Error> fault;  ///< of the last stack that could not be made
  double operator()(double length) {
    fault.reset();
    try {
      return forged(length);
    } catch (const Error& error) {
      fault = error;
      return 0;
    }
  }
};

}  // namespace

double bar_needed_mm(const Recipe& recipe) {
  const BladePlan& plan = *recipe.blade;
  const Blade blade(plan);
  const double crop = recipe.losses.crop_mm;
  if (plan.x_mm) return *plan.x_mm + blade.length() + crop;
  // The blade with its tang lies in the middle of the bar; an outline whose neck is longer than that needs more behind.
  return blade.length() + plan.tang_mm + 2 * (crop + std::max(0.0, blade.tang() - plan.tang_mm));
}

double length_giving(const BilletPlan& plan, double needed, const std::function<double(double)>& forged) {
  Trial trial{forged, {}};
  double low = 0, high = kFirstTry, before = 0;
  for (double bar = trial(high); bar < needed; bar = trial(high)) {
    const std::string wanted = fmt::format("the blade needs a bar of {:.1f} mm", needed);
    if (bar > 0 && bar < before + 0.01)
      refuse(plan, fmt::format("{}, and the steps give one of {:.1f} mm however long the stack is", wanted, bar),
             "look for a bar in the stack that is too short, or a step that sets the length");
    if (high >= kLongest && trial.fault) throw *trial.fault;
    if (high >= kLongest)
      refuse(plan, fmt::format("{}, and even a stack of {:.0f} mm becomes one of {:.1f} mm", wanted, high, bar),
             "a wider or higher stack, fewer pieces to restack, or a thinner bar");
    low = high, before = bar, high = std::min(2 * high, kLongest);
  }
  while (high - low > 1) {
    const double middle = std::floor((low + high) / 2);
    (trial(middle) < needed ? low : high) = middle;
  }
  return high;
}

}  // namespace etchcast
