// How far diffusion has blurred the seams of a band list, in the list's own millimetres.

#include <array>
#include <cmath>
#include <map>

#include "steels/bar_metal.hpp"
#include "steels/diffusion.hpp"
#include "steels/history.hpp"

namespace etchcast {
namespace {

constexpr Element kSeen[] = {Element::nickel, Element::chromium, Element::manganese};
constexpr size_t kCount = std::size(kSeen);
using Parts = std::array<double, kCount>;

/// How much each element has to do with the contrast at the list's seams; together 1, or all 0 if nothing differs.
/// The tone's profile across a seam is the sum of the elements' profiles: its variance is their mean by these parts.
Parts parts_of(const BandList& list, const std::vector<Steel>& steels) {
  std::map<int, Parts> tones;
  for (const int what : list.what) {
    if (tones.contains(what)) continue;
    Parts& tone = tones[what];
    for (size_t e = 0; e < kCount; ++e) tone[e] = tone_weight(kSeen[e]) * mean_content(list, what, kSeen[e], steels);
  }
  Parts parts{};
  for (int i = 1; i < list.size(); ++i) {
    const Parts &below = tones[list.what[i - 1]], &above = tones[list.what[i]];
    for (size_t e = 0; e < kCount; ++e) parts[e] += std::abs(above[e] - below[e]);
  }
  double sum = 0;
  for (const double part : parts) sum += part;
  constexpr double kNothing = 1e-6;  // of the way from black to bright, a seam: rounding
  for (double& part : parts) part = sum > kNothing * list.size() ? part / sum : 0;
  return parts;
}

double mean_diffusivity(const Parts& parts, double celsius) {
  double sum = 0;
  for (size_t e = 0; e < kCount; ++e) sum += parts[e] * diffusivity_mm2_s(kSeen[e], celsius).value_or(0);
  return sum;
}

/// The heats up to step k, thinning counted against the bar after that step.
std::vector<Heat> heats_until(const BilletStory& story, size_t k, double hold_s) {
  size_t count = 0;
  for (size_t i = 1; i <= k; ++i) count += size_t(story.rows[i].heats);
  std::vector<Heat> heats = heat_history(story, hold_s).heats;
  heats.resize(count);
  const double after = thinning_after(story, k);
  for (Heat& heat : heats) heat.thinning /= after;
  return heats;
}

class Softener {
 public:
  Softener(const std::vector<Steel>& steels, const Forging& earlier, double hold_s)
      : steels_(steels), earlier_(earlier), hold_s_(hold_s) {}

  /// The bar after step k, which then went through `later` heats (thinning counted against that bar).
  Bar softened(const BilletStory& story, size_t k, const std::vector<Heat>& later) const {
    Bar bar = *story.bars[k];
    std::vector<Heat> heats = heats_until(story, k, hold_s_);
    heats.insert(heats.end(), later.begin(), later.end());
    const double after = thinning_after(story, k), pile = thinning_after(story, 0) / after;
    const double list = thinning_after(story, std::min(k, last_flat(story))) / after;
    const Parts parts = parts_of(bar.bands, steels_);
    double variance = std::pow(story.bars[0]->bands.soft_mm * list / pile, 2);
    for (const Heat& heat : heats)
      variance += 2 * mean_diffusivity(parts, heat.celsius) * heat.seconds * std::pow(list / heat.thinning, 2);
    bar.bands.soft_mm = std::sqrt(variance);
    soften_insets(bar.bands, heats, pile);
    return bar;
  }

 private:
  /// `pile`: layers in the pile as laid over those now.
  void soften_insets(BandList& bands, const std::vector<Heat>& heats, double pile) const {
    std::map<std::pair<std::string, double>, std::shared_ptr<const Bar>> done;  // lengths of one bar share its leaves
    for (Inset& inset : bands.insets) {
      const double as_laid = 1 / std::abs(inset.scale[2]);  // over the bar as it was made
      auto& bar = done[{inset.bar->bands.billet, as_laid}];
      if (!bar) {
        const BilletStory& story = earlier_.story(inset.bar->bands.billet);
        std::vector<Heat> later = heats;
        for (Heat& heat : later) heat.thinning *= as_laid / pile;
        bar = std::make_shared<const Bar>(softened(story, story.bars.size() - 1, later));
      }
      inset.bar = bar;
    }
  }
  const std::vector<Steel>& steels_;
  const Forging& earlier_;
  double hold_s_;
};

}  // namespace

void soften_seams(const Recipe& recipe, BilletStory& story, const Forging& earlier, double hold_s) {
  const Softener softener(recipe.steels, earlier, hold_s);
  std::vector<std::shared_ptr<const Bar>> bars;
  for (size_t k = 0; k < story.bars.size(); ++k)
    bars.push_back(std::make_shared<const Bar>(softener.softened(story, k, {})));
  story.bars = std::move(bars);
}

double contrast_left(const BandList& list, const std::vector<Steel>& steels) {
  if (list.soft_mm <= 0 || list.size() < 2) return 1;
  constexpr int kMostBands = 4096;
  const int count = std::min(list.size(), kMostBands), first = (list.size() - count) / 2;
  BandProfile profile{{0}, {}};
  for (int i = first; i < first + count; ++i) {
    profile.edges.push_back(list.edges[size_t(i) + 1] - list.edges[size_t(first)]);
    profile.level.push_back(list.what[size_t(i)] >= 0 ? steels[size_t(list.what[size_t(i)])].attack : 0);
  }
  const Softened now(profile, list.soft_mm * list.soft_mm / 2);
  const std::vector<double> centres = now.centres();
  double left = 0, whole = 0;
  for (size_t i = 0; i < centres.size(); ++i) {
    const double thick = profile.edges[i + 1] - profile.edges[i];
    left += thick * std::abs(centres[i] - now.mean()), whole += thick * std::abs(profile.level[i] - now.mean());
  }
  return whole > 1e-9 * profile.edges.back() ? left / whole : 1;
}

}  // namespace etchcast
