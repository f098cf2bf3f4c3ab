// Rules of the stock: plates that no bar gives, and plates a little too long for one more out of it.
#include <cmath>

#include <fmt/format.h>

#include "check/scene.hpp"
#include "etchcast/stock.hpp"

namespace etchcast {
namespace {

constexpr double kLittle = 0.03;    // of a plate's length: what a smith gives away to save a bar (estimate)
constexpr double kRounding = 0.13;  // mm, half a hundredth of an inch: so that neither figure is too long

void check_line(const Scene& scene, const CutList& list, const CutLine& line, Findings& findings) {
  const Steel& steel = scene.recipe.steels[size_t(line.steel)];
  const Measures say(scene.recipe.units);
  for (const CutPieces& one : line.pieces) {
    const LedgerRow& stack = scene.forging.story(one.billet).rows.front();
    if (one.length_mm > line.bar_mm + 1e-6) {
      findings.warn(
          stack.place, about_step(stack),
          fmt::format("plates of {} are to be {} long, and a bar of it is only {} long. Shorten the stack, or tell "
                      "of longer bars in [stock]",
                      named(steel), say.to_cut({one.length_mm}), say.length(line.bar_mm)));
      continue;
    }
    if (line.pieces.size() > 1) continue;
    const int each = plates_per_bar(line.bar_mm, one.length_mm, list.kerf_mm);
    const double shorter = (line.bar_mm + list.kerf_mm) / (each + 1) - list.kerf_mm;
    const int bars = (one.count + each) / (each + 1);
    if (shorter > (1 - kLittle) * one.length_mm && bars < line.bar_count())
      findings.note(
          stack.place, about_step(stack),
          fmt::format("a bar of {}, {} long, gives {} plates of {}. Plates of {} come out {} to a bar, and {} bar{} "
                      "would do instead of {}",
                      named(steel), say.length(line.bar_mm), each, say.to_cut({one.length_mm}),
                      say.to_cut({std::floor((shorter - kRounding) * 10) / 10}), each + 1, bars, bars == 1 ? "" : "s",
                      line.bar_count()));
  }
}

}  // namespace

void check_stock(const Scene& scene, Findings& findings) {
  const CutList list = cut_list(scene.recipe, scene.forging);
  for (const CutLine& line : list.lines) check_line(scene, list, line, findings);
}

}  // namespace etchcast
