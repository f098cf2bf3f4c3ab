// check(): every rule once, and what they found in the order of work.
#include <algorithm>
#include <limits>
#include <tuple>

#include <fmt/format.h>

#include "check/scene.hpp"

namespace etchcast {

Scene::Scene(const Recipe& recipe, const Forging& forging) : recipe(recipe), forging(forging) {
  billet = forging.billets.size() - 1;
  if (!recipe.blade) return;
  for (size_t i = 0; i < forging.billets.size(); ++i)
    if (!recipe.blade->from.empty() && forging.billets[i].name == recipe.blade->from) billet = i;
  blade.emplace(*recipe.blade);
  fit = fit_blade(bar(), *blade, *recipe.blade);
}

void Findings::warn(const Place& place, std::string about, std::string text) {
  all_.push_back({Warning::Weight::warning, place, std::move(about), std::move(text)});
}

void Findings::note(const Place& place, std::string about, std::string text) {
  all_.push_back({Warning::Weight::note, place, std::move(about), std::move(text)});
}

std::vector<Warning> Findings::sorted() const {
  // A recipe lists its work from top to bottom, so its lines are the order of work; only [blade] may stand anywhere.
  const auto key = [](const Warning& w) {
    const int line = w.about.starts_with("blade") ? std::numeric_limits<int>::max() : w.place.line;
    return std::tuple(line, line == w.place.line ? w.place.column : 0, w.weight == Warning::Weight::note);
  };
  std::vector<Warning> all = all_;
  std::stable_sort(all.begin(), all.end(), [&](const Warning& a, const Warning& b) { return key(a) < key(b); });
  return all;
}

std::string about_step(const LedgerRow& row) {
  if (row.number == 0) return fmt::format("{}: the stack", row.billet);
  return fmt::format("{}: step {}, {}", row.billet, row.number, row.step);
}

bool never_turned(const BilletStory& story, size_t steps) {
  for (size_t i = 1; i <= steps && i < story.bars.size(); ++i) {
    const Bar &before = *story.bars[i - 1], &after = *story.bars[i];
    const bool on_its_side = story.rows[i].step == "turn" && before.thickness_mm != after.thickness_mm;
    if (story.rows[i].step == "twist" || on_its_side) return false;
  }
  return true;
}

bool layers_lie_flat(const BilletStory& story, size_t steps) {
  return never_turned(story, steps) && story.bars[0]->bands.insets.empty();
}

std::vector<Warning> check(const Recipe& recipe, const Forging& forging) {
  const Scene scene(recipe, forging);
  Findings findings;
  for (const Warning& warning : forging.warnings) findings.add(warning);
  check_heats(scene, findings);
  check_bars(scene, findings);
  check_steels(scene, findings);
  check_stock(scene, findings);
  check_rough(scene, findings);
  check_ridges(scene, findings);
  check_twists(scene, findings);
  check_blade_fit(scene, findings);
  if (scene.blade_fits()) {
    check_blade_layers(scene, findings);
    check_core(scene, findings);
    check_blade_work(scene, findings);
  }
  return findings.sorted();
}

}  // namespace etchcast
