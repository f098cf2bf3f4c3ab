// The one table of steels, and looking things up in it.

#include "steels/sheets.hpp"

#include <algorithm>
#include <array>
#include <cctype>

namespace etchcast {
namespace {

bool same_word(std::string_view a, std::string_view b) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                    [](unsigned char left, unsigned char right) { return std::tolower(left) == std::tolower(right); });
}

template <class Sheets>
const SteelSheet* sheet_named(const Sheets& sheets, std::string_view name) {
  for (const SteelSheet& sheet : sheets)
    if (!name_in(sheet, name).empty()) return &sheet;
  return nullptr;
}

/// "AISI O-1" as "o1": without the standard's own name, blanks and hyphens.
std::string bare(std::string_view name) {
  std::string word;
  for (const unsigned char c : name)
    if (c != ' ' && c != '-') word += char(std::tolower(c));
  for (const std::string_view body : {"aisi", "sae", "astm", "uns", "din", "w.nr.", "wnr"})
    if (word.starts_with(body) && word.size() > body.size()) return word.substr(body.size());
  return word;
}

std::vector<SteelSheet> all_sheets() {
  std::vector<SteelSheet> all;
  for (const auto family : {carbon_steels, alloy_steels, tool_steels, other_metals})
    all.insert(all.end(), family().begin(), family().end());
  return all;
}

}  // namespace

std::string_view symbol_of(Element element) {
  constexpr std::array<std::string_view, kElementCount> kSymbols = {"C", "Mn", "Si", "Cr", "Ni", "Mo", "V", "W", "Cu"};
  return kSymbols[size_t(element)];
}

double Steel::*field_of(Element element) {
  constexpr std::array<double Steel::*, kElementCount> kFields = {
      &Steel::carbon,     &Steel::manganese, &Steel::silicon,  &Steel::chromium, &Steel::nickel,
      &Steel::molybdenum, &Steel::vanadium,  &Steel::tungsten, &Steel::copper};
  return kFields[size_t(element)];
}

double tone_weight(Element element) {
  switch (element) {
    case Element::nickel:
      return 0.45;
    case Element::chromium:
      return 0.22;
    case Element::manganese:
      return -0.14;
    default:
      return 0;
  }
}

double iron_carbon_solidus_c(double carbon) {
  constexpr double kSlope = (1355.0 - 1375.0) / (0.95 - 0.84), kPeritectic = 1495, kEutectic = 1147;
  return std::clamp(1375 + kSlope * (carbon - 0.84), kEutectic, kPeritectic);
}

std::optional<Window> overlap(const Window& a, const Window& b) {
  const double low = std::max(a.low_c, b.low_c), high = std::min(a.high_c, b.high_c);
  if (low > high) return {};
  return Window{low, high, {}};
}

const std::vector<SteelSheet>& steel_sheets() {
  static const std::vector<SteelSheet> all = all_sheets();
  return all;
}

std::vector<std::string_view> names_of(const SteelSheet& sheet) {
  std::vector<std::string_view> names{sheet.grade};
  std::string_view rest = sheet.also;
  while (!rest.empty()) {
    const std::size_t end = std::min(rest.find(", "), rest.size());
    names.push_back(rest.substr(0, end));
    rest.remove_prefix(std::min(end + 2, rest.size()));
  }
  return names;
}

std::string_view name_in(const SteelSheet& sheet, std::string_view name) {
  for (const std::string_view word : names_of(sheet))
    if (same_word(word, name) || bare(word) == bare(name)) return word;
  return {};
}

const SteelSheet* find_sheet(std::string_view name) { return sheet_named(steel_sheets(), name); }

const SteelSheet* GradeBook::find(std::string_view name) const { return sheet_named(sheets_, name); }

}  // namespace etchcast
