// Rules of the work on the blade: what must stay on for the fire, and what the blank weighs.
#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "base/measures.hpp"
#include "check/scene.hpp"
#include "etchcast/metallurgy.hpp"

namespace etchcast {
namespace {

// Common practice: thinner edges warp in the fire and lose the carbon they cut with.
constexpr double kEdgeForFire = 0.4;  // mm

void check_allowance(const Scene& scene, const Measures& say, Findings& findings) {
  const double edge = scene.blade->edge_thickness();
  if (scene.plan().before_hardening) {
    if (edge < kEdgeForFire)
      findings.warn(
          scene.plan().place, "blade",
          fmt::format("the edge is {} thick when it goes into the fire. It warps there and loses its carbon. Leave "
                      "{} or more before hardening, and grind the rest off afterwards",
                      say.length(edge), say.length(edge_before_hardening_mm(0))));
    return;
  }
  findings.note(scene.plan().place, "blade",
                fmt::format("the edge is {} as finished. Leave it {} or more before hardening. Grinding the rest off "
                            "afterwards moves the pattern, so judge it by these sizes, not by an etch before hardening",
                            say.length(edge), say.length(edge_before_hardening_mm(edge))));
}

/// How far one side of the blade lies under the faces that last came out of the fire.
struct Skin {
  double least_mm = 1e9;
  double sure = 0, perhaps = 0;  ///< shares of the side in the skin, if it is thin and if it is thick
};

Skin skin_of(const Scene& scene, Side side) {
  const Blade& blade = *scene.blade;
  const Bar& bar = scene.bar();
  const double roll = scene.plan().flip ? -1 : 1, up = (side == Side::right ? 1 : -1) * roll;
  const SkinOff& off = scene.story().rows.back().skin_off;
  Skin skin;
  int all = 0;
  for (double x = 0.5; x < blade.length(); x += 1)
    for (double y = blade.edge_y(x) + 0.5; y < blade.spine_y(x); y += 1, ++all) {
      const double bx = scene.fit.x_mm + x, by = scene.fit.y_mm + roll * y;
      const double z = scene.fit.z_mm + up * blade.half_thickness(side, x, y);
      const double under = up > 0 ? off.top + bar.top_at(bx, by) - z : off.bottom + z - bar.bottom_at(bx, by);
      skin.least_mm = std::min(skin.least_mm, std::max(0.0, under));
      skin.sure += under < kSkinLeast_mm, skin.perhaps += under < kSkinMost_mm;
    }
  skin.sure /= std::max(1, all), skin.perhaps /= std::max(1, all);
  return skin;
}

/// The fire's soft skin on the finished faces: surely there, or perhaps.
void check_skin(const Scene& scene, const Measures& say, Findings& findings) {
  constexpr double kStreak = 0.05;  // of a side; less is a spot on the spine
  const Skin right = skin_of(scene, Side::right), left = skin_of(scene, Side::left);
  const bool sure = std::max(right.sure, left.sure) > kStreak;
  if (!sure && std::max(right.perhaps, left.perhaps) <= kStreak) return;
  const auto share = [&](const Skin& skin) { return sure ? skin.sure : skin.perhaps; };
  const std::string text = fmt::format(
      "{:.0f} % of the right side and {:.0f} % of the left lie less than {} under the face that last came out of the "
      "fire. The "
      "nearest place lies {} under it. The fire takes carbon out of the outer {}: that skin stays soft and etches "
      "grey. Forge "
      "the bar thicker, and grind {} off each face after its last heat",
      100 * share(right), 100 * share(left), say.length(sure ? kSkinLeast_mm : kSkinMost_mm),
      say.length(std::min(right.least_mm, left.least_mm)), say.between(kSkinLeast_mm, kSkinMost_mm),
      say.length(kSkinMost_mm));
  if (sure)
    findings.warn(scene.plan().place, "blade", text);
  else
    findings.note(scene.plan().place, "blade", text);
}

/// Metal of the ground blade and its tang, mm3: thickness added up over a grid in the outline.
double volume_of(const Blade& blade) {
  constexpr double kGrid = 0.5;  // mm; the outline's steps cancel to well under 1 %
  double volume = 0;
  for (double x = -blade.tang() + kGrid / 2; x < blade.length(); x += kGrid) {
    const double low = blade.edge_y(x), high = blade.spine_y(x);
    const int n = std::max(1, int(std::ceil((high - low) / kGrid)));
    for (int i = 0; i < n; ++i) {
      const double y = low + (high - low) * (i + 0.5) / n;
      volume +=
          kGrid * (high - low) / n * (blade.half_thickness(Side::right, x, y) + blade.half_thickness(Side::left, x, y));
    }
  }
  return volume;
}

void note_mass(const Scene& scene, const Measures& say, Findings& findings) {
  const LedgerRow& row = scene.story().rows.back();
  const double mass = volume_of(*scene.blade) * row.mass_g / row.volume_mm3;
  const double piece = (scene.blade->length() + scene.plan().tang_mm) * scene.bar().width_mm *
                       scene.bar().thickness_mm * row.mass_g / row.volume_mm3;
  findings.note(scene.plan().place, "blade",
                fmt::format("the ground blade with its tang weighs about {}, out of {} of bar", say.mass(mass),
                            say.mass(std::min(piece, row.mass_g))));
}

}  // namespace

void check_blade_work(const Scene& scene, Findings& findings) {
  const Measures say(scene.recipe.units);
  check_allowance(scene, say, findings);
  check_skin(scene, say, findings);
  note_mass(scene, say, findings);
}

}  // namespace etchcast
