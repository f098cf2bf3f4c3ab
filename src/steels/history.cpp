// The ledger's heats, each with the thickness the layers had in it.

#include "steels/history.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace etchcast {
namespace {

// Rolled onto its side, or twisted: layers no longer thin as the thickness does.
bool leaves_the_flat(const BilletStory& story, size_t step) {
  const LedgerRow &row = story.rows[step], &before = story.rows[step - 1];
  return row.step == "twist" || (row.step == "turn" && row.thickness_mm != before.thickness_mm);
}

}  // namespace

std::vector<double> thinning_by_step(const BilletStory& story) {
  std::vector<double> all(story.rows.size(), 1);
  bool flat = true;
  for (size_t k = 1; k < all.size(); ++k) {
    const LedgerRow& row = story.rows[k];
    if (leaves_the_flat(story, k)) flat = false;
    if (row.reduction == 1) continue;  // no blow, or a pile or cut
    // On its side, or in every direction at once: a layer thins as the side of the section, by volume kept the root of
    // how much longer the bar became.
    all[k] = flat ? row.reduction : std::sqrt(row.length_mm / story.rows[k - 1].length_mm);
  }
  return all;
}

size_t last_flat(const BilletStory& story) {
  size_t last = 0;
  while (last + 1 < story.bars.size() && story.bars[last + 1]->flat_layers()) ++last;
  return last;
}

double thinning_after(const BilletStory& story, size_t step) {
  const std::vector<double> all = thinning_by_step(story);
  double product = 1;
  for (size_t k = step + 1; k < all.size(); ++k) product *= all[k];
  return product;
}

HeatHistory then(HeatHistory first, double thinning, const HeatHistory& later) {
  for (Heat& heat : first.heats) heat.thinning *= thinning;
  first.heats.insert(first.heats.end(), later.heats.begin(), later.heats.end());
  first.notes.insert(first.notes.end(), later.notes.begin(), later.notes.end());
  return first;
}

HeatHistory heat_history(const BilletStory& story, double hold_s) {
  HeatHistory history;
  const std::vector<double> thinning = thinning_by_step(story);
  double before = thinning_after(story, 0);
  bool assumed = false, left_flat = false;
  for (size_t k = 1; k < story.rows.size(); ++k) {
    const LedgerRow& row = story.rows[k];
    for (int i = 0; i < row.heats; ++i) {
      // The soak is for what comes cold into the fire; to go back in for another heat takes no longer than usual.
      const double soak = i == 0 ? row.soak_s : std::min(row.soak_s, hold_s);
      history.heats.push_back(
          {row.heat_c, row.soak_s > 0 ? soak : hold_s, before * std::pow(thinning[k], -double(i) / row.heats)});
    }
    assumed = assumed || (row.heats > 0 && row.soak_s <= 0);
    left_flat = left_flat || (leaves_the_flat(story, k) && k + 1 < story.rows.size());
    before /= thinning[k];
  }
  if (assumed)
    history.notes.push_back(
        fmt::format("{}: heats without a soak count {:.0f} min each, common practice", story.name, hold_s / 60));
  if (left_flat)
    history.notes.push_back(
        fmt::format("{}: layers that no longer lie flat are taken to thin as the bar's side", story.name));
  return history;
}

}  // namespace etchcast
