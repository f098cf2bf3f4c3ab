// A forged bar at the quench: carbon where it has gone, windows where they meet, and what to be careful of.

#include <algorithm>
#include <cmath>
#include <map>

#include <fmt/format.h>

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
  const Steel& steel = recipe.steels[index];
  SteelInBar one;
  one.name = steel.name, one.grade = steel.grade, one.steel = index;
  one.share = share, one.carbon = steel.carbon;
  one.carbon_after = carbon;
  one.sheet = steel.sheet;
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

void join_windows(const Recipe& recipe, Hardening& all) {
  bool any_forge = false, any_harden = false;
  const auto join = [](std::optional<Window>& joined, bool& any, const std::optional<Window>& one) {
    if (!one) return;
    joined = any ? (joined ? overlap(*joined, *one) : joined) : one;
    any = true;
  };
  for (const SteelInBar& one : all.steels) {
    join(all.forge, any_forge, one.forge);
    if (one.edge_share < kTrace) continue;
    join(all.harden, any_harden, one.harden);
    // Below some 0.4 % C there is no knife edge to harden, and no heat to know.
    if (!one.harden && one.carbon_after > 0.4 && !is_nickel(recipe.steels[one.steel])) all.partly_known = true;
  }
}

void caution_of_edge(const Hardening& all, std::vector<std::string>& out) {
  if (all.strayed)
    out.push_back(fmt::format(
        "the core ({}) makes up only {:.0f} % of the edge: where it strays another steel cuts, hardened for "
        "the core and not for itself",
        all.steels[size_t(all.cutting)].name, all.steels[size_t(all.cutting)].edge_share * 100));
  // At 0.6 % C martensite is at full hardness (about 64 HRC, value from memory), at 0.4 % it is below any kitchen
  // knife.
  const double carbon = all.edge_carbon;
  const std::string what = all.cutting < 0 ? "the mix" : all.steels[all.cutting].name;
  if (carbon < 0.4)
    out.push_back(fmt::format("{} at the edge holds {:.2f} % C: it takes no knife edge", what, carbon));
  else if (carbon < 0.6)
    out.push_back(
        fmt::format("{} at the edge holds {:.2f} % C: below 0.60 % it does not reach full hardness", what, carbon));
}

std::string windows_apart(const Hardening& all) {
  int with_window = 0;
  double low = 0, high = 1e9;
  for (const SteelInBar& one : all.steels)
    if (one.harden) ++with_window, low = std::max(low, one.harden->low_c), high = std::min(high, one.harden->high_c);
  if (with_window < 2 || low <= high) return {};
  return fmt::format(
      "no one heat suits all steels: one wants {:.0f} C and more, another {:.0f} C at most; "
      "harden for the steel that cuts",
      low, high);
}

void caution_of_metals(const Recipe& recipe, const Hardening& all, std::vector<std::string>& out) {
  bool nickel = false, stainless = false, carbon_steel = false;
  for (const SteelInBar& one : all.steels) {
    const Steel& steel = recipe.steels[one.steel];
    (is_nickel(steel) ? nickel : is_stainless(steel) ? stainless : carbon_steel) = true;
  }
  if (nickel)
    out.push_back(
        "nickel does not harden and takes up little carbon: the steel beside it keeps more than the average "
        "told here (value from memory)");
  if (stainless && carbon_steel)
    out.push_back(
        "chromium draws carbon: near a stainless layer the carbon steel ends lower than told here, the "
        "stainless higher; such jackets can tear in the quench");
}

void caution_of_welds(const BilletStory& story, std::vector<std::string>& out) {
  for (size_t k = 1; k < story.rows.size(); ++k) {
    const bool on_side = story.rows[k].step == "turn" && story.rows[k].thickness_mm != story.rows[k - 1].thickness_mm;
    if (story.rows[k].step != "twist" && !on_side) continue;
    out.push_back("welds run out at the edge: they are where cracks start, in the quench and in use");
    return;
  }
}

}  // namespace

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
  all.core = all.cutting >= 0 && all.steels.size() > 1;
  all.strayed = edge.strayed;
  if (edge.cutting >= 0) all.edge_carbon = carbon_of_core(edge, fates.front(), carbon[size_t(edge.cutting)]);
  join_windows(recipe, all);
  caution_of_edge(all, all.cautions);
  const std::string apart = windows_apart(all);
  if (!apart.empty() && all.cutting < 0) all.cautions.push_back(apart);  // no steel of the edge to go by
  all.objections = all.cautions.size();
  all.cautions.push_back(
      "untempered steel is brittle as glass: do not drop, flex or straighten it cold, nor etch it "
      "hard; temper at once, customarily twice for 2 h");
  if (!apart.empty() && all.cutting >= 0) all.cautions.push_back(apart);
  if (all.partly_known) all.cautions.push_back("for some steel at the edge no hardening heat is on record here");
  caution_of_metals(recipe, all, all.cautions);
  caution_of_welds(story, all.cautions);
  all.practice = quench_practice(recipe, all);
  return all;
}

}  // namespace etchcast
