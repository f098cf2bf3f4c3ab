// Rules of the fire: near melting, hotter than a steel may be welded or forged, too cold to weld, too cold to forge.
#include <algorithm>
#include <cmath>
#include <vector>

#include <fmt/format.h>

#include "base/measures.hpp"
#include "check/scene.hpp"
#include "etchcast/steels.hpp"

namespace etchcast {
namespace {

constexpr double kColdWeld = 1150;                          // C; common practice welds at 1200-1260 C
constexpr double kUsualWeld = 1200, kUsualWeldMost = 1260;  // C
constexpr double kColdForge = 900;  // C; common practice forges welded work at 1065-1095 C, colder work shears welds
constexpr double kUsualForge = 1065, kUsualForgeMost = 1095;  // C
constexpr double kSlack = 1;                                  // C; windows printed in F

/// Steps of one bar that break a rule in the same way.
struct Broken {
  const LedgerRow* first = nullptr;
  std::string steps;
  double worst_c = 0;

  void add(const LedgerRow& row, bool hotter) {
    if (!first) first = &row, worst_c = row.heat_c;
    steps += fmt::format("{}{}", steps.empty() ? "" : ", ", row.number);
    worst_c = hotter ? std::max(worst_c, row.heat_c) : std::min(worst_c, row.heat_c);
  }
  /// A single step stands in the finding's heading already.
  std::string where() const {
    return steps.find(',') == std::string::npos ? std::string() : fmt::format("steps {}: ", steps);
  }
  void warn(Findings& findings, const std::string& text) const {
    findings.warn(first->place, about_step(*first), where() + text);
  }
};

/// A difference of heats, rounded to what a forge can hold.
std::string by_degrees(double celsius) {
  return fmt::format("{:.0f} C ({:.0f} F)", 5 * std::round(celsius / 5), 10 * std::round(celsius * 0.18));
}

/// The recipe's steels in a bar, earlier bars in it included.
std::vector<const Steel*> steels_in(const Bar& bar, const std::vector<Steel>& steels) {
  std::vector<bool> there(steels.size(), false);
  for (const BandList* list : bar.leaves())
    for (const int what : list->what)
      if (what >= 0) there[size_t(what)] = true;
  std::vector<const Steel*> found;
  for (size_t i = 0; i < steels.size(); ++i)
    if (there[i]) found.push_back(&steels[i]);
  return found;
}

void tell_burning(const Steel& steel, const Broken& broken, const Measures& say, Findings& findings) {
  const double margin = steel.solidus_c - broken.worst_c;
  const std::string melts = fmt::format("{}, where {} begins to melt", say.heat(steel.solidus_c), named(steel));
  const std::string heat =
      margin <= 0 ? fmt::format("{} is above {}", say.heat(broken.worst_c), melts)
                  : fmt::format("{} is only {} below {}", say.heat(broken.worst_c), by_degrees(margin), melts);
  const std::string why =
      steel.nickel > 50 || steel.copper > 50
          ? ""
          : ". Steel burns at the boundaries of its grains before the whole of it melts. A billet that "
            "throws sparks is burnt, and burnt steel is scrap";
  broken.warn(findings, fmt::format("{}{}. Keep every heat of this bar at {} or below", heat, why,
                                    say.heat(std::min(kUsualWeldMost, hottest_weld_c(steel)))));
}

void tell_hot_weld(const Steel& steel, const Broken& broken, const Measures& say, Findings& findings) {
  const Window forge = forging_heats(steel);
  broken.warn(
      findings,
      fmt::format("welding at {} is {} hotter than {}, where forging of {} starts ({}). Its grain grows coarse and "
                  "it may crumble under the hammer. Weld this bar at {} or below",
                  say.heat(broken.worst_c), by_degrees(broken.worst_c - forge.high_c), say.heat(forge.high_c),
                  named(steel), forge.source, say.heat(std::min(kUsualWeldMost, hottest_weld_c(steel)))));
}

void tell_hot_forging(const Steel& steel, const Broken& broken, const Measures& say, Findings& findings) {
  const Window forge = forging_heats(steel);
  broken.warn(findings,
              fmt::format("{} is hotter than {}, where forging of {} starts ({}). Its grain grows coarse and it "
                          "may crumble under the hammer. Forge this bar at {} or below",
                          say.heat(broken.worst_c), say.heat(forge.high_c), named(steel), forge.source,
                          say.heat(forge.high_c)));
}

void tell_cold_forging(const Steel& steel, const Broken& broken, const Measures& say, Findings& findings) {
  const Window forge = forging_heats(steel);
  broken.warn(findings,
              fmt::format("{} is colder than {}, where forging of {} ends ({}). It may crack. Heat it again before "
                          "it is that cold",
                          say.heat(broken.worst_c), say.heat(forge.low_c), named(steel), forge.source));
}

/// The steels of a bar that set its limits: what the others bear, they bear less.
struct Limits {
  const Steel *burns = nullptr, *welds = nullptr, *forges = nullptr, *cold = nullptr;

