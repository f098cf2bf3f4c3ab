// The books added up.
#include "books/summary.hpp"

#include <algorithm>

#include "check/stand.hpp"

namespace etchcast {
namespace {

const Steel* steel_named(const Recipe& recipe, const std::string& name) {
  const auto found =
      std::find_if(recipe.steels.begin(), recipe.steels.end(), [&](const Steel& s) { return s.name == name; });
  return found == recipe.steels.end() ? nullptr : &*found;
}

/// Plates laid in this billet's pile, g.
double plates_g(const Recipe& recipe, const BilletPlan& plan, const LedgerRow& pile) {
  double mass = 0;
  for (const StackEntry& entry : plan.stack)
    if (const Steel* steel = steel_named(recipe, entry.name))
      mass += entry.thickness_mm.value_or(0) * pile.length_mm * pile.width_mm * steel->density / 1000;
  return mass;
}

void add_blade(const Scene& scene, Summary& sum) {
  sum.has_blade = true;
  if (!scene.blade_fits()) {
    sum.blade_fault = scene.fit.problems.front();
    return;
  }
  const auto at = stations(*scene.blade);
  sum.layers_heel = layers_across(scene, at[0]);
  sum.layers_middle = layers_across(scene, at[1]);
  sum.layers_tip = layers_across(scene, at[2]);
}

}  // namespace

Summary summed_up(const Recipe& recipe, const Forging& forging) {
  Summary sum;
  for (size_t i = 0; i < forging.billets.size(); ++i) {
    sum.piled_g += plates_g(recipe, recipe.billets[i], forging.billets[i].rows.front());
    for (const LedgerRow& row : forging.billets[i].rows) sum.heats += row.heats;
  }
  const Scene scene(recipe, forging);
  sum.finished = scene.story().name;
  sum.finished_g = scene.story().rows.back().mass_g;
  if (scene.blade) add_blade(scene, sum);
  return sum;
}

}  // namespace etchcast
