// A forged bar at the quench: carbon where it has gone, windows where they meet, and what to be careful of.

#include <algorithm>
#include <cmath>
#include <map>

#include <fmt/format.h>

#include "base/measures.hpp"
#include "steels/bar_metal.hpp"
#include "steels/edge.hpp"
#include "steels/transformation.hpp"

namespace etchcast {
namespace {

constexpr double kRoom = 20;  // C, where a quench is taken to end

// Carbon in each steel after the heats, by mass over its bands. A bar laid into another takes part in that one's
// exchange as a whole: what it gained or lost there is added to each of its own bands.
std::vector<double> carbon_after(const Recipe& recipe, const Bar& bar, const std::vector<BandFate>& fates) {
  std::vector<double> amount(recipe.steels.size(), 0), mass(recipe.steels.size(), 0);
  std::map<std::string, double> gained;
  std::map<std::string, const BandList*> lists;
  for (const BandList* list : bar.leaves()) lists[list->billet] = list;
  for (const BandFate& fate : fates) {
    const BandList& list = *lists.at(fate.billet);
    const double own = gained[fate.billet];
    const std::vector<double>& means = fate.elements.front().means;
    for (size_t i = 0; i < means.size(); ++i) {
      const int what = fate.what[i];
      if (what < 0) {
        const double before = mean_content(list, what, Element::carbon, recipe.steels);
        gained[list.insets[-1 - what].bar->bands.billet] = own + means[i] - before;
        continue;
      }
      const double m = fate.thickness_mm[i] * recipe.steels[what].density;
      amount[what] += m * std::max(0.0, means[i] + own);
      mass[what] += m;
    }
  }
  for (size_t i = 0; i < amount.size(); ++i) amount[i] = mass[i] > 0 ? amount[i] / mass[i] : recipe.steels[i].carbon;
  return amount;
}

/// A core's middle is what cuts: what its faces lost or gained does not count, while the list is short enough to tell.
double carbon_of_core(const Edge& edge, const BandFate& own, double otherwise) {
  const std::vector<double>& centres = own.elements.front().centres;
  const bool told = edge.leaf == 0 && edge.layer >= 1 && size_t(edge.layer) <= centres.size() &&
                    own.what[size_t(edge.layer) - 1] == edge.cutting;
  return told ? centres[size_t(edge.layer) - 1] : otherwise;
}

SteelInBar at_the_quench(const Recipe& recipe, int index, double share, double carbon) {
  const Steel& steel = recipe.steels[size_t(index)];
  SteelInBar one;
  one.name = steel.name, one.grade = steel.grade, one.steel = index;
  one.told = steel.name == "core" && steel.sheet ? designation(steel) : named(steel);
  one.share = share, one.carbon = steel.carbon;
  one.carbon_after = carbon;
  one.sheet = steel.sheet;
  one.takes_carbon = !is_nickel(steel) && !is_copper(steel);
  if (const SteelSheet* sheet = steel.sheet.get()) one.forge = sheet->forge, one.harden = sheet->harden;
  Steel now = steel;
  now.carbon = carbon;
  if (const Estimate ac1 = ac1_c(now); ac1.valid) one.ac1_c = ac1.value;
  if (const Estimate ac3 = ac3_c(now); ac3.valid) one.ac3_c = ac3.value;
  if (const Estimate start = martensite_start_c(now); start.valid) {
    one.martensite_c = start.value;
    one.retained = retained_austenite(start.value, kRoom);
  }
  return one;
}

/// What is common to all windows handed to it.
struct Joined {
  std::optional<Window> window;
  int count = 0;
  void add(const std::optional<Window>& one) {
    if (!one) return;
    window = count++ == 0 ? one : window ? overlap(*window, *one) : window;
  }
};

/// Of steels at the edge with a heat on record: the one that most of the edge is made of; of two that share it about
/// evenly the one hardened cooler, since too much heat does more harm than too little.
int leader_of(const Hardening& all) {
  constexpr double kEven = 0.05;  // of the edge
  int leader = -1;
  for (size_t i = 0; i < all.steels.size(); ++i) {
    const SteelInBar& one = all.steels[i];
    if (!one.harden || one.edge_share < kTrace) continue;
    if (leader < 0) {
      leader = int(i);
      continue;
    }
    const SteelInBar& best = all.steels[size_t(leader)];
    const double more = one.edge_share - best.edge_share;
    if (more > kEven || (more > -kEven && one.harden->high_c < best.harden->high_c)) leader = int(i);
  }
  return leader;
}

void join_windows(const Recipe& recipe, Hardening& all) {
  Joined forge, harden;
  for (const SteelInBar& one : all.steels) {
    forge.add(one.forge);
    if (one.edge_share < kTrace) continue;
    harden.add(one.harden);
    // Below some 0.4 % C there is no knife edge to harden, and no heat to know.
    if (!one.harden && one.carbon_after > 0.4 && !is_nickel(recipe.steels[one.steel])) all.partly_known = true;
  }
  all.forge = forge.window, all.harden = harden.window;
  if (all.harden && !can_be_held(*all.harden)) all.harden.reset();
  all.leading = all.cutting >= 0 ? all.cutting : all.harden ? -1 : leader_of(all);
}

/// A heat that some other metal of the bar does not bear is taken back: nobody is told to melt it.
void forbid_melting(const Recipe& recipe, Hardening& all, const Measures& say) {
  if (!all.heat()) return;
  const Window heat = *all.heat();
  for (const SteelInBar& one : all.steels) {
    const Steel& steel = recipe.steels[size_t(one.steel)];
    if (heat.high_c <= hottest_c(steel)) continue;
    all.melts = fmt::format("this bar cannot be hardened: its edge needs {}, and {} begins to melt at {}",
                            say.heats(heat.low_c, heat.high_c), one.told, say.heat(steel.solidus_c));
    all.harden.reset();
    all.leading = -1;
    return;
  }
}

void caution_of_edge(const Hardening& all, std::vector<std::string>& out) {
  if (all.strayed)
    out.push_back(
        fmt::format("only {:.0f} % of the edge is core ({}). Where the core leaves the edge another steel cuts, "
                    "and it is hardened at the core's heat, not at its own",
                    all.steels[size_t(all.cutting)].edge_share * 100, all.steels[size_t(all.cutting)].told));
  // At 0.6 % C martensite is at full hardness (about 64 HRC, value from memory), at 0.4 % it is below any kitchen
  // knife.
  const double carbon = all.edge_carbon;
  const std::string what = all.cutting < 0 ? "the edge" : all.steels[size_t(all.cutting)].told + " at the edge";
  if (carbon < 0.4)
    out.push_back(fmt::format("{} holds {:.2f} % of carbon: it takes no knife edge", what, carbon));
  else if (carbon < 0.6)
    out.push_back(
        fmt::format("{} holds {:.2f} % of carbon: below 0.60 % it does not reach full hardness", what, carbon));
}

/// Which steels of the bar, or of its edge alone, have hardening heats that lie apart.
std::string windows_apart(const Hardening& all, bool at_edge, const Measures& say) {
  const SteelInBar *hottest = nullptr, *coolest = nullptr;
  for (const SteelInBar& one : all.steels) {
    if (!one.harden || (at_edge && one.edge_share < kTrace)) continue;
    if (!hottest || one.harden->low_c > hottest->harden->low_c) hottest = &one;
    if (!coolest || one.harden->high_c < coolest->harden->high_c) coolest = &one;
  }
  if (!hottest || hottest == coolest || hottest->harden->low_c <= coolest->harden->high_c) return {};
  return fmt::format("no one hardening heat suits all its steels: {} needs at least {}, {} at most {}", hottest->told,
                     say.heat(hottest->harden->low_c), coolest->told, say.heat(coolest->harden->high_c));
}

void caution_of_metals(const Recipe& recipe, const Hardening& all, std::vector<std::string>& out) {
  bool nickel = false, copper = false, stainless = false, carbon_steel = false;
  for (const SteelInBar& one : all.steels) {
    const Steel& steel = recipe.steels[one.steel];
    (is_nickel(steel) ? nickel : is_copper(steel) ? copper : is_stainless(steel) ? stainless : carbon_steel) = true;
  }
  for (const auto& [there, metal] : {std::pair{nickel, "nickel"}, {copper, "copper"}})
    if (there)
      out.push_back(
          fmt::format("{} does not harden and takes up little carbon. The steel beside it keeps more carbon than "
                      "is told here (value from memory)",
                      metal));
  if (stainless && carbon_steel)
    out.push_back(
        "chromium draws carbon out of the steel beside it. Near a stainless layer the carbon steel ends with less "
        "carbon "
        "than is told here, the stainless with more. Such jackets can tear in the quench");
}

void caution_of_welds(const BilletStory& story, std::vector<std::string>& out) {
  for (size_t k = 1; k < story.rows.size(); ++k) {
    const bool on_side = story.rows[k].step == "turn" && story.rows[k].thickness_mm != story.rows[k - 1].thickness_mm;
    if (story.rows[k].step != "twist" && !on_side) continue;
    out.push_back("weld seams end at the edge. Cracks start there, in the quench and in use");
    return;
  }
}

}  // namespace

bool can_be_held(const Window& window) {
  constexpr double kHeld = 13.8;  // C; 25 F is 13.9 C
  return window.high_c - window.low_c >= kHeld;
}

Hardening hardening(const Recipe& recipe, const Forging& forging) {
  const BilletStory& story = blade_story(recipe, forging);
  const Bar& bar = *story.bars.back();
  const std::vector<BandFate> fates = diffuse(recipe, forging);
  const std::vector<double> shares = shares_of(bar.bands, recipe.steels), carbon = carbon_after(recipe, bar, fates);
  const Edge edge = edge_of(recipe, bar);
  Hardening all;
  all.carbon_contrast = fates.front().elements.front().contrast_left;
  for (size_t i = 0; i < recipe.steels.size(); ++i) {
    if (shares[i] <= 0) continue;
    if (edge.cutting == int(i)) all.cutting = int(all.steels.size());
    all.steels.push_back(at_the_quench(recipe, int(i), shares[i], carbon[i]));
    all.steels.back().edge_share = edge.shares[i];
    all.mean_carbon += shares[i] * recipe.steels[i].carbon;
    all.edge_carbon += edge.shares[i] * carbon[i];
  }
  all.core = edge.core;
  all.strayed = edge.strayed;
  if (edge.cutting >= 0) all.edge_carbon = carbon_of_core(edge, fates.front(), carbon[size_t(edge.cutting)]);
  join_windows(recipe, all);
  const Measures say(recipe.units);
  forbid_melting(recipe, all, say);
  if (!all.melts.empty()) all.cautions.push_back(all.melts);
  caution_of_edge(all, all.cautions);
  const std::string in_edge = windows_apart(all, true, say), in_bar = windows_apart(all, false, say);
  if (!in_edge.empty() && all.cutting < 0) all.cautions.push_back(in_edge);  // no one steel to go by
  all.objections = all.cautions.size();
  all.cautions.push_back(
      "hardened steel that is not yet tempered breaks like glass. Do not drop, flex or straighten it cold, and do not "
      "etch "
      "it. Temper it at once");
  if (!in_bar.empty() && (all.cutting >= 0 || in_edge.empty())) all.cautions.push_back(in_bar);
  if (all.partly_known)
    all.cautions.push_back("no hardening heat is on record here for some steel at the edge: ask its data sheet");
  caution_of_metals(recipe, all, all.cautions);
  caution_of_welds(story, all.cautions);
  all.practice = quench_practice(recipe, all);
  return all;
}

}  // namespace etchcast
