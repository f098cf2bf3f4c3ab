// What a schedule came down to.
#include <fmt/format.h>

#include "etchcast/check.hpp"
#include "tape/map.hpp"

namespace etchcast {

std::string maps_text(const Forging& forging) {
  std::string text;
  for (const BilletStory& story : forging.billets) {
    const Bar& bar = *story.bars.back();
    text += fmt::format("Billet {}: {} steps came down to {} bands over {:.3f} mm", story.name, story.rows.size() - 1, bar.bands.size(),
                        bar.bands.total());
    if (!bar.bands.insets.empty()) text += fmt::format(", {} of them lengths of earlier bars", bar.bands.insets.size());
    text += bar.maps.empty() ? "; no maps, its layers are flat\n" : fmt::format(", then {} map{}:\n", bar.maps.size(), bar.maps.size() == 1 ? "" : "s");
    int number = 0;
    for (const auto& map : bar.maps) text += fmt::format("  {}  {}\n", ++number, map->name());
  }
  return text;
}

}  // namespace etchcast
