// Steels and blade shapes, for the terminal.
#include <algorithm>
#include <cctype>

#include <fmt/format.h>

#include "base/units.hpp"
#include "base/words.hpp"
#include "books/wrap.hpp"
#include "etchcast/blade.hpp"
#include "etchcast/reference.hpp"

namespace etchcast {
namespace {

constexpr size_t kWide = 80;

std::string lower(std::string_view text) {
  std::string out(text);
  for (char& c : out) c = char(std::tolower(static_cast<unsigned char>(c)));
  return out;
}

/// The grade's standard name and all its others.
std::vector<std::string_view> names_of(const Grade& grade) {
  std::vector<std::string_view> names{grade.steel.grade};
  std::string_view rest = grade.also;
  while (!rest.empty()) {
    const size_t end = std::min(rest.find(", "), rest.size());
    names.push_back(rest.substr(0, end));
    rest.remove_prefix(std::min(end + 2, rest.size()));
  }
  return names;
}

std::string_view tone_text(double tone) {
  return tone < 0.1 ? "black" : tone < 0.2 ? "grey-black" : tone < 0.5 ? "grey" : tone < 0.85 ? "light grey" : "bright";
}

}  // namespace

std::string steels_text() {
  std::string text = fmt::format("{:<8} {:>6} {:>6} {:>8} {:>6}  {:<11} {}\n", "grade", "C %", "g/cm3", "melts C",
                                 "attack", "etches", "also known as");
  for (const Grade& g : grades())
    text += fmt::format("{:<8} {:>6.2f} {:>6.2f} {:>8.0f} {:>4.0f} %  {:<11} {}\n", g.steel.grade, g.steel.carbon,
                        g.steel.density, g.steel.solidus_c, g.steel.attack * 100, tone_text(g.steel.tone), g.also);
  return text + "\n'etchcast steels NAME' tells where a grade's figures come from.\n";
}

std::string steel_text(std::string_view name) {
  std::vector<std::string_view> known;
  for (const Grade& g : grades())
    for (const std::string_view one : names_of(g)) {
      known.push_back(one);
      if (lower(one) != lower(name)) continue;
      std::string text = g.steel.grade + (g.also.empty() ? "" : " (also " + g.also + ")") + "\n";
      text += fmt::format("  standard   {}\n  carbon     {:.2f} %\n  density    {:.2f} g/cm3\n", g.standard,
                          g.steel.carbon, g.steel.density);
      text +=
          fmt::format("  melts      from about {:.0f} C ({:.0f} F)\n", g.steel.solidus_c, g.steel.solidus_c * 1.8 + 32);
      text +=
          fmt::format("  etches     {}: tone {:.2f} (0 black, 1 bright), attacked to {:.0f} % of the etch's depth\n",
                      tone_text(g.steel.tone), g.steel.tone, g.steel.attack * 100);
      return text + wrapped("figures    " + g.source, kWide, "             ", "  ");
    }
  throw Error(Fault::use, fmt::format("there is no grade {}", in_quotes(name)), hint_for_unknown(name, known));
}

std::string shapes_text() {
  std::string text;
  for (const Shape& s : shapes()) {
    text += wrapped(s.text, kWide, "          ", fmt::format("{:<9} ", s.name));
    text += fmt::format(
        "          {:.0f} mm ({} in) long, heel {:.0f} mm, spine {:.1f} / {:.1f} / {:.1f} mm, edge {:.2f} mm\n",
        s.length_mm, inch_fraction(s.length_mm), s.heel_share * s.length_mm, s.spine_mm[0], s.spine_mm[1],
        s.spine_mm[2], s.edge_mm);
  }
  return text +
         "\nSpine at the heel, in the middle, 10 mm from the tip; edge before sharpening.\nshape = \"path\" takes an "
         "outline of your own.\n";
}

}  // namespace etchcast
