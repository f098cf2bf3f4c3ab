// The cut list for the terminal.
#include <fmt/format.h>

#include "base/measures.hpp"
#include "books/wrap.hpp"
#include "etchcast/stock.hpp"

namespace etchcast {
namespace {

constexpr size_t kWide = 80;

std::string bars_over(const CutLine& line, const Measures& say) {
  if (line.bar_count() == 1) return fmt::format("{} over", say.length(line.bars[0].over_mm));
  std::string text = "over:";
  for (const CutBars& bars : line.bars)
    text += fmt::format("{} {} x {}", &bars == &line.bars.front() ? "" : ",", bars.count, say.length(bars.over_mm));
  return text;
}

std::string line_text(const Recipe& recipe, const CutLine& line) {
  const Measures say(recipe.units);
  const Steel& steel = recipe.steels[size_t(line.steel)];
  std::string text = fmt::format("{} {} thick:", named(steel), say.gauge(line.thickness_mm));
  for (const CutPieces& one : line.pieces)
    text += fmt::format("{} {} of {} for {}", &one == &line.pieces.front() ? "" : ",", one.count,
                        say.to_cut({one.length_mm, line.width_mm}), one.billet);
  if (line.too_long > 0) text += fmt::format("; {} longer than a bar of {}", line.too_long, say.length(line.bar_mm));
  if (!line.bars.empty())
    text += fmt::format("; {} bar{} of {}, {}", line.bar_count(), line.bar_count() == 1 ? "" : "s",
                        say.length(line.bar_mm), bars_over(line, say));
  return wrapped(text, kWide, "     ", "   - ");
}

}  // namespace

std::string cut_list_text(const Recipe& recipe, const CutList& list) {
  const Measures say(recipe.units);
  const std::string how =
      list.kerf_mm > 0 ? fmt::format("sawn, kerf {}", say.length(list.kerf_mm)) : std::string("sheared");
  std::string text =
      fmt::format("Steel to cut, {}{}\n", how, list.told ? "" : " (48 in bars are assumed; [stock] tells of others)");
  for (const CutLine& line : list.lines) text += line_text(recipe, line);
  std::string masses;
  for (size_t i = 0; i < list.steel_mass_g.size(); ++i)
    if (list.steel_mass_g[i] > 0)
      masses +=
          fmt::format("{}{} {}", masses.empty() ? "" : ", ", recipe.steels[i].name, say.mass(list.steel_mass_g[i]));
  return text + wrapped("in all " + masses, kWide, "     ", "   - ");
}

}  // namespace etchcast
