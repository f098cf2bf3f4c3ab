// The decarburised skin, as a note.
#include "workpiece/skin.hpp"

#include <fmt/format.h>

namespace etchcast {

std::string skin_note(double clean_mm, const Measures& say) {
  const std::string skin =
      fmt::format("the fire takes the carbon out of the outer {}", say.between(kSkinLeast, kSkinMost));
  const std::string off = clean_mm > 0 ? fmt::format("cleaning takes {} off each face", say.length(clean_mm))
                                       : std::string("the faces are not cleaned");
  if (clean_mm >= kSkinMost) return fmt::format("{}; {}: that skin is off", off, skin);
  if (clean_mm >= kSkinLeast)
    return fmt::format("{}; {}. Up to {} of that skin may stay on each side of a weld and etch as a line", off, skin,
                       say.length(kSkinMost - clean_mm));
  return fmt::format("{}; {}. {} of that skin stay on each side of a weld: it etches as a line and does not harden",
                     off, skin, say.between(kSkinLeast - clean_mm, kSkinMost - clean_mm));
}

}  // namespace etchcast
