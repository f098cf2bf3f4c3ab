// Rules of the fire: near melting, too cold to weld, too cold to forge.
#include <fmt/format.h>

#include "check/scene.hpp"

namespace etchcast {
namespace {

// Common practice: 1200-1260 C for carbon and nickel steels, in some shops 1370 C; 1290 C leaves some 65 C to the
// linear iron-carbon solidus at 0.95 C (about 1355 C, value from memory).
constexpr double kHot = 1290;
constexpr double kColdWeld = 1150;  // C; common practice welds at 1200-1260 C
constexpr double kColdForge = 900;  // C; common practice forges welded work at 1065-1095 C, colder work shears welds

double fahrenheit(double celsius) { return celsius * 1.8 + 32; }

/// The steel of a bar, earlier bars in it included, that begins to melt first.
const Steel* first_to_melt(const Bar& bar, const std::vector<Steel>& steels) {
  const Steel* first = nullptr;
  for (const BandList* list : bar.leaves())
    for (const int what : list->what)
      if (what >= 0 && (!first || steels[what].solidus_c < first->solidus_c)) first = &steels[what];
  return first;
}

void check_melting(const LedgerRow& row, const Bar& bar, const Scene& scene, Findings& findings) {
  if (row.heat_c <= kHot) return;
  const Steel* steel = first_to_melt(bar, scene.recipe.steels);
  if (!steel) return;
  const std::string name =
      steel->name == steel->grade ? steel->name : fmt::format("{} ({})", steel->name, steel->grade);
  const double margin = steel->solidus_c - row.heat_c;
  const std::string heat = fmt::format("{:.0f} C ({:.0f} F)", row.heat_c, fahrenheit(row.heat_c));
  const std::string where =
      margin <= 0 ? fmt::format("{} lies above the {:.0f} C where {} begins to melt", heat, steel->solidus_c, name)
                  : fmt::format("{} is {:.0f} C below where {} begins to melt, about {:.0f} C", heat, margin, name,
                                steel->solidus_c);
  findings.warn(
      row.place, about_step(row),
      where +
          ": sparks from the billet mean burnt steel, and that is scrap. Some shops weld at 1370 C (2500 F) with a "
          "short soak and a trusted pyrometer; 1200 to 1260 C (2200 to 2300 F) is the usual heat");
}

void check_cold(const LedgerRow& row, Findings& findings) {
  if (row.heats == 0) return;
  if (row.step == "weld" && row.heat_c < kColdWeld)
    findings.warn(
        row.place, about_step(row),
        fmt::format(
            "{:.0f} C ({:.0f} F) is cold for a weld: 1200 to 1260 C (2200 to 2300 F) is usual, or the seams open later",
            row.heat_c, fahrenheit(row.heat_c)));
  if (row.step != "weld" && row.heat_c < kColdForge)
    findings.warn(
        row.place, about_step(row),
        fmt::format(
            "{:.0f} C ({:.0f} F) is cold for welded work, which may shear at its seams: forge it at 1065 to 1095 C "
            "(1950 to 2000 F)",
            row.heat_c, fahrenheit(row.heat_c)));
}

}  // namespace

void check_heats(const Scene& scene, Findings& findings) {
  for (const BilletStory& story : scene.forging.billets)
    for (size_t i = 1; i < story.rows.size(); ++i) {
      if (story.rows[i].heats > 0) check_melting(story.rows[i], *story.bars[i], scene, findings);
      check_cold(story.rows[i], findings);
    }
}

}  // namespace etchcast
