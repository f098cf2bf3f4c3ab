// Blade shapes, for the terminal.
#include <fmt/format.h>

#include "base/units.hpp"
#include "books/wrap.hpp"
#include "etchcast/blade.hpp"
#include "etchcast/reference.hpp"

namespace etchcast {
namespace {

constexpr size_t kWide = 80;

}  // namespace

std::string shapes_text() {
  std::string text;
  for (const Shape& s : shapes()) {
    text += wrapped(s.text, kWide, "          ", fmt::format("{:<9} ", s.name));
    text += fmt::format(
        "          {:.0f} mm ({} in) long, heel {:.0f} mm, spine {:.1f} / {:.1f} / {:.1f} mm, edge {:.2f} mm\n",
        s.length_mm, inch_fraction(s.length_mm), s.heel_share * s.length_mm, s.spine_mm[0], s.spine_mm[1],
        s.spine_mm[2], s.edge_mm);
  }
  return text +
         "\nThe spine is told at the heel, in the middle and 10 mm from the tip, the edge before sharpening.\nshape = \"path\" takes "
         "an outline of your own.\n";
}

}  // namespace etchcast
