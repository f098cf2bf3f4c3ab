// The schedule carried out, billet by billet.
#include <cmath>

#include <fmt/format.h>

#include "etchcast/metallurgy.hpp"
#include "forging/auto_length.hpp"
#include "forging/layers.hpp"
#include "forging/pile.hpp"
#include "workpiece/workpiece.hpp"

namespace etchcast {

namespace {

void fill_row(LedgerRow& row, const Bar& bar, double density, double first_mass) {
  row.length_mm = bar.length_mm, row.width_mm = bar.width_mm, row.thickness_mm = bar.thickness_mm;
  row.section = bar.section;
  row.volume_mm3 = bar.volume_mm3;
  row.mass_g = bar.volume_mm3 * density / 1000;
  row.yield = first_mass > 0 ? row.mass_g / first_mass : 1;
  const LayerCount count = count_layers(bar);
  row.nominal = bar.bands.nominal;
  row.layers_least = count.least, row.layers_most = count.most;
  row.thinnest_mm = count.thinnest_mm, row.mean_mm = count.mean_mm, row.thickest_mm = count.thickest_mm;
}

/// The step before which the hand's wander is laid if nothing bends the layers earlier: the last grinding that no pile
/// follows, since a ground face shows how uneven the layers under it are.
size_t wander_step(const BilletPlan& plan) {
  size_t first_grind = plan.steps.size();
  for (size_t i = plan.steps.size(); i-- > 0;) {
    const Step* step = find_step(plan.steps[i].name);
    if (step && step->kind == Kind::pile) break;
    if (plan.steps[i].name == "grind") first_grind = i;
  }
  return first_grind;
}

void need_sound_bar(const StepCall& call, const Bar& bar) {
  const bool sound = std::isfinite(bar.length_mm) && std::isfinite(bar.thickness_mm) && bar.length_mm > 0.5 && bar.width_mm > 0.2 &&
                     bar.thickness_mm > 0.05 && bar.length_mm < 1e5 && bar.volume_mm3 > 0;
  if (sound) return;
  throw Error(Fault::recipe, {{call.place, call.name,
                               fmt::format("this would leave a bar of {:.2f} x {:.2f} x {:.2f} mm", bar.length_mm, bar.width_mm, bar.thickness_mm),
                               "check the sizes of this step", {}}});
}

BilletStory forge_billet(const Recipe& recipe, const BilletPlan& plan, Forging& so_far, const ForgeOptions& options, bool last) {
  BilletStory story;
  story.name = plan.name;
  Pile pile = lay_pile(recipe, plan, so_far);
  const double first_mass = pile.bar.volume_mm3 * mean_density(pile.bar, recipe.steels) / 1000;
  HandPlan hand = recipe.hand;
  hand.seed += 101 * unsigned(so_far.billets.size());  // every billet has a hand's unevenness of its own
  Workpiece w(pile.bar, hand, recipe, options);
  LedgerRow first;
  first.billet = plan.name, first.step = "pile", first.notes = pile.notes, first.place = plan.place;
  fill_row(first, w.bar(), mean_density(w.bar(), recipe.steels), first_mass);
  story.rows.push_back(first);
  story.bars.push_back(std::make_shared<const Bar>(w.bar()));
  const size_t wander_before = wander_step(plan);
  for (size_t i = 0; i < plan.steps.size(); ++i) {
    const StepCall& call = plan.steps[i];
    const Step& step = *find_step(call.name);
    w.row() = {};
    w.row().billet = plan.name, w.row().step = call.name, w.row().id = call.id, w.row().number = int(i) + 1, w.row().place = call.place;
    if (i == wander_before) w.lay_wander();
    step.apply(Arguments(call, step.parameters), w);
    need_sound_bar(call, w.bar());
    if (last && i + 1 == plan.steps.size()) w.lay_wander();
    for (Warning& warning : w.warnings()) {
      warning.about = fmt::format("{}: step {}, {}", plan.name, i + 1, call.name);
      so_far.warnings.push_back(warning);
    }
    w.warnings().clear();
    fill_row(w.row(), w.bar(), mean_density(w.bar(), recipe.steels), first_mass);
    story.rows.push_back(w.row());
    story.bars.push_back(std::make_shared<const Bar>(w.bar()));
  }
  return story;
}

/// The billet with its length found: tried on copies, so that nothing is booked but the last.
BilletStory forge_by_blade(const Recipe& recipe, const BilletPlan& plan, Forging& so_far, const ForgeOptions& options, bool last) {
  BilletPlan settled = plan;
  const double needed = bar_needed_mm(recipe);
  settled.length_mm = length_giving(plan, needed, [&](double length) {
    settled.length_mm = length;
    Forging tried = so_far;
    return forge_billet(recipe, settled, tried, options, last).bars.back()->length_mm;
  });
  BilletStory story = forge_billet(recipe, settled, so_far, options, last);
  auto& notes = story.rows.front().notes;
  notes.insert(notes.begin(), fmt::format("length = \"auto\": {:.0f} mm ({:.2f} in) is the shortest stack, in whole mm, whose bar gives the blade: {:.1f} mm "
                                          "are needed and {:.1f} mm there",
                                          settled.length_mm, settled.length_mm / 25.4, needed, story.bars.back()->length_mm));
  return story;
}

}  // namespace

const BilletStory& Forging::story(const std::string& billet) const {
  for (const BilletStory& s : billets)
    if (s.name == billet) return s;
  return billets.back();
}

Forging forge(const Recipe& recipe, const ForgeOptions& options) try {
  Forging forging;
  for (const BilletPlan& plan : recipe.billets) {
    BilletStory story = (plan.length_auto ? forge_by_blade : forge_billet)(recipe, plan, forging, options, &plan == &recipe.billets.back());
    soften_seams(recipe, story, forging);
    forging.billets.push_back(std::move(story));
  }
  return forging;
} catch (const Error& error) {
  throw with_lines(error, recipe);
}

Forging forge(const Recipe& recipe) { return forge(recipe, {}); }

}  // namespace etchcast
