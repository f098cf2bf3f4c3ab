// Rules of twisted bars: how deep one must grind for stars.
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

void check_twist(const Scene& scene, size_t billet, size_t step, Findings& findings) {
  const BilletStory& story = scene.forging.billets[billet];
  const Bar &last = *story.bars.back(), &twisted = *story.bars[step];
  std::string text;
  bool apart = false;
  for (const Stand& stand : stands(scene, billet)) {
    const auto right = traced_back(last, twisted, stand.right), left = traced_back(last, twisted, stand.left);
    if (!right || !left) return;
    const double half = twisted.thickness_mm / 2, r = std::abs(right->z) / half, l = std::abs(left->z) / half;
    text += fmt::format("{}{} {} ({:.0f} % of the way from the axis to the skin)", text.empty() ? "" : ", ",
                        figure_at(r), stand.where, r * 100);
    apart = apart || figure_at(r) != figure_at(l);
  }
  findings.note(story.rows[step].place, about_step(story.rows[step]),
                fmt::format("the right side shows {}. Stars live on the axis plane: for stars up to the spine up to 70 "
                            "% of the bar must be ground "
                            "away",
                            text));
  if (apart)
    findings.warn(story.rows[step].place, about_step(story.rows[step]),
                  "the two sides cut the twist at unlike depths and will not match: keep the blade's mid-plane on the "
                  "bar's axis");
}

}  // namespace

void check_twists(const Scene& scene, Findings& findings) {
  for (size_t billet = 0; billet < scene.forging.billets.size(); ++billet) {
    const BilletStory& story = scene.forging.billets[billet];
    for (size_t step = 1; step < story.rows.size(); ++step)
      if (story.rows[step].step == "twist") check_twist(scene, billet, step, findings);
  }
}

}  // namespace etchcast
