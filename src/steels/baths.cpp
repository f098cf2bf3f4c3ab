// Etching baths: common practice, and rates that are guesses.

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "etchcast/etching.hpp"

namespace etchcast {
namespace {

// 0.3 to 1 um a minute: a guess for 1 to 4 at room temperature, no source gave a measured figure; half a micrometre
// lies in its middle (of the logarithm). What is known are trends: the rate rises with stirring as the root of its
// speed (rotating disc in ferric chloride), and falls in stronger solutions.
constexpr Bath kBaths[] = {
    {"ferric chloride",
     "ferric chloride solution (about 40 degrees Baumé), 1 part to 3 to 5 parts of water, at room temperature", 0.5,
     0.3, 1.0, FinishKind::oxide},
    {"ferric chloride and vinegar",
     "ferric chloride solution (about 40 degrees Baumé), water and white vinegar in equal parts, at room temperature",
     0.5, 0.3, 1.0, FinishKind::oxide},
    {"vinegar", "white vinegar, warm, for hours", 0, 0, 0, FinishKind::oxide},
    {"coffee",
     "strong instant coffee, 60 to 120 g a litre (8 to 16 oz a gallon), one hour to overnight; it darkens and hardly "
     "eats",
     0, 0, 0, FinishKind::coffee},
};

double linear_of(double grey) {
  const double signal = grey / 255;
  return signal <= 0.04045 ? signal / 12.92 : std::pow((signal + 0.055) / 1.055, 2.4);
}

}  // namespace

std::span<const Bath> baths() { return kBaths; }

const Bath& bath_of(std::string_view word) {
  const auto* found = std::find_if(std::begin(kBaths), std::end(kBaths), [&](const Bath& b) { return b.word == word; });
  return found == std::end(kBaths) ? kBaths[0] : *found;
}

double reflectance_of_grey(double grey, double paper) { return kPaper * linear_of(grey) / linear_of(paper); }

std::string relief_text(const EtchPlan& etch) {
  const std::string deep = fmt::format("{:.0f} um ({:.1f} thou)", etch.depth_mm * 1000, etch.depth_mm / 0.0254);
  switch (etch.relief) {
    case EtchPlan::Relief::told:
      return deep + ", as told";
    case EtchPlan::Relief::coupon:
      return deep + ", by your coupon";
    case EtchPlan::Relief::time:
      return deep + ", by the bath's usual rate (a guess)";
    case EtchPlan::Relief::usual:
      break;
  }
  return etch.depth_mm > 0 ? deep + ", the usual (a guess)" : "none to speak of";
}

}  // namespace etchcast
