// Rules of the bar: piles that nobody welded.
#include <fmt/format.h>

#include "check/scene.hpp"

namespace etchcast {
namespace {

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

}  // namespace

void check_bars(const Scene& scene, Findings& findings) {
  for (size_t i = 0; i < scene.forging.billets.size(); ++i)
    check_welded(scene.forging.billets[i], scene.recipe.billets[i], findings);
}

}  // namespace etchcast
