// How a bar of these steels is customarily hardened. Common practice without a source unless said otherwise.

#include <algorithm>

#include <fmt/format.h>

#include "base/measures.hpp"
#include "etchcast/blade.hpp"
#include "steels/edge.hpp"
#include "steels/sheets.hpp"

namespace etchcast {
namespace {

constexpr double kTemperFrom = from_fahrenheit(350),
                 kTemperTo = from_fahrenheit(450);  // common practice, kitchen to field

struct Kinds {
  bool stainless_edge = false, plain_edge = false, stainless_jackets = false, plain_jackets = false;
};

bool at_edge(const Hardening& all, const SteelInBar& one) {
  return all.cutting >= 0 ? &one == &all.steels[size_t(all.cutting)] : one.edge_share >= kTrace;
}

Kinds kinds_of(const Recipe& recipe, const Hardening& all) {
  Kinds kinds;
  for (const SteelInBar& one : all.steels) {
    const Steel& steel = recipe.steels[size_t(one.steel)];
    if (is_nickel(steel) || is_copper(steel)) continue;
    if (is_stainless(steel))
      (at_edge(all, one) ? kinds.stainless_edge : kinds.stainless_jackets) = true;
    else
      (at_edge(all, one) ? kinds.plain_edge : kinds.plain_jackets) = true;
  }
  return kinds;
}

/// The steels of the edge that harden and of which something is on record.
std::vector<const SteelInBar*> hardening_steels(const Hardening& all) {
  std::vector<const SteelInBar*> list;
  for (const SteelInBar& one : all.steels)
    if (at_edge(all, one) && one.sheet && one.harden) list.push_back(&one);
  return list;
}

std::string normalising(const std::vector<const SteelInBar*>& edge, const Measures& say) {
  const SteelInBar* hottest = nullptr;
  for (const SteelInBar* one : edge) {
    if (!one->sheet->no_normalise.empty())
      return fmt::format("{} usually is not normalised: {}. See its data sheet.", one->told, one->sheet->no_normalise);
    const auto& window = one->sheet->normalise;
    if (window && (!hottest || window->low_c > hottest->sheet->normalise->low_c)) hottest = one;
  }
  if (!hottest) return "Normalise as the maker's data sheet says: no heat for it is on record here.";
  const Window& window = *hottest->sheet->normalise;
  return fmt::format(
      "Normalise three times. The first heat is {}, for {} ({}). Take each of the other two cooler, the last "
      "near the hardening heat. Cool the blade in still air each time.",
      say.heats(window.low_c, window.high_c), hottest->told, window.source);
}

std::string skin(const Measures& say) {
  return fmt::format(
      "The forge has taken carbon out of the outer {} of every face: that skin stays soft. Grind it off, but "
      "leave the faces and the edge thicker than they are to be, since the hardening fire takes carbon out of "
      "about {} more.",
      say.between(kSkinLeast_mm, kSkinMost_mm), say.length(kSkinOfHardening_mm));
}

std::string edge_left(const Recipe& recipe, const Measures& say) try {
  if (!recipe.blade || recipe.blade->before_hardening) return "";
  const double left = edge_before_hardening_mm(Blade(*recipe.blade).edge_thickness());
  return fmt::format(" Leave the edge at {} or more.", say.length(left));
} catch (const Error&) {
  return "";  // sizes that contradict each other are told elsewhere
}

std::string hold(const std::vector<const SteelInBar*>& edge) {
  const SteelInBar* longest = nullptr;
  for (const SteelInBar* one : edge)
    if (one->sheet->hold && (!longest || one->sheet->hold->most_min > longest->sheet->hold->most_min)) longest = one;
  if (!longest) return "Hold it there as long as its data sheet says.";
  const Hold& time = *longest->sheet->hold;
  return fmt::format("Once it is even, hold it there for {:g} to {:g} min ({}).", time.least_min, time.most_min,
                     time.source);
}

std::string heat_text(const Hardening& all, const Measures& say) {
  const auto& window = all.heat();
  return window ? say.heats(window->low_c, window->high_c) : "the hardening heat of its data sheet";
}

std::string heating(const Hardening& all, const std::vector<const SteelInBar*>& edge, const Measures& say) {
  const bool led = all.cutting < 0 && all.leading >= 0;
  const std::string why =
      led ? fmt::format(
                " The steels of the edge have no hardening heat in common that a forge can hold: this is the heat of "
                "{}, which leads.",
                all.steels[size_t(all.leading)].told)
          : "";
  return fmt::format("Heat the blade evenly to {}.{} {}", heat_text(all, say), why, hold(edge));
}

std::string oil(const std::vector<const SteelInBar*>& edge, const Measures& say) {
  bool fast = false, medium = false;
  for (const SteelInBar* one : edge) (one->sheet->oil == Oil::fast ? fast : medium) |= one->sheet->oil != Oil::unknown;
  const std::string which =
      fast     ? fmt::format("fast oil (7 to 9 s class) of {}", say.heats(from_fahrenheit(65), from_fahrenheit(110)))
      : medium ? fmt::format("medium oil (9 to 11 s class), or canola oil warmed to {}",
                             say.heats(from_fahrenheit(120), from_fahrenheit(130)))
               : std::string("the oil of its data sheet");
  return fmt::format(
      "Quench it in one go, edge or point first, in {}. Move it in the oil as if to cut, never sideways.", which);
}

void for_plain_edge(const Recipe& recipe, const Hardening& all, const Kinds& kinds, std::vector<std::string>& out) {
  const Measures say(recipe.units);
  const auto edge = hardening_steels(all);
  out.push_back(normalising(edge, say));
  out.push_back(skin(say) + edge_left(recipe, say));
  out.push_back(heating(all, edge, say));
  out.push_back(oil(edge, say));
  if (kinds.stainless_jackets)
    out.push_back(
        "Go by the core: at its heat the stainless jackets stay soft, as they should. They shrink more than the core "
        "does. "
        "So heat evenly, use no water, and look along the seams when the blade is cold.");
  out.push_back(
      "Straighten it in the first 7 to 10 s out of the oil, in gloves or between plates. After that do not bend it "
      "again "
      "before it is tempered.");
  out.push_back(
      fmt::format("Temper it at once, twice for 2 h, at {}. The cooler end leaves the edge harder, the hotter end "
                  "tougher.",
                  say.heats(kTemperFrom, kTemperTo)));
  out.push_back(
      "Grind the last of the skin off after the temper. Cool the blade in water as you go, so that a bare hand can "
      "always hold "
      "it: where it gets hotter than its temper it turns soft.");
}

/// All of it value from memory, for steels of about 13 % Cr without much else.
void for_stainless_edge(const Recipe& recipe, const Hardening& all, const Kinds& kinds, std::vector<std::string>& out) {
  const Measures say(recipe.units);
  const auto edge = hardening_steels(all);
  out.push_back(
      "Go by the data sheet of the stainless steel at the edge. What follows is common practice for steels of about 13 "
      "% of "
      "chromium, value from memory.");
  out.push_back("Do not normalise: it hardens in air. Anneal it or relieve its stress as the data sheet says.");
  out.push_back(skin(say) + edge_left(recipe, say));
  out.push_back(
      "Keep air off it: a pouch of stainless foil, a gas-tight furnace or a protective coat. Edges of the foil cut "
      "like "
      "razors. Put nothing into the pouch that burns or is wet.");
  out.push_back(fmt::format(
      "Use a controlled furnace; a forge judged by eye will not do. Let the blade come through at about {}, "
      "then bring it up to {}. {} Hotter or longer leaves soft austenite in it.",
      say.heat(800), heat_text(all, say), hold(edge)));
  out.push_back(fmt::format(
      "Quench it in its pouch between cool plates of aluminium, or as the data sheet says. It must be below "
      "about {} within a few minutes. Straighten it while it is still warm.",
      say.heat(90)));
  out.push_back(
      "If the data sheet asks for a cold treatment, it comes between the quench and the temper. Liquid nitrogen and "
      "dry ice "
      "freeze skin and drive the air out of a room: follow their supplier's safety sheet.");
  out.push_back(fmt::format("Temper it twice for 2 h at {}. Do not temper it at {}: there it turns brittle and rusts.",
                            say.heats(150, 200), say.heats(400, 600)));
  if (kinds.plain_jackets)
    out.push_back(
        "Jackets of carbon steel are far above their own hardening heat then. They grow coarse, scale heavily outside "
        "the "
        "pouch, and get hard too when they are quenched in oil. Plates or air strain the seams less. Temper without "
        "delay.");
}

}  // namespace

double edge_before_hardening_mm(double finished_mm) { return std::max(0.5, finished_mm + 2 * kSkinOfHardening_mm); }

std::vector<std::string> quench_practice(const Recipe& recipe, const Hardening& all) {
  if (!all.melts.empty())
    return {"Do not harden it. Choose a core that hardens at a heat which every metal of the bar bears."};
  constexpr double kIron = 0.25;  // % C: what holds less has nothing to harden (common practice)
  if (all.edge_carbon < kIron && hardening_steels(all).empty())
    return {"There is nothing to harden in this edge. Lay up the bar round a core that holds 0.6 % of carbon or more."};
  std::vector<std::string> out;
  const Kinds kinds = kinds_of(recipe, all);
  if (kinds.stainless_edge && kinds.plain_edge)
    out.push_back(
        "Stainless and carbon steel share the edge. No one hardening does right by both, and the seams between them "
        "may "
        "tear. Go by the data sheets and by somebody who has done it.");
  if (kinds.stainless_edge)
    for_stainless_edge(recipe, all, kinds, out);
  else
    for_plain_edge(recipe, all, kinds, out);
  return out;
}

}  // namespace etchcast
