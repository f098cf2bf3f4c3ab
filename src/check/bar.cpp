// Rules of the bar: stacks that nobody welded.
#include <fmt/format.h>

#include "check/scene.hpp"

namespace etchcast {
namespace {

bool is_stack(const LedgerRow& row) {
  const Step* step = find_step(row.step);
  return row.number == 0 || (step && step->kind == Kind::pile);
}

/// Cold work that a loose stack can bear before it is welded.
bool leaves_stack_alone(const LedgerRow& row) { return row.step == "trim" || row.step == "turn"; }

void check_welded(const BilletStory& story, const BilletPlan& plan, Findings& findings) {
  for (size_t i = 0; i < story.rows.size(); ++i) {
    const LedgerRow& stack = story.rows[i];
    if (!is_stack(stack) || (i == 0 && plan.stack.size() < 2)) continue;
    size_t next = i + 1;
    while (next < story.rows.size() && leaves_stack_alone(story.rows[next])) ++next;
    if (next < story.rows.size() && story.rows[next].step == "weld") continue;
    const std::string what = i == 0 ? "the stack" : fmt::format("the stack of step {} ({})", stack.number, stack.step);
    if (next == story.rows.size())
      findings.warn(stack.place, about_step(stack), what + " is never welded. Add a 'weld' after it");
    else
      findings.warn(
          story.rows[next].place, about_step(story.rows[next]),
          fmt::format("{} has not been welded when '{}' comes, and its pieces will part. Put a 'weld' before it", what,
                      story.rows[next].step));
  }
}

}  // namespace

void check_bars(const Scene& scene, Findings& findings) {
  for (size_t i = 0; i < scene.forging.billets.size(); ++i)
    check_welded(scene.forging.billets[i], scene.recipe.billets[i], findings);
}

}  // namespace etchcast
