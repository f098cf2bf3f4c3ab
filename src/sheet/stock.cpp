// What to buy and how to cut it.
#include <fmt/format.h>

#include "base/units.hpp"
#include "etchcast/stock.hpp"
#include "sheet/figures.hpp"
#include "sheet/html.hpp"
#include "sheet/parts.hpp"

namespace etchcast {
namespace {

std::string plates_html(const CutLine& line, const CutPieces& one) {
  return fmt::format("<b>{} ×</b> {} × {} mm ({} × {} in; {} × {}) for {}", one.count, mm_figure(one.length_mm),
                     mm_figure(line.width_mm), inch_figure(one.length_mm), inch_figure(line.width_mm),
                     inch_fraction(one.length_mm), inch_fraction(line.width_mm), escaped(one.billet));
}

std::string over_html(const CutLine& line) {
  if (line.bars.empty()) return {};
  std::string over;
  for (const CutBars& bars : line.bars)
    over +=
        fmt::format("{}{}{:.0f}\u00A0mm ({:.1f}\u00A0in)", over.empty() ? "" : ", ",
                    line.bar_count() > 1 ? fmt::format("{} × ", bars.count) : "", bars.over_mm, bars.over_mm / 25.4);
  return fmt::format("{} bar{} of {:.0f} mm ({:.1f} in); over: {}", line.bar_count(), line.bar_count() == 1 ? "" : "s",
                     line.bar_mm, line.bar_mm / 25.4, over);
}

std::string line_html(const Recipe& recipe, const CutLine& line) {
  const Steel& steel = recipe.steels[size_t(line.steel)];
  std::string text =
      fmt::format("<li>{} <b>{}</b>, {} thick<br>", kBox, escaped(named(steel)), both_lengths(line.thickness_mm));
  for (const CutPieces& one : line.pieces) text += plates_html(line, one) + "<br>";
  if (line.too_long > 0)
    text += fmt::format("{} of them are longer than a bar of {:.0f} mm<br>", line.too_long, line.bar_mm);
  return text + over_html(line) + "; plates " + both_masses(line.mass_g) + "</li>\n";
}

}  // namespace

std::string stock_html(Sheet& sheet) {
  const CutList list = cut_list(sheet.recipe, sheet.forging);
  std::string text = "<section class=\"part\">\n<h2>Steel to cut</h2>\n<ul class=\"ticks\">\n";
  for (const CutLine& line : list.lines) text += line_html(sheet.recipe, line);
  text += "</ul>\n<p>";
  text += list.told ? "Bars as the recipe's [stock] says, as wide as the plates. "
                    : "Bars of 48 in (1219 mm), as wide as the plates, are taken for granted. ";
  text += list.kerf_mm > 0 ? fmt::format("Sawn: every plate costs one kerf of {}.", both_lengths(list.kerf_mm))
                           : std::string("Sheared: no metal is lost in a cut.");
  double whole = 0;
  std::string masses;
  for (size_t i = 0; i < list.steel_mass_g.size(); ++i) {
    if (list.steel_mass_g[i] <= 0) continue;
    masses += fmt::format("{}{} {}", masses.empty() ? "" : ", ", escaped(sheet.recipe.steels[i].name),
                          both_masses(list.steel_mass_g[i]));
    whole += list.steel_mass_g[i];
  }
  text += fmt::format(" Plates in all: {}; together {}. Have a plate more than you need of each.</p>\n", masses,
                      both_masses(whole));
  return text + caution_html(sheet, Stage::stock) + "</section>\n";
}

}  // namespace etchcast
