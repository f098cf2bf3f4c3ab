// Hardening and diffusion of a forged bar, for the terminal: what to do, what to take care of, and why.
#include <algorithm>
#include <cctype>
#include <cmath>

#include <fmt/format.h>

#include "base/measures.hpp"
#include "books/wrap.hpp"
#include "etchcast/metallurgy.hpp"

namespace etchcast {
namespace {

constexpr size_t kWide = 80;

std::string item(const std::string& text) { return wrapped(text, kWide, "    ", "  - "); }

std::string sentence(std::string text) {
  if (!text.empty()) text[0] = char(std::toupper(static_cast<unsigned char>(text[0])));
  return text.ends_with('.') ? text : text + ".";
}

std::string joined(const std::vector<std::string>& words) {
  std::string text;
  for (size_t i = 0; i < words.size(); ++i) text += (i == 0 ? "" : i + 1 == words.size() ? " and " : ", ") + words[i];
  return text;
}

std::string edge_text(const Hardening& all) {
  if (all.cutting >= 0)
    return fmt::format("The edge is {}{}. It holds {:.2f} % of carbon after all heats.", all.core ? "core: " : "",
                       all.steels[size_t(all.cutting)].told, all.edge_carbon);
  std::vector<std::string> mix;
  for (const SteelInBar& one : all.steels)
    if (one.edge_share >= 0.005) mix.push_back(fmt::format("{:.0f} % of {}", one.edge_share * 100, one.told));
  return fmt::format("The edge is a mix of {}. It holds {:.2f} % of carbon after all heats.", joined(mix),
                     all.edge_carbon);
}

std::string heat_text(const Hardening& all, const Measures& say) {
  if (!all.melts.empty()) return " " + sentence(all.melts);
  if (!all.heat()) return " No hardening heat is on record for it: go by the data sheets.";
  return fmt::format(" Harden it at {}{}.", say.heats(all.heat()->low_c, all.heat()->high_c),
                     all.partly_known ? ", as far as its steels' heats are known" : "");
}

/// Tempered hardness of a steel that has a table and still the carbon of its grade.
std::string temper_lines(const SteelInBar& one, const Measures& say) {
  const SteelSheet* sheet = one.sheet.get();
  if (!sheet || sheet->temper.empty()) return "";
  const Content& carbon = sheet->contents[0];
  if (one.carbon_after < carbon.least - 0.02 || one.carbon_after > carbon.most + 0.02)
    return item(
        fmt::format("{} no longer holds the {:.2f} to {:.2f} % of carbon of its grade, so its tempering tables do "
                    "not hold for it.",
                    one.told, carbon.least, carbon.most));
  std::string figures;
  for (const double celsius : {150.0, 175.0, 205.0, 230.0, 260.0})
    if (const auto hrc = tempered_hardness(*sheet, celsius))
      figures += fmt::format("{}{:.0f} to {:.0f} HRC at {}", figures.empty() ? "" : ", ", hrc->least, hrc->most,
                             say.heat(celsius));
  return item(fmt::format("{} after tempering: {}. From {}, and how far such tables differ.", one.told, figures,
                          temper_sources(*sheet)));
}

/// Not for every smith, but for those who ask: formulas of low-alloy steel, where they hold.
std::string formula_lines(const SteelInBar& one, const Measures& say) {
  if (!one.ac1_c || !one.ac3_c || !one.martensite_c) return "";
  return item(fmt::format(
      "{} begins to change into austenite at {}, is all austenite at {}, and begins to harden at {} on "
      "the way down; {:.0f} % of it stays soft austenite (formulas; see docs/model.md).",
      one.told, say.heat(*one.ac1_c), say.heat(*one.ac3_c), say.heat(*one.martensite_c), *one.retained * 100));
}

std::string steel_rows(const Hardening& all, const Measures& say) {
  std::string text;
  for (const SteelInBar& one : all.steels) {
    const std::string harden = one.harden ? "hardened at " + say.heats(one.harden->low_c, one.harden->high_c) +
                                                fmt::format(" [{}]", one.harden->source)
                                          : std::string("no hardening heat on record");
    const std::string carbon =
        one.takes_carbon ? fmt::format("{:.2f} % of carbon as bought, {:.2f} % now", one.carbon, one.carbon_after)
                         : std::string("takes up little carbon");
    text += item(fmt::format("{}: {:.0f} % of the bar; {}; {}.", one.told, one.share * 100, carbon, harden));
  }
  return text;
}

std::string carbon_line(const Hardening& all) {
  const auto by_carbon = [](const SteelInBar& a, const SteelInBar& b) { return a.carbon < b.carbon; };
  const auto [poorest, richest] = std::minmax_element(all.steels.begin(), all.steels.end(), by_carbon);
  if (richest->carbon - poorest->carbon < 0.005)
    return item(fmt::format("All of the bar holds {:.2f} % of carbon.", all.mean_carbon));
  return item(
      fmt::format("Carbon moves from steel to steel in the heats: {:.0f} % of its differences are left, and the bar "
                  "holds {:.2f} % on average.",
                  all.carbon_contrast * 100, all.mean_carbon));
}

std::string why_text(const Hardening& all, const Measures& say) {
  std::string text = "\nWhy\n" + steel_rows(all, say) + carbon_line(all);
  const auto known =
      std::count_if(all.steels.begin(), all.steels.end(), [](auto& one) { return one.forge.has_value(); });
  if (known > 1 && all.forge)
    text += item(fmt::format("The published forging heats of its steels meet at {}.",
                             say.heats(all.forge->low_c, all.forge->high_c)));
  for (const SteelInBar& one : all.steels) text += formula_lines(one, say);
  return text + item("'etchcast steels GRADE' tells where the figures of a steel come from.");
}

/// Of layers and seams: micrometres, or in an inch shop thousandths of an inch; millimetres from a tenth up.
std::string small_length(double mm, System first) {
  if (first == System::inch) return fmt::format("{:.2g} thou", mm / 0.0254);
  const double um = mm * 1000;
  if (um >= 100) return fmt::format("{:.2f} mm", mm);
  return um < 10 ? fmt::format("{:.1f} um", um) : fmt::format("{:.0f} um", um);
}

std::string element_line(const ElementFate& fate, System first) {
  const double least = *std::min_element(fate.centres.begin(), fate.centres.end());
  const double most = *std::max_element(fate.centres.begin(), fate.centres.end());
  if (most - least < 0.02 && fate.contrast_left > 0.99) return "";  // there was no difference to begin with
  constexpr const char* kNames[] = {"carbon", "manganese", "silicon", "chromium", "nickel"};
  return fmt::format("    {:<10} {:>8.0f} % {:>17} {:>12} {:>22}\n", kNames[size_t(fate.element)],
                     fate.contrast_left * 100, fmt::format("{:.2f} to {:.2f} %", least, most),
                     small_length(fate.edge_mm, first), small_length(fate.washout_mm, first));
}

std::string fate_text(const BandFate& fate, System first) {
  const auto [thinnest, thickest] = std::minmax_element(fate.thickness_mm.begin(), fate.thickness_mm.end());
  std::string text =
      fmt::format("  {}: {}, {} to {} thick, after {} heats\n", fate.billet,
                  fate.what.size() == 1 ? "1 layer" : fmt::format("{} layers", fate.what.size()),
                  small_length(*thinnest, first), small_length(*thickest, first), fate.history.heats.size());
  std::string lines;
  for (const ElementFate& element : fate.elements) lines += element_line(element, first);
  if (lines.empty())
    text += "    one steel throughout: nothing to even out\n";
  else
    text +=
        fmt::format("    {:<10} {:>10} {:>17} {:>12} {:>22}\n", "", "difference", "layers hold", "seams are",
                    "layers are lost") +
        fmt::format("    {:<10} {:>10} {:>17} {:>12} {:>22}\n", "", "left", "now", "blurred by", "if thinner than") +
        lines;
  for (const std::string& note : fate.history.notes) text += item(note);
  return text;
}

}  // namespace

std::string hardening_text(const Recipe& recipe, const Forging& forging) {
  const Hardening all = hardening(recipe, forging);
  const Measures say(recipe.units);
  std::string text = "Hardening\n" + wrapped(edge_text(all) + heat_text(all, say), kWide, "  ", "  ");
  text += "\nWhat to do (common practice; the data sheets of your steels come first)\n";
  for (size_t i = 0; i < all.practice.size(); ++i)
    text += wrapped(all.practice[i], kWide, "     ", fmt::format("  {}. ", i + 1));
  for (const SteelInBar& one : all.steels)
    if (one.edge_share > 0.02 && all.melts.empty()) text += temper_lines(one, say);
  text += "\nTake care\n";
  for (const std::string& caution : all.cautions) text += item(sentence(caution));
  return text + why_text(all, say);
}

std::string diffusion_text(const Recipe& recipe, const Forging& forging) {
  std::string text = "What the heats did between the layers\n";
  text += wrapped(
      "At forging heat the elements of one steel wander into the next. Carbon evens out within a heat or two between "
      "thin layers. Nickel, chromium and manganese make the contrast, and they hardly move.",
      kWide, "  ", "  ");
  for (const BandFate& fate : diffuse(recipe, forging)) text += fate_text(fate, recipe.units);
  return text + wrapped(
                    "How fast they wander is known within a factor of 3, so widths within a factor of 1.7. Carbon: a "
                    "textbook's table; nickel, manganese, chromium: value from memory. See docs/model.md.",
                    kWide, "  ", "  ");
}

}  // namespace etchcast
