// The cut list for the terminal.
#include <fmt/format.h>

#include "books/wrap.hpp"
#include "etchcast/stock.hpp"

namespace etchcast {
namespace {

constexpr size_t kWide = 80;
constexpr double kInch = 25.4, kPound = 453.59237;  // mm, g, exactly [NIST SP 811]

std::string bars_over(const CutLine& line) {
  if (line.bar_count() == 1) return fmt::format("{:.0f} mm over", line.bars[0].over_mm);
  std::string text = "over:";
  for (const CutBars& bars : line.bars)
    text += fmt::format("{} {} x {:.0f} mm", &bars == &line.bars.front() ? "" : ",", bars.count, bars.over_mm);
  return text;
}

std::string line_text(const Recipe& recipe, const CutLine& line) {
  const Steel& steel = recipe.steels[size_t(line.steel)];
  std::string text =
      fmt::format("{} {:.4g} mm ({:.3f} in):", named(steel), line.thickness_mm, line.thickness_mm / kInch);
  for (const CutPieces& one : line.pieces)
    text += fmt::format("{} {} of {:.1f} x {:.1f} mm for {}", &one == &line.pieces.front() ? "" : ",", one.count,
                        one.length_mm, line.width_mm, one.billet);
  if (line.too_long > 0) text += fmt::format("; {} longer than a bar of {:.0f} mm", line.too_long, line.bar_mm);
  if (!line.bars.empty())
    text += fmt::format("; {} bar{} of {:.0f} mm, {}", line.bar_count(), line.bar_count() == 1 ? "" : "s", line.bar_mm,
                        bars_over(line));
  return wrapped(text, kWide, "     ", "   - ");
}

}  // namespace

std::string cut_list_text(const Recipe& recipe, const CutList& list) {
  const std::string how = list.kerf_mm > 0 ? fmt::format("sawn, kerf {:.3g} mm", list.kerf_mm) : std::string("sheared");
  std::string text =
      fmt::format("Steel to cut, {}{}\n", how, list.told ? "" : " (bars of 48 in taken for granted: see [stock])");
  for (const CutLine& line : list.lines) text += line_text(recipe, line);
  std::string masses;
  for (size_t i = 0; i < list.steel_mass_g.size(); ++i)
    if (list.steel_mass_g[i] > 0)
      masses += fmt::format("{}{} {:.3f} kg ({:.2f} lb)", masses.empty() ? "" : ", ", recipe.steels[i].name,
                            list.steel_mass_g[i] / 1000, list.steel_mass_g[i] / kPound);
  return text + wrapped("in all " + masses, kWide, "     ", "   - ");
}

}  // namespace etchcast
