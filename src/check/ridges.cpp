// Rules of ridge dies and studs: does the wave reach the faces that are left?
#include <algorithm>
#include <cmath>
#include <numbers>

#include <fmt/format.h>

#include "base/measures.hpp"
#include "check/pressing.hpp"
#include "etchcast/step.hpp"

namespace etchcast {
namespace {

// Rungs are drawn by lines of layers; with fewer than four a rung hardly reads as one (estimate).
constexpr double kFewLines = 4;
// Below this share of what plane sections show, the picture misleads (estimate: plane sections are off by 5-15 % of the
// die's depth even where they serve).
constexpr double kFaded = 0.7, kWeak = 0.9;
constexpr double kDegree = std::numbers::pi / 180;

std::string angle_text(double rad) {
  return std::abs(rad) > 0.5 * kDegree ? fmt::format(" at {:.0f} deg", rad / kDegree) : std::string();
}

/// "12 at the edge, 14 half way up and 15 at the spine", or one figure where all are alike.
template <class Value, class Text>
std::string listed(const Pressing& p, const Value& value, const Text& text) {
  double least = 1e9, most = 0;
  for (const WaveAt& at : p.places) least = std::min(least, value(at)), most = std::max(most, value(at));
  if (most < 1.03 * least) return text(most) + " everywhere";
  std::string all;
  for (size_t i = 0; i < p.places.size(); ++i)
    all += fmt::format("{}{} {}", i == 0 ? "" : i + 1 < p.places.size() ? ", " : " and ", text(value(p.places[i])), p.places[i].where);
  return all;
}

std::string lines_text(const Pressing& p) {
  return listed(p, [](const WaveAt& at) { return at.lines; }, [](double lines) { return fmt::format("{:.0f}", lines); });
}

std::string wave_text(const Pressing& p, double WaveAt::*wave, const Measures& say) {
  return listed(p, [&](const WaveAt& at) { return at.*wave; }, [&](double mm) { return say.length(mm); });
}

std::string rungs_text(const Pressing& p, const Measures& say) {
  std::string text = p.lengthwise() ? fmt::format("The rungs run along the blade, {} apart", say.length(p.rungs.spacing))
                                    : fmt::format("On the blade the rungs stand {} apart{}", say.length(p.rungs.spacing), angle_text(p.rungs.angle));
  if (std::abs(p.rungs.angle - p.angle) > 0.5 * kDegree || std::abs(p.rungs.spacing / p.spacing - 1) > 0.01)
    text += fmt::format("; they were pressed {} apart{}", say.length(p.spacing), angle_text(p.angle));
  text += '.';
  if (p.row->along > 1.005) text += fmt::format(" The press lengthened the bar by {:.0f} %.", 100 * (p.row->along - 1));
  return text;
}

/// Least share of the drawn wave that is there, over the places where one is drawn at all.
double least_share(const Pressing& p) {
  double least = 1;
  for (const WaveAt& at : p.places)
    if (at.plane > 0.05 * p.faces) least = std::min(least, at.right / at.plane);
  return least;
}

/// Thickest bar on which these ridges keep `kFaded` of the wave half way through, by the one-sided solution.
double thick_enough(double spacing) {
  double low = 0.1, high = 20;  // kH
  for (int i = 0; i < 40; ++i) {
    const double middle = (low + high) / 2;
    (layer_share(middle, 0.5) > 0.85 * 0.5 ? low : high) = middle;
  }
  return low * spacing / (2 * std::numbers::pi);
}

/// "Press when the bar is down to 7.5 mm (0.30 in), or set the ridges 18.0 mm (0.71 in) apart."
std::string remedy(const Pressing& p, const Measures& say) {
  const double fit = thick_enough(p.spacing);
  return fmt::format("Press when the bar is down to {}, or set the ridges {} apart.", say.length(fit),
                     say.length(std::ceil(p.spacing * p.thick / fit)));
}

// "A third to two thirds": finite elements of a rate-sensitive steel (m = 0.2), staggered round dies, spacing equal to
// the thickness, leave 2 to 5 layers where the Newtonian solution used here leaves 6 to 7.
void report_wave(const Pressing& p, const Measures& say, Findings& findings) {
  if (p.flattened) return;  // its wave is another one
  const double share = least_share(p);
  const std::string close = fmt::format("The ridges stand {} apart on a bar {} thick", say.length(p.spacing), say.length(p.thick));
  if (p.solved) {
    if (share < kFaded && p.thick > thick_enough(p.spacing))
      findings.warn(p.row->place, about_step(*p.row),
                    fmt::format("{}. That is too close: the skin follows the dies and the core hardly moves. The wave is {} high in "
                                "the faces. Of it are left: {}. {}",
                                close, say.length(p.faces), wave_text(p, &WaveAt::right, say), remedy(p, say)));
    return;
  }
  const std::string both = fmt::format("In hot steel are left, at most: {}. The picture shows: {}.", wave_text(p, &WaveAt::right, say),
                                       wave_text(p, &WaveAt::plane, say));
  if (share < kFaded)
    findings.warn(p.row->place, about_step(*p.row),
                  fmt::format("{}. That is too close: the skin follows the dies and the core hardly moves. The picture does not know "
                              "that, because flow = \"plane\" carries the wave evenly through the bar. {} Hot steel may keep only a "
                              "third to two thirds of that. {}",
                              close, both, remedy(p, say)));
  else if (share < kWeak)
    findings.note(p.row->place, about_step(*p.row), fmt::format("{}. {}", close, both));
}

void report_lines(const Pressing& p, const Measures& say, Findings& findings) {
  if (p.layer_mm <= 0) return;
  // Of rungs along the blade only one runs at the edge.
  const double fewest = p.lengthwise() ? p.most() : p.places.front().lines;
  if (fewest >= kFewLines) {
    findings.note(p.row->place, about_step(*p.row),
                  fmt::format("Lines in each rung: {}. {}", lines_text(p), rungs_text(p, say)));
    return;
  }
  const char* advice = p.flattened            ? "The bar was forged flat while the humps still stood, and that pushes the wave back. Grind the "
                                                "humps off before you forge the bar, press deeper, or stack finer layers."
                       : p.sides == "aligned" ? "Crest against crest leaves the middle of the bar flat, however deep you press. Use sides = \"offset\"."
                                              : "Press deeper, press a thinner bar, or stack finer layers.";
  findings.warn(p.row->place, about_step(*p.row),
                fmt::format("Few lines are left in each rung: {}. {}{}", lines_text(p),
                            p.lengthwise() ? "" : "Grinding the bevel will remove the ladder. ", advice));
}

void report_sides(const Pressing& p, const Measures& say, Findings& findings) {
  if (p.sides == "offset")
    findings.note(p.row->place, about_step(*p.row),
                  fmt::format("The rungs of the left side stand half a spacing, {}, away from those of the right side. With sides = "
                              "\"aligned\" they lie opposite one another, but the middle of the bar stays flat.",
                              say.length(p.rungs.spacing / 2)));
  const WaveAt& at = p.places.back();
  if (std::min(at.left, at.right) < 0.75 * std::max(at.left, at.right))
    findings.warn(p.row->place, about_step(*p.row),
                  fmt::format("The two sides of the blade will not match. The wave {} is {} high on the right side and {} on the left.{}", at.where,
                              say.length(at.right), say.length(at.left),
                              p.sides == "top" || p.sides == "bottom" ? " Press both faces if the sides shall be alike." : ""));
}

void report_reach(const Pressing& p, const Reach& reach, const Measures& say, Findings& findings) {
  const char* face = p.sides == "top" ? "the top face" : p.sides == "bottom" ? "the bottom face" : "each face";
  std::string text =
      reach.half_mm ? fmt::format("Half of the wave is left {} below the floors of {}, and less further in.", say.length(*reach.half_mm), face)
                    : std::string("The wave goes all the way through: more than half of it is left however deep you grind.");
  if (reach.still_mm > 0.02 * reach.height_mm)
    text += fmt::format(" In the core {} of the bar's {} move by less than one layer.", say.length(reach.still_mm), say.length(reach.height_mm));
  findings.note(p.row->place, about_step(*p.row), text);
}

void check_press(const Scene& scene, size_t billet, size_t step, Findings& findings) {
  const auto p = pressing_of(scene, billet, step);
  if (!p) return;
  const Measures say(scene.recipe.units);
  report_wave(*p, say, findings);
  report_lines(*p, say, findings);
  report_sides(*p, say, findings);
  if (p->solved && !p->flattened) report_reach(*p, reach_of(scene, billet, step, *p), say, findings);
}

/// Studs by plane sections: the shortest wave of their set, by the half-space solution.
void check_studs(const Scene& scene, size_t billet, size_t step, Findings& findings) {
  const BilletStory& story = scene.forging.billets[billet];
  const StepCall& call = scene.recipe.billets[billet].steps[step - 1];
  const Arguments arguments(call, find_step(call.name)->parameters);
  if (arguments.word("flow") == "metal") return;  // then the picture shows what is left
  const double spacing = arguments.number("spacing"), thick = story.rows[step - 1].thickness_mm;
  const double middle = half_space_share(2 * std::numbers::pi / spacing * thick / 2);
  if (middle >= kFaded * 0.5) return;  // plane sections show half of a face's wave half way through
  const Measures say(scene.recipe.units);
  findings.warn(story.rows[step].place, about_step(story.rows[step]),
                fmt::format("The studs stand {} apart on a bar {} thick. That is too close: hot steel keeps {:.0f} % of their depth half way "
                            "through the bar, and the picture shows 50 %, because of flow = \"plane\". The blade will show fewer rings "
                            "toward the edge than the picture. Press the studs when the bar is down to {}.",
                            say.length(spacing), say.length(thick), middle * 100, say.length(thick_enough(spacing))));
}

}  // namespace

void check_ridges(const Scene& scene, Findings& findings) {
  for (size_t billet = 0; billet < scene.forging.billets.size(); ++billet) {
    const BilletStory& story = scene.forging.billets[billet];
    for (size_t step = 1; step < story.rows.size(); ++step) {
      if (story.rows[step].step == "press") check_press(scene, billet, step, findings);
      if (story.rows[step].step == "dimple") check_studs(scene, billet, step, findings);
    }
  }
}

}  // namespace etchcast
