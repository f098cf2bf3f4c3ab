// The steels, for the terminal: all as a table, or one with every figure and its source.
#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "base/words.hpp"
#include "books/wrap.hpp"
#include "etchcast/reference.hpp"
#include "etchcast/steels.hpp"

namespace etchcast {
namespace {

constexpr size_t kWide = 80;

double fahrenheit(double celsius) { return celsius * 1.8 + 32; }

std::string_view tone_text(double tone) {
  return tone < 0.1 ? "black" : tone < 0.2 ? "grey-black" : tone < 0.5 ? "grey" : tone < 0.85 ? "light grey" : "bright";
}

std::string figure(double value) { return value > 0 ? fmt::format("{:.2f}", value) : "-"; }

std::string span_text(double low, double high) {
  return std::round(low) == std::round(high) ? fmt::format("{:.0f}", low) : fmt::format("{:.0f}-{:.0f}", low, high);
}

std::string entry(std::string_view title, const std::string& text) {
  return wrapped(text, kWide, std::string(13, ' '), fmt::format("  {:<11}", title));
}

std::string heat_text(const Window& window) {
  return fmt::format("{} C ({} F): {}", span_text(window.low_c, window.high_c),
                     span_text(fahrenheit(window.low_c), fahrenheit(window.high_c)), window.source);
}

std::string content_text(const Content& c) {
  const std::string_view symbol = symbol_of(c.element);
  if (c.least == c.most) return fmt::format("{} about {:.2f} %", symbol, c.nominal);
  const std::string nominal = c.nominal > 0 ? fmt::format(", reckoned as {:.2f}", c.nominal) : "";
  if (c.least == 0) return fmt::format("{} at most {:.2f} %{}", symbol, c.most, nominal);
  if (c.most == 100) return fmt::format("{} at least {:.1f} %{}", symbol, c.least, nominal);
  return fmt::format("{} {:.2f}-{:.2f} %{}", symbol, c.least, c.most, nominal);
}

std::string table_text(const TemperTable& table) {
  std::string figures;
  for (const TemperPoint& point : table.points)
    figures += fmt::format("{}{:.0f} C {:g}{}", figures.empty() ? "" : ", ", point.celsius, point.hrc.least,
                           point.hrc.most > point.hrc.least ? fmt::format("-{:g}", point.hrc.most) : "");
  return entry("", fmt::format("{} HRC ({}; hold {})", figures, table.source, table.hold));
}

std::string hardness_text(const SteelSheet& sheet) {
  if (sheet.temper.empty()) return entry("tempered", "no table on record");
  const auto quenched = quenched_hardness(sheet);
  std::string text = entry("quenched", fmt::format("{} HRC", span_text(quenched->least, quenched->most)));
  text += entry("tempered", "HRC by published tables; they differ by 2 HRC and more");
  for (const TemperTable& table : sheet.temper) text += table_text(table);
  return text;
}

std::string fire_text(const SteelSheet& sheet) {
  std::string text;
  if (sheet.forge)
    text += entry("forge", fmt::format("from {:.0f} C at most, not below {:.0f} C ({:.0f} to {:.0f} F): {}",
                                       sheet.forge->high_c, sheet.forge->low_c, fahrenheit(sheet.forge->high_c),
                                       fahrenheit(sheet.forge->low_c), sheet.forge->source));
  return text + entry("harden", sheet.harden ? heat_text(*sheet.harden) : "no heat on record");
}

double nominal(const SteelSheet& sheet, Element element) {
  for (const Content& one : sheet.contents)
    if (one.element == element) return one.nominal;
  return 0;
}

/// Where melting begins is told in the sheet, or follows from its carbon: as a recipe takes it.
double solidus_of(const SteelSheet& sheet) {
  return sheet.solidus_c > 0 ? sheet.solidus_c : iron_carbon_solidus_c(nominal(sheet, Element::carbon));
}

std::string row_text(const SteelSheet& sheet) {
  std::string line = fmt::format("{:<8} {:>5} {:>5} {:>5} {:>5} {:>9} {:<10} {}", sheet.grade,
                                 figure(nominal(sheet, Element::carbon)), figure(nominal(sheet, Element::manganese)),
                                 figure(nominal(sheet, Element::chromium)), figure(nominal(sheet, Element::nickel)),
                                 sheet.harden ? span_text(sheet.harden->low_c, sheet.harden->high_c) : "-",
                                 tone_text(sheet.tone), sheet.also);
  return line.erase(line.find_last_not_of(' ') + 1) + "\n";
}

std::string sheet_text(const SteelSheet& sheet) {
  std::string text =
      fmt::format("{}{}\n", sheet.grade, sheet.also.empty() ? "" : fmt::format(" (also {})", sheet.also));
  text += entry("standard", std::string(sheet.standard));
  for (size_t i = 0; i < sheet.contents.size(); ++i) text += entry(i ? "" : "holds", content_text(sheet.contents[i]));
  text += entry("density", fmt::format("{:.2f} g/cm3", sheet.density));
  text +=
      entry("melts", fmt::format("from about {:.0f} C ({:.0f} F)", solidus_of(sheet), fahrenheit(solidus_of(sheet))));
  text += fire_text(sheet) + hardness_text(sheet);
  text += entry("etches", fmt::format("{}: tone {:.2f} (0 black, 1 bright), attacked to {:.0f} % of the etch's depth",
                                      tone_text(sheet.tone), sheet.tone, sheet.attack * 100));
  return text + entry("figures", std::string(sheet.source));
}

}  // namespace

std::string steels_text(const GradeBook* own) {
  std::string text = fmt::format("{:<8} {:>5} {:>5} {:>5} {:>5} {:>9} {:<10} {}\n", "grade", "C %", "Mn", "Cr", "Ni",
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
  std::vector<std::string_view> known;
  const auto take = [&](const SteelSheet& sheet) {
    for (const std::string_view one : names_of(sheet)) known.push_back(one);
  };
  if (own)
    for (const SteelSheet& sheet : own->sheets()) take(sheet);
  for (const SteelSheet& sheet : steel_sheets()) take(sheet);
  throw Error(Fault::use, fmt::format("there is no grade {}", in_quotes(name)), hint_for_unknown(name, known));
}

}  // namespace etchcast
