// Hardening and diffusion of a forged bar, for the terminal.
#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "books/wrap.hpp"
#include "etchcast/metallurgy.hpp"

namespace etchcast {
namespace {

constexpr size_t kWide = 80;

double fahrenheit(double celsius) { return celsius * 1.8 + 32; }

std::string span_text(double low, double high) {
  return std::round(low) == std::round(high) ? fmt::format("{:.0f}", low) : fmt::format("{:.0f}-{:.0f}", low, high);
}

std::string window_text(const std::optional<Window>& window) {
  return window ? span_text(window->low_c, window->high_c) : "-";
}

std::string both_scales(const Window& w) {
  return fmt::format("{} C ({} F)", span_text(w.low_c, w.high_c), span_text(fahrenheit(w.low_c), fahrenheit(w.high_c)));
}

/// The smith's word and the grade; the word "core" says nothing beside "is the core".
std::string named(const SteelInBar& one) {
  return one.name == one.grade || one.name == "core" ? one.grade : fmt::format("{} ({})", one.name, one.grade);
}

std::string item(const std::string& text) { return wrapped(text, kWide, "    ", "  - "); }

std::string steel_rows(const Hardening& all) {
  std::string text =
      fmt::format("  {:<24} {:>6} {:>14} {:>14} {:>14}\n", "steel", "share", "carbon, %", "harden, C", "forge, C");
  for (const SteelInBar& one : all.steels)
    text += fmt::format("  {:<24} {:>4.0f} % {:>14} {:>14} {:>14}\n", named(one).substr(0, 24), one.share * 100,
                        fmt::format("{:.2f} -> {:.2f}", one.carbon, one.carbon_after), window_text(one.harden),
                        window_text(one.forge));
  return text;
}

/// Tempered hardness of a steel that has a table and still the carbon of its grade.
std::string temper_lines(const SteelInBar& one) {
  const SteelSheet* sheet = one.sheet.get();
  if (!sheet || sheet->temper.empty()) return "";
  const Content& carbon = sheet->contents[0];
  if (one.carbon_after < carbon.least - 0.02 || one.carbon_after > carbon.most + 0.02)
    return item(fmt::format("{}: its carbon has left the grade's {:.2f}-{:.2f} %, so its tempering table does not hold",
                            named(one), carbon.least, carbon.most));
  std::string figures;
  for (const double celsius : {150.0, 175.0, 200.0, 230.0, 260.0})
    if (const auto hrc = tempered_hardness(*sheet, celsius))
      figures += fmt::format("{}{:.0f} C {:.0f}-{:.0f}", figures.empty() ? "" : ", ", celsius, hrc->least, hrc->most);
  return item(fmt::format("{}, tempered: {} HRC (suppliers' tables and how far they differ)", named(one), figures));
}

std::string formula_lines(const SteelInBar& one) {
  if (!one.ac1_c || !one.ac3_c || !one.martensite_c) return "";
  return item(
      fmt::format("{}: austenite forms from {:.0f} to {:.0f} C, martensite from {:.0f} C down, {:.0f} % "
                  "austenite left at room temperature (Andrews; Koistinen and Marburger)",
                  named(one), *one.ac1_c, *one.ac3_c, *one.martensite_c, *one.retained * 100));
}

std::string heat_line(const Hardening& all) {
  if (all.cutting >= 0) {
    const SteelInBar& core = all.steels[all.cutting];
    const std::string heat =
        core.harden ? "harden for it at " + both_scales(*core.harden) : "no hardening heat on record";
    const std::string cuts = fmt::format("it cuts, with {:.2f} % C; ", all.edge_carbon);
    return item(
        fmt::format("{} is {}: {}{}", named(core), all.core ? "the core" : "the steel at the edge", cuts, heat));
  }
  std::string mix;
  bool any = false;
  for (const SteelInBar& one : all.steels) {
    if (one.edge_share <= 0) continue;
    mix += fmt::format("{}{} {:.0f} %", mix.empty() ? "" : ", ", one.name, one.edge_share * 100);
    any = any || one.harden;
  }
  const std::string edge = fmt::format("the edge is the mix ({}) with {:.2f} % C; ", mix, all.edge_carbon);
  if (!any) return item(edge + "no hardening heat is on record for its steels");
  if (!all.harden) return item(edge + "there is no hardening heat common to its steels");
  return item(fmt::format("{}the hardening windows meet at {}{}", edge, both_scales(*all.harden),
                          all.partly_known ? ", as far as they are known" : ""));
}

std::string carbon_line(const Hardening& all) {
  const auto by_carbon = [](const SteelInBar& a, const SteelInBar& b) { return a.carbon < b.carbon; };
  const auto [poorest, richest] = std::minmax_element(all.steels.begin(), all.steels.end(), by_carbon);
  if (richest->carbon - poorest->carbon < 0.005)
    return item(fmt::format("carbon {:.2f} % throughout", all.mean_carbon));
  return item(fmt::format("carbon {:.2f} % on average, by mass; {:.0f} % of its differences are left after the heats",
                          all.mean_carbon, all.carbon_contrast * 100));
}

std::string microns(double mm) {
  return mm < 0.1 ? fmt::format("{:.3g}", mm * 1000) : fmt::format("{:.0f}", mm * 1000);
}

std::string element_line(const ElementFate& fate) {
  const double least = *std::min_element(fate.centres.begin(), fate.centres.end());
  const double most = *std::max_element(fate.centres.begin(), fate.centres.end());
  if (most - least < 0.02 && fate.contrast_left > 0.99) return "";  // there was no difference to begin with
  const bool fine = fate.edge_mm < 0.1;
  return fmt::format(
      "    {:<3} {:>6.0f} % {:>9} {:>16} {:>20}\n", symbol_of(fate.element), fate.contrast_left * 100,
      fine ? fmt::format("{:.1f} um", fate.edge_mm * 1000) : fmt::format("{:.2f} mm", fate.edge_mm),
      fmt::format("{:.2f} to {:.2f} %", least, most),
      fine ? fmt::format("{:.1f} um", fate.washout_mm * 1000) : fmt::format("{:.2f} mm", fate.washout_mm));
}

}  // namespace

std::string hardening_text(const Recipe& recipe, const Forging& forging) {
  const Hardening all = hardening(recipe, forging);
  std::string text = "Hardening\n" + steel_rows(all) + "\n";
  text += carbon_line(all);
  text += heat_line(all);
  if (std::count_if(all.steels.begin(), all.steels.end(), [](auto& one) { return one.forge.has_value(); }) > 1 &&
      all.forge)
    text += item(fmt::format("forging windows that are known meet at {}", both_scales(*all.forge)));
  bool formula = false;
  for (const SteelInBar& one : all.steels) {
    text += formula_lines(one);
    formula = formula || one.ac1_c;
    if (one.edge_share > 0.02) text += temper_lines(one);
  }
  if (!formula)
    text += item(
        "Andrews' formulas fail above 0.6 % C and 5 % of alloys: no Ac1, Ac3, martensite start or retained "
        "austenite is told");
  text += item("'etchcast steels GRADE' tells where a window comes from");
  text += "\nCommon practice for such a bar, data sheets first\n";
  for (const std::string& line : all.practice) text += item(line);
  text += "\nTake care\n";
  for (const std::string& caution : all.cautions) text += item(caution);
  return text;
}

std::string diffusion_text(const Recipe& recipe, const Forging& forging) {
  std::string text = "Diffusion between layers\n";
  for (const BandFate& fate : diffuse(recipe, forging)) {
    const auto [thinnest, thickest] = std::minmax_element(fate.thickness_mm.begin(), fate.thickness_mm.end());
    text += fmt::format("  {}: {}, {} to {} um, {} heats\n", fate.billet,
                        fate.what.size() == 1 ? "1 layer" : fmt::format("{} layers", fate.what.size()),
                        microns(*thinnest), microns(*thickest), fate.history.heats.size());
    std::string lines;
    for (const ElementFate& element : fate.elements) lines += element_line(element);
    if (lines.empty())
      text += "    one steel throughout: nothing to even out\n";
    else
      text +=
          fmt::format("    {:<3} {:>8} {:>9} {:>16} {:>20}\n", "", "left", "edge", "layers hold", "washed out below") +
          lines;
    for (const std::string& note : fate.history.notes) text += item(note);
  }
  return text + wrapped(
                    "D in austenite is known within a factor of 3, so widths within a factor of 1.7. Carbon: a "
                    "textbook's table; Ni, Mn, Cr: value from memory.",
                    kWide, "  ", "  ");
}

}  // namespace etchcast