  explicit Limits(const std::vector<const Steel*>& steels) {
    for (const Steel* one : steels) {
      if (!burns || hottest_c(*one) < hottest_c(*burns)) burns = one;
      if (!welds || hottest_weld_c(*one) < hottest_weld_c(*welds)) welds = one;
      if (!forges || forging_heats(*one).high_c < forging_heats(*forges).high_c) forges = one;
      if (!cold || forging_heats(*one).low_c > forging_heats(*cold).low_c) cold = one;
    }
  }
};

/// Heats that a steel of the bar does not bear; one that burns it is told as nothing else.
void check_bearing(const Limits& limits, const BilletStory& story, const Measures& say, Findings& findings) {
  Broken burnt, weld, hot, cold;
  for (const LedgerRow& row : story.rows) {
    if (row.heats == 0) continue;
    const bool welds = row.step == "weld";
    if (row.heat_c > hottest_c(*limits.burns) + kSlack)
      burnt.add(row, true);
    else if (welds && row.heat_c > hottest_weld_c(*limits.welds) + kSlack)
      weld.add(row, true);
    else if (!welds && row.heat_c > forging_heats(*limits.forges).high_c + kSlack)
      hot.add(row, true);
    else if (row.heat_c >= kColdForge && row.heat_c < forging_heats(*limits.cold).low_c - kSlack)
      cold.add(row, false);
  }
  if (burnt.first) tell_burning(*limits.burns, burnt, say, findings);
  if (weld.first) tell_hot_weld(*limits.welds, weld, say, findings);
  if (hot.first) tell_hot_forging(*limits.forges, hot, say, findings);
  if (cold.first) tell_cold_forging(*limits.cold, cold, say, findings);
}

/// Heats too cold for any welded work. What is advised in their place stays within what every steel of the bar bears;
/// where one of them bears no usual heat, nothing is advised.
void check_cold(const Limits& limits, const BilletStory& story, const Measures& say, Findings& findings) {
  const double weld_most = std::min(kUsualWeldMost, hottest_weld_c(*limits.welds));
  const double forge_most = std::min(kUsualForgeMost, forging_heats(*limits.forges).high_c);
  Broken weld, forge;
  for (const LedgerRow& row : story.rows) {
    if (row.heats == 0) continue;
    if (row.step == "weld" && row.heat_c < kColdWeld && weld_most > kColdWeld) weld.add(row, false);
    if (row.step != "weld" && row.heat_c < kColdForge && forge_most > kColdForge) forge.add(row, false);
  }
  constexpr double kWide = 30;  // C, between the ends of what is advised
  if (weld.first)
    weld.warn(findings,
              fmt::format("{} is cold for a weld: its seams may open later. Weld at {}", say.heat(weld.worst_c),
                          say.heats(std::min(kUsualWeld, weld_most - kWide), weld_most)));
  if (forge.first)
    forge.warn(findings,
               fmt::format("{} is cold for welded work: it may shear at its seams. Forge it at {}",
                           say.heat(forge.worst_c), say.heats(std::min(kUsualForge, forge_most - kWide), forge_most)));
}

}  // namespace

void check_heats(const Scene& scene, Findings& findings) {
  const Measures say(scene.recipe.units);
  for (const BilletStory& story : scene.forging.billets) {
    const Limits limits(steels_in(*story.bars.front(), scene.recipe.steels));
    check_bearing(limits, story, say, findings);
    check_cold(limits, story, say, findings);
  }
}

}  // namespace etchcast
