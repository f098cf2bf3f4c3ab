// The ledger as a table of 80 columns: two lines a step, the smith's own system over the other, and what happened under
// them.
#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "base/measures.hpp"
#include "base/units.hpp"
#include "books/summary.hpp"
#include "books/wrap.hpp"
#include "etchcast/metallurgy.hpp"
#include "etchcast/stock.hpp"

namespace etchcast {
namespace {

constexpr double kInch = 25.4, kPound = 453.59237;  // mm, g, exactly [NIST SP 811]
constexpr size_t kWide = 80;

// Widths: number 2, step 9, three sizes of 7, mass 7, share left 5, layers 13, thickness of layers 15, heats 8.
constexpr std::string_view kRow = "{:>2} {:<8} {:>6} {:>6} {:>6} {:>6} {:>4} {:>12} {:>14} {:>7}";
constexpr std::string_view kRowBelow = "   {:<8} {:>6} {:>6} {:>6} {:>6} {:>32} {:>7}";

/// A figure with as many decimals as there is room for.
std::string figure(double value, int decimals, size_t width) {
  std::string text = fmt::format("{:.{}f}", value, decimals);
  while (text.size() > width && decimals > 0) text = fmt::format("{:.{}f}", value, --decimals);
  return text;
}

std::string cut_to(const std::string& text, size_t width) {
  return text.size() <= width ? text : text.substr(0, width - 1) + "~";
}

std::string layers_of(const LedgerRow& row) {
  const std::string distinct = row.layers_least == row.layers_most
                                   ? fmt::format("{}", row.layers_most)
                                   : fmt::format("{}-{}", row.layers_least, row.layers_most);
  return fmt::format("{}/{}", row.nominal, distinct);
}

/// Thinnest, mean and thickest layer, in micrometres or thousandths of an inch.
std::string layer_sizes(const LedgerRow& row, System system) {
  const double unit = system == System::inch ? kInch / 1000 : 0.001;
  const auto one = [&](double mm) { return figure(mm / unit, mm < 10 * unit ? 1 : 0, 6); };
  return fmt::format("{}/{}/{}", one(row.thinnest_mm), one(row.mean_mm), one(row.thickest_mm));
}

std::string sixteenths(const LedgerRow& row) {
  if (row.section == Section::round)
    return fmt::format("{} x {} round", inch_fraction(row.length_mm), inch_fraction(row.thickness_mm));
  return fmt::format("{} x {} x {}", inch_fraction(row.length_mm), inch_fraction(row.width_mm),
                     inch_fraction(row.thickness_mm));
}

std::string note_lines(const std::string& note) { return wrapped(note, kWide, "     ", "   - "); }

std::string fire_note(const LedgerRow& row, const Measures& say) {
  std::string text;
  if (row.soak_s > 0) text += fmt::format("soak {}", quantity_text(row.soak_s, Unit::time));
  if (row.scale_mm > 0) text += fmt::format("{}scale {} a face", text.empty() ? "" : ", ", say.length(row.scale_mm));
  const double lost_g = row.volume_mm3 > 0 ? row.removed_mm3 * row.mass_g / row.volume_mm3 : 0;
  if (lost_g > 0.5) text += fmt::format("{}{} lost", text.empty() ? "" : ", ", say.mass(lost_g));
  return text;
}

/// A line without the blanks that padding leaves at its end.
std::string line(std::string text) {
  text.erase(text.find_last_not_of(' ') + 1);
  return text + "\n";
}

/// Sizes, mass and heat in one system, each as the table's cell holds it.
struct Cells {
  std::string length, width, thickness, mass, heat;
};

Cells cells_of(const LedgerRow& row, System system) {
  if (system == System::metric)
    return {figure(row.length_mm, 1, 6), figure(row.width_mm, 1, 6), figure(row.thickness_mm, 2, 6),
            figure(row.mass_g / 1000, 3, 6), fmt::format("{:.0f}", row.heat_c)};
  const auto in = [](double mm) { return figure(mm / kInch, 3, 6); };
  return {in(row.length_mm), in(row.width_mm), in(row.thickness_mm), figure(row.mass_g / kPound, 2, 6),
          fmt::format("{:.0f}", row.heat_c * 1.8 + 32)};
}

System other(System one) { return one == System::inch ? System::metric : System::inch; }

std::string row_text(const LedgerRow& row, const Measures& say) {
  const bool hot = row.heats > 0;
  const Cells own = cells_of(row, say.first()), below = cells_of(row, other(say.first()));
  std::string text = line(fmt::format(kRow, row.number, cut_to(row.step, 8), own.length, own.width, own.thickness,
                                      own.mass, fmt::format("{:.0f}%", row.yield * 100), cut_to(layers_of(row), 12),
                                      cut_to(layer_sizes(row, say.first()), 14),
                                      hot ? fmt::format("{}x{}", row.heats, own.heat) : ""));
  text += line(fmt::format(kRowBelow, cut_to(row.id, 8), below.length, below.width, below.thickness, below.mass,
                           sixteenths(row), hot ? below.heat : ""));
  if (const std::string note = fire_note(row, say); !note.empty()) text += note_lines(note);
  if (!row.rough.empty()) text += note_lines("rough: " + row.rough);
  for (const std::string& note : row.notes) text += note_lines(note);
  return text;
}

std::string heading(System first) {
  const bool inch = first == System::inch;
  const char *own = inch ? "in" : "mm", *below = inch ? "mm" : "in";
  return fmt::format(kRow, "", "step", "length", "width", "thick", "mass", "left", "layers",
                     inch ? "layer, thou" : "layer, um", "heats") +
         "\n" +
         fmt::format(kRow, "", "id", own, own, own, inch ? "lb" : "kg", "", "nom./dist.", "thin/mean/max",
                     inch ? "F" : "C") +
         "\n" +
         fmt::format(kRowBelow, "", below, below, below, inch ? "kg" : "lb", "in sixteenths (~ rounded)",
                     inch ? "C" : "F") +
         "\n" + std::string(kWide, '-') + "\n";
}

/// How far seams have run into one another, and where layers would be lost in it.
std::string seams_text(const Recipe& recipe, const Forging& forging) {
  std::string text;
  for (const BandFate& fate : diffuse(recipe, forging)) {
    const ElementFate* carrier = contrast_carrier(fate, recipe.steels);
    if (!carrier || carrier->dt_mm2 <= 0) continue;
    text += line(fmt::format("Seams of {:<11} {:.1f} um wide ({}). Layers under {:.1f} um would wash out",
                             cut_to(fate.billet, 11), carrier->edge_mm * 1000, symbol_of(carrier->element),
                             carrier->washout_mm * 1000));
  }
  return text;
}

std::string summary_text(const Recipe& recipe, const Summary& sum) {
  const Measures say(recipe.units);
  std::string text = fmt::format("Steel stacked        {}\n", say.mass(sum.piled_g));
  text += fmt::format("In the finished bar  {}, {:.0f} % of it ({})\n", say.mass(sum.finished_g),
                      100 * sum.finished_g / std::max(sum.piled_g, 1e-9), sum.finished);
  text += fmt::format("Heats in all         {} with a {} (estimate)\n", sum.heats, word_of(recipe.shop.tool));
  if (!sum.has_blade) return text;
  if (!sum.blade_fault.empty())
    return text + wrapped("Blade                does not fit: " + sum.blade_fault, kWide, std::string(21, ' '), "");
  return text + fmt::format("Layers in the blade  {:.0f}, {:.0f} and {:.0f} through the spine at heel, middle, tip\n",
                            sum.layers_heel, sum.layers_middle, sum.layers_tip);
}

}  // namespace

std::string ledger_text(const Recipe& recipe, const Forging& forging) {
  const Measures say(recipe.units);
  std::string text = recipe.heading().empty() ? "" : recipe.heading() + "\n\n";
  for (const BilletStory& story : forging.billets) {
    text += fmt::format("Billet {}\n", story.name) + heading(recipe.units);
    for (const LedgerRow& row : story.rows) text += row_text(row, say);
    text += "\n";
  }
  text += cut_list_text(recipe, cut_list(recipe, forging)) + "\n";
  return text + summary_text(recipe, summed_up(recipe, forging)) + seams_text(recipe, forging);
}

}  // namespace etchcast
