// How a bar of these steels is customarily hardened. Common practice without a source unless said otherwise.

#include <algorithm>

#include <fmt/format.h>

#include "steels/edge.hpp"

namespace etchcast {
namespace {

std::string both_scales(double low, double high) {
  return fmt::format("{:.0f} to {:.0f} C ({:.0f} to {:.0f} F)", low, high, low * 1.8 + 32, high * 1.8 + 32);
}

struct Kinds {
  bool stainless_edge = false, plain_edge = false, stainless_jackets = false, plain_jackets = false;
};

Kinds kinds_of(const Recipe& recipe, const Hardening& all) {
  Kinds kinds;
  for (const SteelInBar& one : all.steels) {
    const Steel& steel = recipe.steels[size_t(one.steel)];
    if (is_nickel(steel)) continue;
    const bool edge = all.cutting >= 0 ? &one == &all.steels[size_t(all.cutting)] : one.edge_share >= kTrace;
    if (is_stainless(steel))
      (edge ? kinds.stainless_edge : kinds.stainless_jackets) = true;
    else
      (edge ? kinds.plain_edge : kinds.plain_jackets) = true;
  }
  return kinds;
}

std::string heat_text(const Hardening& all) {
  const std::optional<Window>& window = all.cutting >= 0 ? all.steels[size_t(all.cutting)].harden : all.harden;
  return window ? both_scales(window->low_c, window->high_c) : "the heat of its data sheet";
}

void for_plain_edge(const Hardening& all, const Kinds& kinds, std::vector<std::string>& out) {
  out.push_back("normalise three times, falling: first at about 855 C (1571 F), then cooler; cool in still air");
  out.push_back(fmt::format(
      "heat evenly to {}, hold 5 to 10 min, quench edge first: fast oil for 10xx mixes, medium or warm oil for "
      "steels that harden deeper or thin blades",
      heat_text(all)));
  if (kinds.stainless_jackets)
    out.push_back(
        "go by the core: at its heat the stainless jackets stay soft, which is what they are there for. They shrink "
        "otherwise than the core, so no water, an even heat, and a look along the seams when it is cold");
  out.push_back("straighten in the first 7 to 10 s out of the oil, in gloves or between plates; then leave it alone");
  out.push_back("temper at once, twice 2 h, at 177 to 232 C (351 to 450 F)");
}

/// All of it value from memory, for steels of about 13 % Cr without much else.
void for_stainless_edge(const Hardening& all, const Kinds& kinds, std::vector<std::string>& out) {
  out.push_back(
      "the data sheet of the stainless at the edge comes first; what follows is common practice for steels of about 13 "
      "% Cr, value "
      "from memory");
  out.push_back("do not normalise: it hardens in air. Stress relief or annealing goes by the data sheet");
  out.push_back(
      "keep air off: a pouch of stainless foil, a gas-tight furnace or a protective coat. Foil edges cut like "
      "razors; nothing that burns goes into the pouch without a vent");
  out.push_back(fmt::format(
      "a controlled furnace, not the forge by eye: through at about 800 C (1470 F), then up to {}; hold some 5 to "
      "10 min once even, for a thin blade. Hotter or longer leaves austenite soft in the quench",
      heat_text(all)));
  out.push_back(
      "quench in its pouch between cool plates of aluminium, or in oil, or in moving air where the blade is thin; "
      "below about 90 C "
      "(195 F) within a few minutes. Straighten while it is still warm");
  out.push_back(
      "if the data sheet asks for cold, at once after the quench and before the temper: dry ice in alcohol or liquid "
      "nitrogen, with gloves, face shield and open windows, since both drive out the air");
  out.push_back(
      "temper twice 2 h at 150 to 200 C (300 to 390 F); not between about 400 and 600 C (750 to 1110 F), where it "
      "turns brittle "
      "and rusts");
  if (kinds.plain_jackets)
    out.push_back(
        "carbon steel jackets are far above their own heat then: they grow coarse, scale heavily without the "
        "pouch, and harden themselves in oil. Plates or air are kinder to the seams; temper without delay");
}

}  // namespace

std::vector<std::string> quench_practice(const Recipe& recipe, const Hardening& all) {
  std::vector<std::string> out;
  const Kinds kinds = kinds_of(recipe, all);
  if (kinds.stainless_edge && kinds.plain_edge)
    out.push_back(
        "stainless and carbon steel share the edge: no one hardening does right by both, and the seams between them "
        "may tear. Go by the data sheets and by somebody who has done it");
  if (kinds.stainless_edge)
    for_stainless_edge(all, kinds, out);
  else
    for_plain_edge(all, kinds, out);
  return out;
}

}  // namespace etchcast
