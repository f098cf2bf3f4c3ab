// Rules of the bar: piles that nobody welded, layers too fine to last.
#include <fmt/format.h>

#include "check/scene.hpp"

namespace etchcast {
namespace {

// Estimate: nickel and manganese move some 8 um in an hour at welding heat, so a layer of 10 um has lost its edge and
// one of 15 um is about to. Carbon evens out in minutes and was never the contrast.
constexpr double kBlurred = 0.010, kSoft = 0.015;  // mm

bool is_pile(const LedgerRow& row) {
  const Step* step = find_step(row.step);
  return row.number == 0 || (step && step->kind == Kind::pile);
}

/// Cold work that a loose pile can bear before it is welded.
bool leaves_pile_alone(const LedgerRow& row) { return row.step == "trim" || row.step == "turn"; }

void check_welded(const BilletStory& story, const BilletPlan& plan, Findings& findings) {
  for (size_t i = 0; i < story.rows.size(); ++i) {
    const LedgerRow& pile = story.rows[i];
    if (!is_pile(pile) || (i == 0 && plan.stack.size() < 2)) continue;
    size_t next = i + 1;
    while (next < story.rows.size() && leaves_pile_alone(story.rows[next])) ++next;
    if (next < story.rows.size() && story.rows[next].step == "weld") continue;
    const std::string what = i == 0 ? "the pile" : fmt::format("the pile of step {} ({})", pile.number, pile.step);
    if (next == story.rows.size())
      findings.warn(pile.place, about_step(pile), what + " is never welded: add a 'weld' after it");
    else
      findings.warn(
          story.rows[next].place, about_step(story.rows[next]),
          fmt::format("{} has not been welded when this '{}' comes: put a 'weld' before it, or the pieces part", what,
                      story.rows[next].step));
  }
}

void check_fineness(const BilletStory& story, Findings& findings) {
  const LedgerRow& row = story.rows.back();
  if (row.mean_mm <= 0 || row.mean_mm >= kSoft) return;
  const std::string text =
      fmt::format("layers are {:.1f} um thick on average ({} to {} of them in {:.2f} mm): ", row.mean_mm * 1000,
                  row.layers_least, row.layers_most, row.thickness_mm);
  if (row.mean_mm < kBlurred)
    findings.warn(row.place, about_step(row),
                  text +
                      "below about 10 um nickel wanders from one into the next at welding heat, and the etch "
                      "comes out as one even grey. Take fewer restacks");
  else
    findings.note(row.place, about_step(row), text + "at 10 to 15 um their edges begin to blur by diffusion");
}

}  // namespace

void check_bars(const Scene& scene, Findings& findings) {
  for (size_t i = 0; i < scene.forging.billets.size(); ++i) {
    check_welded(scene.forging.billets[i], scene.recipe.billets[i], findings);
    check_fineness(scene.forging.billets[i], findings);
  }
}

}  // namespace etchcast
