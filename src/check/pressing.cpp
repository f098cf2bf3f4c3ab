// Depths and rungs of a pressing.
#include "check/pressing.hpp"

#include <cmath>

#include <fmt/format.h>

#include "workpiece/relief.hpp"

namespace etchcast {
namespace {

constexpr double kInch = 25.4;  // mm, exactly

/// How far below the floors of a pressed face half of the wave is left, mm; nothing if that much is there all the way to
/// `end`.
std::optional<double> half_left(const DrawnWave& drawn, double floor, double end) {
  const double whole = drawn(floor);
  constexpr int kSteps = 60;
  for (int i = 1; i <= kSteps; ++i)
    if (drawn(floor + (end - floor) * i / kSteps) < whole / 2) return std::abs(end - floor) * i / kSteps;
  return {};
}

}  // namespace

Rungs rungs_at_last(const BilletStory& story, size_t step, double spacing, double angle) {
  double along = std::cos(angle) / spacing, across = std::sin(angle) / spacing;  // crests a mm
  for (size_t i = step + 1; i < story.rows.size(); ++i) {
    const LedgerRow &before = story.rows[i - 1], &after = story.rows[i];
    const Step* later = find_step(after.step);
    if (!later || later->kind != Kind::bulk) continue;
    const double length = after.length_mm / before.length_mm, width = after.width_mm / before.width_mm;
    // A die that falls in with the ridges draws metal out across them, and they keep their angle.
    const bool keeps = !story.bars[i - 1]->even() && (after.step == "press" || after.step == "flatten");
    along /= length, across /= keeps ? length : width;
  }
  return {1 / std::hypot(along, across), std::atan2(across, along)};
}

std::string depth_text(const Bar& pressed, const DrawnWave& drawn, const std::string& sides, double layer_mm) {
  const double top = pressed.top->lowest(), bottom = pressed.bottom->highest(), middle = (top + bottom) / 2;
  const bool upper = sides != "bottom", both = sides != "top" && upper;
  std::string text;
  if (const auto half = half_left(drawn, upper ? top : bottom, both ? middle : upper ? bottom : top))
    text = fmt::format("half of the wave is left {:.1f} mm ({:.2f} in) below the floors of {}", *half, *half / kInch,
                       both ? "each face" : upper ? "the top" : "the bottom");
  else
    text = "half of the wave or more is left all the way in, however deep you grind";
  double still = 0;
  constexpr int kSteps = 120;
  for (int i = 0; i < kSteps && layer_mm > 0; ++i)
    if (drawn(bottom + (top - bottom) * (i + 0.5) / kSteps) < layer_mm) still += (top - bottom) / kSteps;
  if (still > 0.02 * (top - bottom))
    text += fmt::format("{}{:.1f} mm ({:.2f} in) of the bar's {:.1f} mm hardly move, by less than a layer", text.empty() ? "" : "; ",
                        still, still / kInch, drawn.mean_height());
  return text;
}

}  // namespace etchcast
