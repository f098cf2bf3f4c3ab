// What to buy and how to cut it.
#include <fmt/format.h>

#include "base/units.hpp"
#include "etchcast/stock.hpp"
#include "sheet/figures.hpp"
#include "sheet/html.hpp"
#include "sheet/parts.hpp"

namespace etchcast {
namespace {

std::string plates_html(const Figures& say, const CutLine& line, const CutPieces& one) {
  return fmt::format("<b>{} x</b> {}, {} x {} in sixteenths, for {}", one.count,
                     say.to_cut({one.length_mm, line.width_mm}), inch_fraction(one.length_mm),
                     inch_fraction(line.width_mm), escaped(one.billet));
}

std::string over_html(const Figures& say, const CutLine& line) {
  if (line.bars.empty()) return {};
  std::string over;
  for (const CutBars& bars : line.bars)
    over += fmt::format("{}{}{}", over.empty() ? "" : ", ",
                        line.bar_count() > 1 ? fmt::format("{} x ", bars.count) : "", say.length(bars.over_mm));
  return fmt::format("{} bar{} of {}; left over: {}", line.bar_count(), line.bar_count() == 1 ? "" : "s",
                     say.length(line.bar_mm), over);
}

std::string line_html(const Sheet& sheet, const CutLine& line) {
  const Steel& steel = sheet.recipe.steels[size_t(line.steel)];
  const Figures& say = sheet.figures;
  std::string text =
      fmt::format("<li>{} <b>{}</b>, {} thick<br>", kBox, escaped(named(steel)), say.gauge(line.thickness_mm));
  for (const CutPieces& one : line.pieces) text += plates_html(say, line, one) + "<br>";
  if (line.too_long > 0)
    text += fmt::format("{} of them are longer than a bar of {}<br>", line.too_long, say.length(line.bar_mm));
  return text + over_html(say, line) + "; plates weigh " + say.mass(line.mass_g) + "</li>\n";
}

}  // namespace

std::string stock_html(Sheet& sheet) {
  const CutList list = cut_list(sheet.recipe, sheet.forging);
  std::string text = "<section class=\"part\">\n<h2>Steel to cut</h2>\n<ul class=\"ticks\">\n";
  for (const CutLine& line : list.lines) text += line_html(sheet, line);
  text += "</ul>\n<p>";
  const Figures& say = sheet.figures;
  text += list.told
              ? "Bars as the recipe's [stock] says, as wide as the plates. "
              : "Bars of " + say.length(sheet.recipe.stock.usual_bar_mm) + ", as wide as the plates, are assumed. ";
  text += list.kerf_mm > 0 ? fmt::format("Sawn: every plate costs one kerf of {}.", say.length(list.kerf_mm))
                           : std::string("Sheared: no metal is lost in a cut.");
  double whole = 0;
  std::string masses;
  for (size_t i = 0; i < list.steel_mass_g.size(); ++i) {
    if (list.steel_mass_g[i] <= 0) continue;
    masses += fmt::format("{}{} {}", masses.empty() ? "" : ", ", escaped(sheet.recipe.steels[i].name),
                          say.mass(list.steel_mass_g[i]));
    whole += list.steel_mass_g[i];
  }
  text += fmt::format(" Plates in all: {}, together {}. Cut one plate more of each than you need.</p>\n", masses,
                      say.mass(whole));
  return text + caution_html(sheet, Stage::stock) + "</section>\n";
}

}  // namespace etchcast
