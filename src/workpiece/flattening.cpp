// Humps forged down, floors brought up; and what draws a bar out, which does that first.
#include "workpiece/flattening.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "workpiece/closing.hpp"
#include "workpiece/flowing.hpp"
#include "workpiece/shut.hpp"

namespace etchcast {

namespace {

double stands(const Bar& bar) { return bar.top->highest() - bar.bottom->lowest(); }

/// True if the metal's flow was followed.
bool flattened_by_flow(Workpiece& w, double thickness, const MetalKeys& metal, const Arguments& arguments) {
  if (w.repeat()) return flatten_by_flow(w, thickness, metal, arguments);
  if (!w.holes() || w.preview()) return false;
  close_holes_by_flow(w, thickness, metal, arguments);
  return true;
}

}  // namespace

double hollow_of(const Bar& bar) {
  return std::max(bar.top->highest() - bar.top->lowest(), bar.bottom->highest() - bar.bottom->lowest());
}

void forge_between_flat_dies(Workpiece& w, double thickness, bool by_flow, const MetalKeys& metal, const Arguments& arguments) {
  const Bar before = w.bar();
  if (thickness >= stands(before))
    arguments.refuse("thickness",
                     fmt::format("the bar stands {} high here. Dies that stop at {} do not touch it",
                                 w.say().length(stands(before)), w.say().length(thickness)),
                     fmt::format("forge it to less than {}", w.say().length(stands(before))));
  const bool followed = by_flow && flattened_by_flow(w, thickness, metal, arguments);
  if (!followed) forge_flat(w, thickness, arguments);
  w.level_faces();
  if (!w.bar().even()) w.note(fmt::format("floors stay up to {} hollow", w.say().length(hollow_of(w.bar()))));
  // Plane sections close every hollow, however steep: there the groove as it was before tells.
  warn_of_shuts(w, followed ? w.bar() : before, arguments.call().place);
}

void flatten_first(Workpiece& w, double down_to, const Arguments& arguments) {
  const double before = stands(w.bar());
  if (w.bar().even() || down_to >= before * (1 - 1e-9)) return;
  // The flow has no memory: where the dies stop first does not matter to what comes after. So the humps go down to where the floors
  // have come up, found by trying, and the rest is an even bar drawn out, which needs no solving.
  constexpr int kTries = 8;
  double thickness = std::max(down_to, std::min(heights(w.bar()).least, 0.98 * before));
  double hollow = hollow_of(w.bar());
  Workpiece tried = w;
  for (int i = 1; i <= kTries; ++i) {
    tried = w;
    forge_between_flat_dies(tried, thickness, true, {}, arguments);
    if (tried.bar().even() || thickness <= down_to) break;
    // Floors come up by some two thirds of what the humps go down; slits hardly do.
    const double left = hollow_of(tried.bar());
    const bool slit = i + 1 == kTries || (i > 2 && left > 0.8 * hollow);
    thickness = slit ? down_to : std::max(down_to, thickness - 1.5 * left - 0.005 * before);
    hollow = left;
  }
  w = std::move(tried);
  if (w.bar().even())
    w.note(fmt::format("flat dies push the humps down first: the bar is flat at {}", w.say().length(w.thickness())));
}

}  // namespace etchcast
