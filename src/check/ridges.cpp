// Rules of ridge dies and studs: does the wave reach the faces that are left?
#include <algorithm>
#include <cmath>
#include <memory>
#include <numbers>

#include <fmt/format.h>

#include "base/units.hpp"
#include "check/pressing.hpp"
#include "check/stand.hpp"
#include "check/wave.hpp"
#include "forging/layers.hpp"
#include "tape/map.hpp"

namespace etchcast {
namespace {

// Rungs are drawn by lines of layers; with fewer than four a rung hardly reads as one (estimate).
constexpr double kFewLines = 4;
// Below this share of what plane sections show, the picture misleads (estimate: plane sections are off by 5-15 % of the
// die's depth even where they serve).
constexpr double kFaded = 0.7, kWeak = 0.9;
constexpr double kInch = 25.4;  // mm, exactly

/// One press of one billet and what is left of its wave.
struct Pressing {
  const LedgerRow& row;
  const Arguments& arguments;
  double spacing;
  Wave wave;
  double layer_mm;  ///< mean layer as it came to the press; 0 if layers do not lie flat
  std::vector<const char*> where;
  std::vector<double> flowing, plane, left;  ///< crest to trough on the right, mm; `left`: on the left side
  Rungs rungs;  ///< on the last bar
  bool solved = false;  ///< the step itself followed the metal's flow: `flowing` is what the picture shows
};

std::string rungs_text(const Pressing& p) {
  constexpr double kDegree = std::numbers::pi / 180;
  std::string text = fmt::format("rungs {:.1f} mm ({:.2f} in) apart on the blade", p.rungs.spacing, p.rungs.spacing / kInch);
  if (std::abs(p.rungs.angle) > 0.5 * kDegree) text += fmt::format(", at {:.0f} deg", p.rungs.angle / kDegree);
  const double angle = p.arguments.number("angle");
  if (std::abs(p.rungs.angle - angle) > 0.5 * kDegree || std::abs(p.rungs.spacing / p.spacing - 1) > 0.01)
    text += fmt::format(" (pressed {:.1f} mm apart{})", p.spacing, std::abs(angle) > 0.5 * kDegree ? fmt::format(" at {:.0f} deg", angle / kDegree) : "");
  if (p.row.reduction > 1.005) text += fmt::format("; the press drew the metal out by {:.0f} %", 100 * (p.row.reduction - 1));
  return text;
}

std::string listed(const Pressing& p, const std::vector<double>& values, bool layers) {
  const auto [least, most] = std::minmax_element(values.begin(), values.end());
  if (*most < 1.03 * *least)
    return layers ? fmt::format("{:.0f} all over", *most * p.wave.squeeze() / p.layer_mm)
                  : fmt::format("{:.2f} mm all over", *most);
  std::string text;
  for (size_t i = 0; i < values.size(); ++i)
    text += layers ? fmt::format("{}{:.0f} {}", i ? ", " : "", values[i] * p.wave.squeeze() / p.layer_mm, p.where[i])
                   : fmt::format("{}{:.2f} mm {}", i ? ", " : "", values[i], p.where[i]);
  return text;
}

std::string wave_text(const Pressing& p, const std::vector<double>& values) {
  const std::string mm = listed(p, values, false);
  return p.layer_mm > 0 ? fmt::format("{} (layers: {})", mm, listed(p, values, true)) : mm;
}

/// Least share of the drawn wave that is there, over the places where one is drawn at all.
double least_share(const Pressing& p) {
  double least = 1;
  for (size_t i = 0; i < p.plane.size(); ++i)
    if (p.plane[i] > 0.05 * std::max(p.wave.plane(1), p.wave.plane(0)))
      least = std::min(least, p.flowing[i] / p.plane[i]);
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

// "A third to two thirds": finite elements of a rate-sensitive steel (m = 0.2), staggered round dies, spacing equal to
// the thickness, leave 2 to 5 layers where the Newtonian solution used here leaves 6 to 7.
void report_wave(const Pressing& p, Findings& findings) {
  const double thick = p.wave.thickness_before(), fit = thick_enough(p.spacing);
  const double share = least_share(p);
  if (p.solved) {
    if (share < kFaded && thick > fit)
      findings.warn(p.row.place, about_step(p.row),
                    fmt::format("ridges {:.1f} mm apart on a bar {:.1f} mm thick make a wave too short for it: it dies out "
                                "inside the metal. Of the {:.2f} mm wave at the faces there are left: {}. Press when the bar is "
                                "down to {:.1f} mm, or set the ridges {:.0f} mm apart",
                                p.spacing, thick, std::max(p.wave.plane(1), p.wave.plane(0)), wave_text(p, p.flowing), fit,
                                std::ceil(p.spacing * thick / fit)));
    return;
  }
  if (share < kFaded) {
    findings.warn(p.row.place, about_step(p.row),
                  fmt::format("ridges {:.1f} mm apart on a bar {:.1f} mm thick make a wave too short for it: it dies "
                              "out inside the metal. Of the "
                              "{:.2f} mm wave at the faces, smooth flow leaves {}; plane sections, as the picture "
                              "draws them (flow = \"plane\"), "
                              "show {}. The picture overrates these ridges, and hot steel may keep only a third to two "
                              "thirds of what smooth flow "
                              "leaves. Press when the bar is down to {:.1f} mm, or set the ridges {:.0f} mm apart",
                              p.spacing, thick, std::max(p.wave.plane(1), p.wave.plane(0)), wave_text(p, p.flowing),
                              wave_text(p, p.plane), fit, std::ceil(p.spacing * thick / fit)));
  } else if (share < kWeak) {
    findings.note(p.row.place, about_step(p.row),
                  fmt::format("of ridges {:.1f} mm apart on a bar {:.1f} mm thick smooth flow leaves "
                              "{}, and the picture's plane "
                              "sections show {}",
                              p.spacing, thick, wave_text(p, p.flowing), wave_text(p, p.plane)));
  }
}

void report_lines(const Pressing& p, Findings& findings) {
  if (p.layer_mm <= 0) return;
  const double per_layer = p.wave.squeeze() / p.layer_mm, edge = p.flowing[0] * per_layer;
  if (edge < kFewLines) {
    const bool aligned = p.arguments.word("sides") == "aligned";
    findings.warn(
        p.row.place, about_step(p.row),
        fmt::format(
            "about {:.0f} lines a rung are left {}, {:.0f} {}: the figure goes as the bevel is ground. {}", edge,
            p.where[0], p.flowing.back() * per_layer, p.where.back(),
            aligned ? "Crest against crest leaves the mid-plane flat however deep the press: take sides = \"offset\""
                    : "Press deeper, on a thinner bar, or use finer layers"));
    return;
  }
  findings.note(p.row.place, about_step(p.row),
                fmt::format("lines in a rung{}: {}; {}", p.solved ? "" : " by smooth flow", listed(p, p.flowing, true),
                            rungs_text(p)));
}

void report_sides(const Pressing& p, Findings& findings) {
  const std::string sides = p.arguments.word("sides");
  const double right = p.flowing.back(), left = p.left.back();
  if (sides == "offset")
    findings.note(p.row.place, about_step(p.row),
                  fmt::format("rungs of the left side stand half a spacing ({:.1f} mm) off those of the right; sides = "
                              "\"aligned\" puts them back to "
                              "back, but leaves the mid-plane flat",
                              p.rungs.spacing / 2));
  if (std::min(left, right) < 0.75 * std::max(left, right))
    findings.warn(
        p.row.place, about_step(p.row),
        fmt::format("the two sides will not match: {} the wave is {:.2f} mm on the right and {:.2f} mm on the left{}",
                    p.where.back(), right, left,
                    sides == "top" || sides == "bottom" ? ". Press both faces for sides alike" : ""));
}

/// Mean layer as it came to the press; skins that an earlier press has waved do not matter for a mean.
double layer_at(const BilletStory& story, size_t step) {
  return layers_lie_flat(story, step - 1) ? story.rows[step - 1].mean_mm : 0;
}

/// The step before which the bar was last even.
size_t even_before(const BilletStory& story, size_t step) {
  while (step > 1 && !story.bars[step - 1]->even()) --step;
  return step - 1;
}

/// Whether a later press or flattening works on the faces that this one left.
bool worked_on(const BilletStory& story, size_t step) {
  for (size_t i = step + 1; i < story.rows.size() && !story.bars[i - 1]->even(); ++i)
    if (story.rows[i].step == "press") return true;
  return false;
}

/// Middle of what was pressed, mm along the bar.
double middle_of(const Bar& pressed, const Arguments& a) {
  const double from = a.has("from") ? a.number("from") : 0, to = a.has("to") ? std::min(a.number("to"), pressed.length_mm) : pressed.length_mm;
  return (from + to) / 2;
}

/// The wave over some repeats about there.
DrawnWave drawn_wave(const BilletStory& story, size_t step, const Arguments& a, double spacing) {
  const Bar& pressed = *story.bars[step];
  const size_t even = even_before(story, step);
  const double along = spacing / std::max(0.2, std::cos(a.number("angle"))) * (even + 1 == step ? 1 : 4);
  const double left = std::clamp(middle_of(pressed, a), 0.0, std::max(0.0, pressed.length_mm - along));
  return DrawnWave(*story.bars[even], pressed, left, std::min(pressed.length_mm, left + along));
}

void check_press(const Scene& scene, size_t billet, size_t step, Findings& findings) {
  const BilletStory& story = scene.forging.billets[billet];
  if (worked_on(story, step)) return;  // judged together with the later one
  const Bar &last = *story.bars.back(), &pressed = *story.bars[step];
  const StepCall& call = scene.recipe.billets[billet].steps[step - 1];
  const Arguments arguments(call, find_step(call.name)->parameters);
  const double spacing = arguments.number("spacing");
  Pressing p{story.rows[step],
             arguments,
             spacing,
             Wave(*story.bars[step - 1], pressed, spacing, arguments.number("angle"), middle_of(pressed, arguments)),
             layer_at(story, step),
             {},
             {},
             {},
             {},
             {}};
  const size_t even = even_before(story, step);
  p.solved = arguments.word("flow") == "metal" && pressed.maps.size() > story.bars[even]->maps.size() && p.row.rough.empty();
  const DrawnWave drawn = drawn_wave(story, step, arguments, spacing);
  const auto swing = [&](double z) { return p.solved ? drawn(z) : p.wave.flowing(p.wave.height_of(z)); };
  const auto places = stands(scene, billet);
  for (const Stand& stand : places) {
    const auto right = traced_back(last, pressed, stand.right), left = traced_back(last, pressed, stand.left);
    if (!right || !left) return;  // a later press has redrawn this one and is judged itself
    p.where.push_back(stand.where);
    p.flowing.push_back(swing(right->z));
    p.plane.push_back(p.wave.plane(p.wave.height_of(right->z)));
    p.left.push_back(swing(left->z));
  }
  // Ridges that fell in with an earlier pattern lengthened with it.
  const double seen = p.solved && even + 1 != step ? spacing * p.row.reduction : spacing;
  p.rungs = rungs_at_last(story, step, seen, arguments.number("angle"));
  report_wave(p, findings);
  report_lines(p, findings);
  report_sides(p, findings);
  if (!p.solved) return;
  const std::string depth = depth_text(pressed, drawn, arguments.word("sides"), p.layer_mm > 0 ? p.layer_mm / p.wave.squeeze() : 0);
  if (!depth.empty()) findings.note(p.row.place, about_step(p.row), depth);
}

/// Studs: the shortest wave of their set, by the half-space solution.
void check_studs(const Scene& scene, size_t billet, size_t step, Findings& findings) {
  const BilletStory& story = scene.forging.billets[billet];
  const StepCall& call = scene.recipe.billets[billet].steps[step - 1];
  const Arguments arguments(call, find_step(call.name)->parameters);
  if (arguments.word("flow") == "metal") return;  // then the picture shows what is left
  const double spacing = arguments.number("spacing"), thick = story.rows[step - 1].thickness_mm;
  const double middle = half_space_share(2 * std::numbers::pi / spacing * thick / 2);
  if (middle >= kFaded * 0.5) return;  // plane sections show half of a face's wave half way through
  findings.warn(story.rows[step].place, about_step(story.rows[step]),
                fmt::format("studs {:.1f} mm apart on a bar {:.1f} mm thick reach only a little way in: by smooth flow "
                            "{:.0f} % of their depth is left half "
                            "way through, where the picture's plane sections show 50 %. Rings will be fewer toward the "
                            "edge than drawn; use them on "
                            "a bar of {:.1f} mm or less",
                            spacing, thick, middle * 100, thick_enough(spacing)));
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
