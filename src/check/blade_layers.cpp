// Rules of the layers in the blade: how many are left, how wide they show.
#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "check/core.hpp"
#include "check/stand.hpp"

namespace etchcast {
namespace {

// The eye at arm's length: layers that show 0.5 mm wide read bold, from 0.15 mm fine, below 0.1 mm they run into grey
// (value from memory of the trade).
constexpr double kTooFine = 0.10, kFine = 0.15;  // mm

struct Cut {
  const char* where;
  double layers, spine, height;
};

std::vector<Cut> cuts_of(const Scene& scene) {
  const Blade& blade = *scene.blade;
  std::vector<Cut> cuts{{"at the heel", 0, 0, 0}, {"in the middle", 0, 0, 0}, {"near the tip", 0, 0, 0}};
  const auto at = stations(blade);
  for (int i = 0; i < 3; ++i)
    cuts[i].layers = layers_across(scene, at[i]), cuts[i].spine = blade.spine_thickness(at[i]),
    cuts[i].height = blade.spine_y(at[i]) - blade.edge_y(at[i]);
  return cuts;
}

/// Mean width that a layer of an undisturbed laminate shows, mm: 2H / (N (1 - e/S)) where each face rises through half
/// the thickness, half of that where one face takes it all.
///   Source  exact for a flat grind; other grinds are near it on the mean of their bevel.
double shown_width(const Scene& scene, const Cut& cut) {
  const BladePlan& plan = scene.plan();
  const bool bevelled = plan.grind == Grind::sabre || plan.grind == Grind::single;
  const double height = cut.height * (bevelled ? plan.bevel : 1), faces = plan.grind == Grind::single ? 1 : 2;
  return faces * height / (cut.layers * std::max(0.05, 1 - scene.blade->edge_thickness() / cut.spine));
}

/// Mean width that a layer of a jacket shows on a clad blade: what is left of the face above the core's line, over the
/// layers there. Of `cut.layers` one is the core, and each side shows half of the rest. 0 where no jacket is left.
double jacket_width(const Scene& scene, const Core& core, const Cut& cut, double x) {
  const auto lines = core_line(scene, core, x);
  const double above = cut.height - (lines[0] + lines[1]) / 2, layers = (cut.layers - 1) / 2;
  return layers < 0.5 || above <= 0 ? 0 : above / layers;
}

void note_left(const Scene& scene, const std::vector<Cut>& cuts, Findings& findings) {
  const LedgerRow& row = scene.story().rows.back();
  std::string text;
  for (const Cut& cut : cuts) text += fmt::format("{}{:.0f} {}", text.empty() ? "" : ", ", cut.layers, cut.where);
  const std::string bar = row.layers_least == row.layers_most
                              ? fmt::format("{}", row.layers_most)
                              : fmt::format("{} to {}", row.layers_least, row.layers_most);
  findings.note(scene.plan().place, "blade",
                fmt::format("layers through the blade at its spine: {}. The bar has {}", text, bar));
}

void note_jackets(const Scene& scene, const Core& core, const std::vector<Cut>& cuts, Findings& findings) {
  const auto at = stations(*scene.blade);
  const double heel = jacket_width(scene, core, cuts[0], at[0]), middle = jacket_width(scene, core, cuts[1], at[1]);
  if (heel <= 0 || middle <= 0) return;
  const Measures say(scene.recipe.units);
  const std::string text = fmt::format("layers of the jackets show {} wide at the heel and {} in the middle",
                                       say.length(heel), say.length(middle));
  if (std::min(heel, middle) < kTooFine)
    findings.warn(scene.plan().place, "blade",
                  fmt::format("{}. Below {} the eye sees grey at arm's length, not lines", text, say.length(kTooFine)));
  else
    findings.note(scene.plan().place, "blade", text);
}

void check_bands(const Scene& scene, const std::vector<Cut>& cuts, Findings& findings) {
  if (const auto core = core_of(scene)) return note_jackets(scene, *core, cuts, findings);
  if (!layers_lie_flat(scene.story(), scene.story().rows.size() - 1)) return;  // twisted or on edge: other widths
  if (cuts[0].layers < 2 || cuts[1].layers < 2) return;                        // no bands where there is one steel
  const double heel = shown_width(scene, cuts[0]), middle = shown_width(scene, cuts[1]), least = std::min(heel, middle);
  const Measures say(scene.recipe.units);
  const std::string text =
      fmt::format("where nothing disturbs the layers they show {} wide at the heel and {} in the middle",
                  say.length(heel), say.length(middle));
  if (least >= kFine) return findings.note(scene.plan().place, "blade", text);
  const double most = std::floor(cuts[1].layers * middle / kFine / 5) * 5;
  const std::string seen =
      least < kTooFine ? fmt::format("Below {} the eye sees grey at arm's length, not lines", say.length(kTooFine))
                       : std::string("Such fine lines wear and polish away");
  findings.warn(scene.plan().place, "blade",
                fmt::format("{}. {}. Take fewer layers: up to {:.0f} within the spine show {} wide", text, seen, most,
                            say.length(kFine)));
}

}  // namespace

void check_blade_layers(const Scene& scene, Findings& findings) {
  const auto cuts = cuts_of(scene);
  note_left(scene, cuts, findings);
  check_bands(scene, cuts, findings);
}

}  // namespace etchcast
