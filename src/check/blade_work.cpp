// Rules of the work on the blade: what must stay on for the fire, and what the blank weighs.
#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "base/units.hpp"
#include "check/scene.hpp"

namespace etchcast {
namespace {

// Common practice: 0.4 to 0.5 mm are left at the edge before hardening, so that it neither warps nor loses its carbon.
constexpr double kEdgeForFire = 0.4;  // mm

void check_allowance(const Scene& scene, Findings& findings) {
  const double edge = scene.blade->edge_thickness();
  if (edge >= kEdgeForFire) return;
  if (scene.plan().before_hardening)
    return findings.warn(scene.plan().place, "blade",
                         fmt::format("an edge of {:.2f} mm goes into the fire: leave 0.4 to 0.5 mm before hardening, "
                                     "or it warps and loses its carbon",
                                     edge));
  findings.note(scene.plan().place, "blade",
                fmt::format("the edge is {:.2f} mm as finished: leave 0.4 to 0.5 mm before hardening. Grinding the "
                            "rest off afterwards moves the figure, "
                            "so judge it by these sizes, not by an etch before hardening",
                            edge));
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

void note_mass(const Scene& scene, Findings& findings) {
  const LedgerRow& row = scene.story().rows.back();
  const double mass = volume_of(*scene.blade) * row.mass_g / row.volume_mm3;
  const double piece = (scene.blade->length() + scene.plan().tang_mm) * scene.bar().width_mm *
                       scene.bar().thickness_mm * row.mass_g / row.volume_mm3;
  findings.note(scene.plan().place, "blade",
                fmt::format("the ground blade with its tang weighs about {:.0f} g ({:.1f} oz), out of {:.0f} g of bar",
                            mass, mass / 28.349523125, std::min(piece, row.mass_g)));
}

}  // namespace

void check_blade_work(const Scene& scene, Findings& findings) {
  check_allowance(scene, findings);
  note_mass(scene, findings);
}

}  // namespace etchcast
