#pragma once
/// \file scene.hpp — what the rules of check() look at, and where they put what they find.

#include <optional>
#include <string>
#include <vector>

#include "base/measures.hpp"
#include "etchcast/blade.hpp"
#include "etchcast/check.hpp"
#include "etchcast/render.hpp"

namespace etchcast {

/// A recipe carried out, with the blade laid into its bar.
struct Scene {
  const Recipe& recipe;
  const Forging& forging;
  size_t billet = 0;           ///< the one the blade is ground from; without a blade the last
  std::optional<Blade> blade;  ///< if the recipe has one
  Fit fit;                     ///< of the blade

  /// Errors  Error(Fault::recipe) for a blade whose sizes contradict each other.
  Scene(const Recipe& recipe, const Forging& forging);
  const BladePlan& plan() const { return *recipe.blade; }
  const BilletStory& story() const { return forging.billets[billet]; }
  const Bar& bar() const { return *story().bars.back(); }
  bool blade_fits() const { return blade && fit.problems.empty(); }
};

/// Collects what the rules find.
class Findings {
 public:
  void warn(const Place& place, std::string about, std::string text);
  void note(const Place& place, std::string about, std::string text);
  void add(Warning warning) { all_.push_back(std::move(warning)); }
  /// In the order of work, the blade last.
  std::vector<Warning> sorted() const;

 private:
  std::vector<Warning> all_;
};

/// "bar: step 8, press".
std::string about_step(const LedgerRow& row);

/// Whether the bar was neither twisted nor rolled onto its side by then.
bool never_turned(const BilletStory& story, size_t steps);

/// Whether the layers still lie along the big faces after `steps` steps: no roll onto the side, no twist, no bent bars
/// in the pile.
bool layers_lie_flat(const BilletStory& story, size_t steps);

// --- The rules, by theme ---
void check_heats(const Scene& scene, Findings& findings);
void check_bars(const Scene& scene, Findings& findings);
void check_ridges(const Scene& scene, Findings& findings);
void check_rough(const Scene& scene, Findings& findings);
void check_steels(const Scene& scene, Findings& findings);
void check_stock(const Scene& scene, Findings& findings);
void check_twists(const Scene& scene, Findings& findings);
void check_blade_fit(const Scene& scene, Findings& findings);
void check_core(const Scene& scene, Findings& findings);
void check_blade_layers(const Scene& scene, Findings& findings);
void check_blade_work(const Scene& scene, Findings& findings);

}  // namespace etchcast
