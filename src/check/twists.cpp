// Rules of twisted bars: how much the metal bears, and how deep one must grind for stars.
#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "check/stand.hpp"
#include "check/wave.hpp"
#include "forging/layers.hpp"

namespace etchcast {
namespace {

/// What a twisted bar shows at a depth, c being the distance from its axis as a share of its half thickness.
///   Source  s = c cos(wx) - y sin(wx): slanting stripes at the skin, hooks half way in, stars on the axis plane.
const char* figure_at(double c) { return c > 0.65 ? "stripes" : c > 0.25 ? "hooks" : "stars"; }

/// The heats at which bars are twisted, C: bright yellow to welding heat, 2000 to 2250 F. Value from memory of the
/// trade.
constexpr double kColdest = 1090, kHottest = 1230;
constexpr double kRounding = 2;  // C; 2000 F is 1093 C

/// Shear that a soundly welded bar bears before it tears, an estimate through what smiths do: bars of 12 mm take 4
/// turns an inch (6 at the flats, 8 at the corners), rods of 3/8 in for gun barrels took 8 to 18 (9 to 21 at the skin)
/// at welding heat, and a bar at 930 C tears after a turn or two. Hot torsion tests of steel show the same steep rise
/// with heat. A steel with 10 % of chromium and more bears half (estimate).
double bears(double heat_c, double chromium) {
  return 6 * std::exp((heat_c - 1090) / 125) * (chromium >= 10 ? 0.5 : 1);
}
constexpr double kOpening = 0.5;  // of that, at the corners: they begin to open (estimate)

double most_chromium(const Bar& bar, const std::vector<Steel>& steels) {
  double most = 0;
  for (const BandList* list : bar.leaves())
    for (const int what : list->what)
      if (what >= 0) most = std::max(most, steels[size_t(what)].chromium);
  return most;
}

struct Shear {
  double flats = 0, corners = 0;
  bool square = true;
};

/// Distance from the axis times turn per length; `before` is the bar that went into the twist.
Shear shear_of(const LedgerRow& row, const Bar& before) {
  const double rate = std::abs(row.twist_rad_mm);
  if (before.section == Section::round) return {rate * before.thickness_mm / 2, rate * before.thickness_mm / 2, false};
  return {rate * std::min(before.width_mm, before.thickness_mm) / 2,
          rate * std::hypot(before.width_mm, before.thickness_mm) / 2, true};
}

void check_cold(const Scene& scene, const LedgerRow& row, Findings& findings) {
  if (row.heats == 0 || row.heat_c >= kColdest - kRounding) return;
  const Measures say(scene.recipe.units);
  findings.warn(row.place, about_step(row),
                fmt::format("{} is cold for a twist. A cold place does not turn, and next to it the welds shear open. "
                            "Twist at {}, even over the whole length",
                            say.heat(row.heat_c), say.heats(kColdest, kHottest)));
}

void check_tearing(const Scene& scene, const LedgerRow& row, const Bar& before, Findings& findings) {
  if (row.twist_rad_mm == 0) return;
  const Measures say(scene.recipe.units);
  const Shear shear = shear_of(row, before);
  const double limit = bears(row.heat_c, most_chromium(before, scene.recipe.steels)), share = shear.corners / limit;
  const std::string what = shear.square ? fmt::format("the twist shears the flats by {:.1f} and the corners by {:.1f}",
                                                      shear.flats, shear.corners)
                                        : fmt::format("the twist shears the skin by {:.1f}", shear.corners);
  const std::string text =
      fmt::format("{} (radius times turn per length). At {} such a bar bears about {:.1f} (estimate)", what,
                  say.heat(row.heat_c), limit);
  if (share < kOpening) return findings.note(row.place, about_step(row), text);
  const std::string first = shear.square ? "its corners" : "its skin";
  if (share < 1)
    return findings.warn(
        row.place, about_step(row),
        fmt::format("{}. From half of that {} may open as cold shuts. Press the corners in or forge the bar "
                    "round before the twist, and grind what has opened before you forge on",
                    text, first));
  findings.warn(
      row.place, about_step(row),
      fmt::format("{}. It tears: first {} open, then a weld opens from there and runs along the bar. Take fewer "
                  "turns, a thinner bar, or a more even heat nearer {}",
                  text, first, say.heat(kHottest)));
}

void check_figure(const Scene& scene, size_t billet, size_t step, Findings& findings) {
  const BilletStory& story = scene.forging.billets[billet];
  const Bar &last = *story.bars.back(), &twisted = *story.bars[step];
  std::string text;
  bool apart = false;
  for (const Stand& stand : stands(scene, billet)) {
    const auto right = traced_back(last, twisted, stand.right), left = traced_back(last, twisted, stand.left);
    if (!right || !left) return;
    const double half = twisted.thickness_mm / 2, r = std::abs(right->z) / half, l = std::abs(left->z) / half;
    text +=
        fmt::format("{}{} {}, {:.0f} % of the way out", text.empty() ? "" : "; ", figure_at(r), stand.where, r * 100);
    apart = apart || figure_at(r) != figure_at(l);
  }
  const bool blade = billet == scene.billet && scene.blade_fits();
  findings.note(
      story.rows[step].place, about_step(story.rows[step]),
      fmt::format("the twist shows on {}: {}. The way out goes from the bar's axis to its skin. Stars lie at the "
                  "axis, hooks half way out, stripes at the skin. Stars up to the spine cost up to 70 % of the "
                  "bar in grinding",
                  blade ? "the right side" : "this bar", text));
  if (apart)
    findings.warn(
        story.rows[step].place, about_step(story.rows[step]),
        "the two sides of the blade are cut at different depths of the twist and will not match. Lay the blade's "
        "mid-plane on the bar's axis");
}

}  // namespace

void check_twists(const Scene& scene, Findings& findings) {
  for (size_t billet = 0; billet < scene.forging.billets.size(); ++billet) {
    const BilletStory& story = scene.forging.billets[billet];
    for (size_t step = 1; step < story.rows.size(); ++step) {
      if (story.rows[step].step != "twist") continue;
      check_cold(scene, story.rows[step], findings);
      check_tearing(scene, story.rows[step], *story.bars[step - 1], findings);
      check_figure(scene, billet, step, findings);
    }
  }
}

}  // namespace etchcast
