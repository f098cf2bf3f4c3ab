// Rules of the blade's place in the bar: does it fit, is there sound metal round it, how many does the bar give?
#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "check/scene.hpp"

namespace etchcast {
namespace {

// Common practice: the last 3 to 5 mm of a forged bar's width curl round and are ground or cropped off.
constexpr double kPinched = 3;    // mm a side
constexpr double kWithin = 0.25;  // mm a side that nobody measures in a forged bar (estimate)

/// The last step that sets the bar's width, and what scale and grinding take off it afterwards.
std::string where_to_widen(const Scene& scene, double wanted, const Measures& say) {
  const auto& rows = scene.story().rows;
  for (size_t i = rows.size(); i-- > 1;) {
    if (rows[i].step == "turn" && rows[i].width_mm != rows[i - 1].width_mm) break;  // what is width now was thickness
    if (rows[i].step == "draw" || rows[i].step == "weld" || rows[i].step == "upset") {
      const double lost = std::max(0.0, rows[i].width_mm - scene.bar().width_mm);
      return fmt::format(
          "Make the bar {} wide in step {}, {}{}", say.length(wanted + lost), rows[i].number, rows[i].step,
          lost < 0.05 ? std::string() : fmt::format(": {} of that goes in the steps after it", say.length(lost)));
    }
  }
  return fmt::format("Make the bar {} wider", say.length(wanted - scene.bar().width_mm));
}

void check_margins(const Scene& scene, Findings& findings) {
  const double width = scene.bar().width_mm, height = scene.blade->height();
  const double under = scene.fit.y_mm + width / 2, over = width - under - height;
  const double edge = scene.plan().flip ? width / 2 - scene.fit.y_mm : under;
  const double spine = scene.plan().flip ? width - edge - height : over;
  if (std::min(edge, spine) >= kPinched - kWithin) return;
  const Measures say(scene.recipe.units);
  const std::string text = fmt::format(
      "the bar is {} wide and the blade {} high. That leaves {} below the edge and {} above the spine. Forging pinches "
      "the "
      "last {} of each side, and layers curl there. ",
      say.length(width), say.length(height), say.length(edge), say.length(spine), say.between(kPinched, 5));
  const double wanted = height + 2 * kPinched;
  findings.warn(
      scene.plan().place, "blade",
      text + (width >= wanted - 2 * kWithin ? std::string("The bar is wide enough: lay the blade in its middle")
                                            : where_to_widen(scene, wanted, say)));
}

/// How many blades the bar gives, sawn apart with the recipe's kerf.
void note_count(const Scene& scene, Findings& findings) {
  const double kerf = scene.recipe.losses.kerf_mm, piece = scene.blade->length() + scene.plan().tang_mm;
  const Bar& bar = scene.bar();
  const int along = int((bar.length_mm + kerf) / (piece + kerf));
  const int across = std::max(1, int((bar.width_mm - 2 * kPinched + kerf) / (scene.blade->height() + kerf)));
  if (along * across < 2) return;
  const std::string rows = across > 1 ? fmt::format(" and {} side by side", across) : "";
  const Measures say(scene.recipe.units);
  findings.note(
      scene.plan().place, "blade",
      fmt::format("the bar is {} and gives {} such blades, each {} long with its tang: {} end to end{}",
                  say.lengths({bar.length_mm, bar.width_mm}), along * across, say.length(piece), along, rows));
}

void check_offset(const Scene& scene, Findings& findings) {
  const double off = std::abs(scene.plan().z_mm);
  if (off < 1e-9) return;
  const double spine = scene.blade->spine_thickness(0), edge = scene.blade->edge_thickness();
  // Layers at c +- d show at unlike heights on the two sides: 2 d H / (S - e) apart from where they would be, twice
  // over.
  const double apart = 4 * off * scene.blade->height() / std::max(0.1, spine - edge);
  const Measures say(scene.recipe.units);
  findings.note(
      scene.plan().place, "blade",
      fmt::format("the blade's mid-plane lies {} off the bar's. So the same layer comes out up to {} higher on "
                  "one side than on the other",
                  say.length(off), say.length(apart)));
}

/// Floors of grooves that the last grind left: how deep and how much of each side of the blade.
void check_hollows(const Scene& scene, Findings& findings) {
  const Bar& bar = scene.bar();
  if (bar.even() || bar.section == Section::round) return;
  const Blade& blade = *scene.blade;
  const double roll = scene.plan().flip ? -1 : 1;
  for (const Side side : {Side::right, Side::left}) {
    double deepest = 0;
    int hollow = 0, all = 0;
    for (double x = 0.25; x < blade.length(); x += 0.5)
      for (double y = blade.edge_y(x) + 0.25; y < blade.spine_y(x); y += 0.5, ++all) {
        const double bx = scene.fit.x_mm + x, by = scene.fit.y_mm + roll * y;
        const double up = (side == Side::right ? 1 : -1) * roll,
                     z = scene.fit.z_mm + up * blade.half_thickness(side, x, y);
        const double below = up > 0 ? z - bar.top_at(bx, by) : bar.bottom_at(bx, by) - z;
        hollow += below > 0.01;
        deepest = std::max(deepest, below);
      }
    if (hollow > 0)
      findings.warn(
          scene.plan().place, "blade",
          fmt::format("on the {} side {:.0f} % of the blade stays hollow, up to {} deep. The floors that the dies "
                      "left lie below the ground face there. Grind the bar thinner before the blade, or press "
                      "less deep",
                      side == Side::right ? "right" : "left", std::max(1.0, 100.0 * hollow / all),
                      Measures(scene.recipe.units).length(deepest)));
  }
}

}  // namespace

void check_blade_fit(const Scene& scene, Findings& findings) {
  if (!scene.blade) return;
  for (const std::string& problem : scene.fit.problems)
    findings.warn(scene.plan().place, "blade", "the blade does not fit its bar: " + problem);
  if (!scene.blade_fits()) return;
  check_margins(scene, findings);
  check_hollows(scene, findings);
  check_offset(scene, findings);
  note_count(scene, findings);
}

}  // namespace etchcast
