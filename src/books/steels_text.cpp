// The steels, for the terminal: all as a table, or one with every figure and its source.
#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "base/measures.hpp"
#include "base/words.hpp"
#include "books/wrap.hpp"
#include "etchcast/reference.hpp"
#include "etchcast/steels.hpp"

namespace etchcast {
namespace {

constexpr size_t kWide = 80;

std::string_view tone_text(double tone) {
  return tone < 0.1 ? "black" : tone < 0.2 ? "grey-black" : tone < 0.5 ? "grey" : tone < 0.85 ? "light grey" : "bright";
}

std::string figure(double value) { return value > 0 ? fmt::format("{:.2f}", value) : "-"; }

/// As a column of the table: whole fives, as a forge can hold them.
std::string span_text(double low, double high) {
  return fmt::format("{:.0f}-{:.0f}", 5 * std::round(low / 5), 5 * std::round(high / 5));
}

const Measures kSay(System::metric);

std::string entry(std::string_view title, const std::string& text) {
  return wrapped(text, kWide, std::string(13, ' '), fmt::format("  {:<11}", title));
}

std::string heat_text(const Window& window) {
  return fmt::format("{}: {}", kSay.heats(window.low_c, window.high_c), window.source);
}

std::string content_text(const Content& c) {
  const std::string_view symbol = symbol_of(c.element);
  if (c.most == 0) return fmt::format("no {}", symbol);
  if (c.least == c.most) return fmt::format("{} about {:.2f} %", symbol, c.nominal);
  const std::string nominal = c.nominal > 0 ? fmt::format(", reckoned as {:.2f}", c.nominal) : "";
  if (c.least == 0) return fmt::format("{} at most {:.2f} %{}", symbol, c.most, nominal);
  if (c.most == 100) return fmt::format("{} at least {:.1f} %{}", symbol, c.least, nominal);
  return fmt::format("{} {:.2f}-{:.2f} %{}", symbol, c.least, c.most, nominal);
}

std::string table_text(const TemperTable& table) {
  std::string figures;
  for (const TemperPoint& point : table.points)
    figures += fmt::format("{}{} {:g}{}", figures.empty() ? "" : ", ", kSay.heat(point.celsius), point.hrc.least,
                           point.hrc.most > point.hrc.least ? fmt::format("-{:g}", point.hrc.most) : "");
  return entry("", fmt::format("HRC after tempering: {} ({}; held {})", figures, table.source, table.hold));
}

std::string hardness_text(const SteelSheet& sheet) {
  if (sheet.temper.empty()) return entry("tempered", "no table on record");
  const auto quenched = quenched_hardness(sheet);
  std::string text = entry("quenched", quenched->least == quenched->most
                                           ? fmt::format("{:g} HRC", quenched->least)
                                           : fmt::format("{:g} to {:g} HRC", quenched->least, quenched->most));
  text += entry("tempered", "by published tables, which differ by 2 HRC and more:");
  for (const TemperTable& table : sheet.temper) text += table_text(table);
  return text;
}

std::string normalise_text(const SteelSheet& sheet) {
  if (!sheet.no_normalise.empty()) return fmt::format("usually not: {}", sheet.no_normalise);
  if (sheet.normalise) return "first heat " + heat_text(*sheet.normalise);
  return "no heat on record: see the maker's data sheet";
}

/// Common practice as far as the steel bears it.
std::string weld_text(const Steel& steel) {
  constexpr double kUsual = 1200, kUsualMost = 1260;  // C
  const double most = std::min(kUsualMost, hottest_weld_c(steel));
  if (most <= kUsual) return fmt::format("at {} at most", kSay.heat(most));
  return fmt::format("at {}: common practice", kSay.heats(kUsual, most));
}

std::string fire_text(const SteelSheet& sheet) {
  const Steel steel = steel_of({std::shared_ptr<const SteelSheet>(), &sheet});
  const Window forge = forging_heats(steel);
  std::string text = entry("melts", fmt::format("from about {}", kSay.heat(steel.solidus_c)));
  text += entry("weld", weld_text(steel));
  text += entry("forge", sheet.forge ? fmt::format("start at {} or below, end at {} or above: {}",
                                                   kSay.heat(forge.high_c), kSay.heat(forge.low_c), forge.source)
                                     : fmt::format("start at {} or below: {}", kSay.heat(forge.high_c), forge.source));
  if (!sheet.harden) return text + entry("harden", "no heat on record");
  text += entry("normalise", normalise_text(sheet)) + entry("harden", heat_text(*sheet.harden));
  if (sheet.hold)
    text += entry("hold",
                  fmt::format("{:g} to {:g} min: {}", sheet.hold->least_min, sheet.hold->most_min, sheet.hold->source));
  if (sheet.oil != Oil::unknown)
    text += entry("quench", sheet.oil == Oil::fast ? "fast oil: common practice" : "medium oil: common practice");
  return text;
}

double nominal(const SteelSheet& sheet, Element element) {
  for (const Content& one : sheet.contents)
    if (one.element == element) return one.nominal;
  return 0;
}

std::string row_text(const SteelSheet& sheet) {
  const std::string line =
      fmt::format("{:<10} {:>5} {:>5} {:>5} {:>5} {:>9} {:<10} ", sheet.grade, figure(nominal(sheet, Element::carbon)),
                  figure(nominal(sheet, Element::manganese)), figure(nominal(sheet, Element::chromium)),
                  figure(nominal(sheet, Element::nickel)),
                  sheet.harden ? span_text(sheet.harden->low_c, sheet.harden->high_c) : "-", tone_text(sheet.tone));
  if (sheet.also.empty()) return line.substr(0, line.find_last_not_of(' ') + 1) + "\n";
  return wrapped(sheet.also, kWide, std::string(line.size(), ' '), line);
}

std::string sheet_text(const SteelSheet& sheet) {
  std::string text =
      fmt::format("{}{}\n", sheet.grade, sheet.also.empty() ? "" : fmt::format(" (also {})", sheet.also));
  text += entry("standard", std::string(sheet.standard));
  for (size_t i = 0; i < sheet.contents.size(); ++i) text += entry(i ? "" : "holds", content_text(sheet.contents[i]));
  text += entry("density", fmt::format("{:.2f} g/cm3", sheet.density));
  text += fire_text(sheet) + hardness_text(sheet);
  text += entry("etches", fmt::format("{}: tone {:.2f} (0 black, 1 bright), eaten to {:.0f} % of the etch's depth",
                                      tone_text(sheet.tone), sheet.tone, sheet.attack * 100));
  if (!sheet.caution.empty()) text += entry("take care", std::string(sheet.caution));
  return text + entry("figures", std::string(sheet.source));
}

}  // namespace

std::string steels_text(const GradeBook* own) {
  std::string text = fmt::format("{:<10} {:>5} {:>5} {:>5} {:>5} {:>9} {:<10} {}\n", "grade", "C %", "Mn", "Cr", "Ni",
                                 "harden C", "etches", "also known as");
  if (own) {
    for (const SteelSheet& sheet : own->sheets()) text += row_text(sheet);
    text += fmt::format("above: {}; below: what the program brings\n", own->file);
  }
  for (const SteelSheet& sheet : steel_sheets()) text += row_text(sheet);
  return text + "\n'etchcast steels NAME' tells all about one, and where its figures come from.\n";
}

std::string steel_text(std::string_view name, const GradeBook* own) {
  if (const SteelSheet* sheet = own ? own->find(name) : nullptr) return sheet_text(*sheet);
  if (const SteelSheet* sheet = find_sheet(name)) return sheet_text(*sheet);
  const std::string meant = steel_hint(name, own);
  throw Error(Fault::use, fmt::format("there is no grade {}", in_quotes(name)),
              meant.empty() ? "'etchcast steels' lists all" : meant + ". 'etchcast steels' lists all");
}

}  // namespace etchcast
