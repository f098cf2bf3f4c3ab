// What was measured on a picture, in sentences.
#include <cmath>
#include <numbers>

#include <fmt/format.h>

#include "base/measures.hpp"
#include "etchcast/measure.hpp"

namespace etchcast {
namespace {

std::string degrees(double rad) { return fmt::format("{:.0f}", std::abs(rad) * 180 / std::numbers::pi); }

/// How something leans as the picture is seen.
std::string lean_text(double rad) {
  const double off = std::abs(rad) * 180 / std::numbers::pi;
  if (off < 1) return "upright";
  if (off > 89) return "lying along the picture";
  return fmt::format("leaning {} deg to the {}", degrees(rad), rad > 0 ? "right" : "left");
}

std::string row_text(const Repeat& repeat, const Measures& say) {
  std::string text =
      fmt::format("every {} straight across, {}", say.length(repeat.spacing_mm), lean_text(repeat.lean_rad));
  const double along = repeat.spacing_mm / std::max(1e-6, std::cos(repeat.lean_rad));
  if (std::abs(repeat.lean_rad) > 0.02 && std::abs(repeat.lean_rad) < 1.2)
    text += fmt::format("; every {} along the blade", say.length(along));
  return text;
}

std::string net_text(const std::vector<double>& near, const Measures& say) {
  return fmt::format("in a net; from one to its neighbours {}, {} and {}", say.length(near[0]), say.length(near[1]),
                     say.length(near[2]));
}

}  // namespace

std::string figures_text(const Figures& f, System first) {
  const Measures say(first);
  std::string text = fmt::format(
      "  bright steel   {:.0f} % of the metal; from one 10 mm square to the next it varies by about {:.0f} %\n",
      100 * f.bright, 100 * f.bright_spread);
  text += fmt::format("  dark lines     {} along, {} across\n", say.in_a_length(f.lines_along),
                      say.in_a_length(f.lines_across));
  if (f.repeats.empty()) return text + "  repeats        nothing comes again at one distance\n";
  if (!f.neighbours_mm.empty()) return text + fmt::format("  repeats        {}\n", net_text(f.neighbours_mm, say));
  return text + fmt::format("  repeats        {}\n", row_text(f.repeats.front(), say));
}

}  // namespace etchcast
