// Rules of the stock: plates that no bar gives, and plates a hair too long for one more out of it.
#include <cmath>

#include <fmt/format.h>

#include "check/scene.hpp"
#include "etchcast/stock.hpp"

namespace etchcast {
namespace {

constexpr double kLittle = 0.03;  // of a plate's length; what a smith gives away to save a bar (estimate)

void check_line(const Scene& scene, const CutList& list, const CutLine& line, Findings& findings) {
  const Steel& steel = scene.recipe.steels[size_t(line.steel)];
  for (const CutPieces& one : line.pieces) {
    const LedgerRow& pile = scene.forging.story(one.billet).rows.front();
    if (one.length_mm > line.bar_mm + 1e-6) {
      findings.warn(pile.place, about_step(pile),
                    fmt::format("plates of {} are {:.1f} mm long, and a bar of it is {:.0f} mm", named(steel),
                                one.length_mm, line.bar_mm));
      continue;
    }
    if (line.pieces.size() > 1) continue;
    const int each = plates_per_bar(line.bar_mm, one.length_mm, list.kerf_mm);
    const double shorter = (line.bar_mm + list.kerf_mm) / (each + 1) - list.kerf_mm;
    const int bars = (one.count + each) / (each + 1);
    if (shorter > (1 - kLittle) * one.length_mm && bars < line.bar_count())
      findings.note(
          pile.place, about_step(pile),
          fmt::format("a bar of {} {:.0f} mm long gives {} plates of {:.1f} mm; {:.1f} mm long they would come "
                      "out {} to a bar, and {} bar{} do instead of {}",
                      named(steel), line.bar_mm, each, one.length_mm, std::floor(shorter * 10) / 10, each + 1, bars,
                      bars == 1 ? "" : "s", line.bar_count()));
  }
}

}  // namespace

void check_stock(const Scene& scene, Findings& findings) {
  const CutList list = cut_list(scene.recipe, scene.forging);
  for (const CutLine& line : list.lines) check_line(scene, list, line, findings);
}

}  // namespace etchcast
