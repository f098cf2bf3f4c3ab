// A pressing found again on the bar and on the blade.
#include "check/pressing.hpp"

#include <algorithm>
#include <cmath>

#include "check/stand.hpp"
#include "etchcast/step.hpp"
#include "forging/layers.hpp"
#include "workpiece/relief.hpp"

namespace etchcast {
namespace {

constexpr double kLengthwise = 1.2;  // rad: from there on rungs run along the blade rather than across it

/// The step before which the bar was last even.
size_t even_before(const BilletStory& story, size_t step) {
  while (step > 1 && !story.bars[step - 1]->even()) --step;
  return step - 1;
}

/// Whether a later press works on the faces that this one left.
bool worked_on(const BilletStory& story, size_t step) {
  for (size_t i = step + 1; i < story.rows.size() && !story.bars[i - 1]->even(); ++i)
    if (story.rows[i].step == "press") return true;
  return false;
}

/// The last bar in which the ridges still lie as lines under the faces.
size_t last_with_rungs(const BilletStory& story, size_t step) {
  while (step + 1 < story.rows.size() && story.rows[step + 1].rung_spacing_mm > 0) ++step;
  return step;
}

/// Whether metal was forged while the faces were still uneven from this press.
bool forged_uneven(const BilletStory& story, size_t step, size_t last) {
  for (size_t i = step + 1; i <= last && !story.bars[i - 1]->even(); ++i)
    if (find_step(story.rows[i].step)->kind == Kind::bulk && story.rows[i].along != 1) return true;
  return false;
}

Arguments arguments_of(const Scene& scene, size_t billet, size_t step) {
  const StepCall& call = scene.recipe.billets[billet].steps[step - 1];
  return Arguments(call, find_step(call.name)->parameters);
}

/// Middle of what was pressed, mm along the bar.
double middle_of(const Bar& pressed, const Arguments& a) {
  const double from = a.has("from") ? a.number("from") : 0;
  const double to = a.has("to") ? std::min(a.number("to"), pressed.length_mm) : pressed.length_mm;
  return (from + to) / 2;
}

/// On the bar as the die left it, at the places where the metal of the blade's stands lay then. False if a later step has hidden
/// where that was.
bool judge_pressed(const Scene& scene, size_t billet, size_t step, const Arguments& a, Pressing& p) {
  const BilletStory& story = scene.forging.billets[billet];
  const Bar &last = *story.bars.back(), &pressed = *story.bars[step], &before = *story.bars[step - 1];
  const size_t even = even_before(story, step);
  const double middle = middle_of(pressed, a);
  const Wave wave(before, pressed, p.spacing, p.angle, middle);
  const DrawnWave drawn(*story.bars[even], pressed, line_over(pressed, p.spacing, p.angle, even + 1 == step ? 1 : 4, middle));
  p.faces = std::max(wave.plane(1), wave.plane(0));
  if (p.layer_mm > 0) p.layer_mm /= wave.squeeze();
  const auto swing = [&](double z) { return p.solved ? drawn(z) : wave.flowing(wave.height_of(z)); };
  for (const Stand& stand : stands(scene, billet)) {
    const auto right = traced_back(last, pressed, stand.right), left = traced_back(last, pressed, stand.left);
    if (!right || !left) return false;
    const double there = swing(right->z);
    p.places.push_back({stand.where, there, swing(left->z), wave.plane(wave.height_of(right->z)),
                        p.layer_mm > 0 ? there / p.layer_mm : 0});
  }
  return true;
}

/// On the last bar in which the ridges lie: forging it flat has changed their wave.
bool judge_flattened(const Scene& scene, size_t billet, size_t step, size_t seen, Pressing& p) {
  const BilletStory& story = scene.forging.billets[billet];
  const Bar &last = *story.bars.back(), &bar = *story.bars[seen];
  const size_t even = even_before(story, step);
  const Rungs rungs = rungs_after(story, step, seen, {p.spacing, p.angle});
  const DrawnWave drawn(*story.bars[even], bar, line_over(bar, rungs.spacing, rungs.angle, even + 1 == step ? 1 : 4, bar.length_mm / 2));
  p.layer_mm = layers_lie_flat(story, even) ? story.rows[even].mean_mm / drawn.squeeze() : 0;
  for (const Stand& stand : stands(scene, billet)) {
    const auto right = traced_back(last, bar, stand.right), left = traced_back(last, bar, stand.left);
    if (!right || !left) return false;
    const double there = drawn(right->z);
    p.places.push_back({stand.where, there, drawn(left->z), there, p.layer_mm > 0 ? there / p.layer_mm : 0});
  }
  return true;
}

}  // namespace

bool Pressing::lengthwise() const { return std::abs(rungs.angle) > kLengthwise; }

double Pressing::fewest() const {
  return std::min_element(places.begin(), places.end(), [](const WaveAt& a, const WaveAt& b) { return a.lines < b.lines; })->lines;
}

double Pressing::most() const {
  return std::max_element(places.begin(), places.end(), [](const WaveAt& a, const WaveAt& b) { return a.lines < b.lines; })->lines;
}

std::optional<Pressing> pressing_of(const Scene& scene, size_t billet, size_t step) {
  const BilletStory& story = scene.forging.billets[billet];
  if (worked_on(story, step)) return {};
  const Arguments a = arguments_of(scene, billet, step);
  const size_t even = even_before(story, step), seen = last_with_rungs(story, step);
  Pressing p;
  p.row = &story.rows[step];
  p.sides = a.word("sides"), p.spacing = a.number("spacing"), p.angle = a.number("angle");
  p.thick = story.bars[step - 1]->thickness_mm;
  p.solved = a.word("flow") == "metal" && story.bars[step]->maps.size() > story.bars[even]->maps.size() && p.row->rough.empty();
  // Ridges that fell in with an earlier pattern lengthened with it.
  if (p.solved && even + 1 != step) p.spacing *= p.row->along;
  p.rungs = rungs_after(story, step, story.rows.size() - 1, {p.spacing, p.angle});
  p.layer_mm = layers_lie_flat(story, step - 1) ? story.rows[step - 1].mean_mm : 0;
  p.flattened = forged_uneven(story, step, seen);
  if (!(p.flattened ? judge_flattened(scene, billet, step, seen, p) : judge_pressed(scene, billet, step, a, p))) return {};
  return p;
}

Rungs rungs_after(const BilletStory& story, size_t step, size_t last, const Rungs& pressed) {
  Rungs r = pressed;
  for (size_t i = step + 1; i <= last; ++i) r = r.stretched(story.rows[i].along, story.rows[i].across);
  return r;
}

Reach reach_of(const Scene& scene, size_t billet, size_t step, const Pressing& p) {
  const BilletStory& story = scene.forging.billets[billet];
  const Bar& pressed = *story.bars[step];
  const size_t even = even_before(story, step);
  const DrawnWave drawn(*story.bars[even], pressed,
                        line_over(pressed, p.spacing, p.angle, even + 1 == step ? 1 : 4, middle_of(pressed, arguments_of(scene, billet, step))));
  const double top = pressed.top->lowest(), bottom = pressed.bottom->highest(), middle = (top + bottom) / 2;
  const bool upper = p.sides != "bottom", both = p.sides != "top" && upper;
  const double floor = upper ? top : bottom, end = both ? middle : upper ? bottom : top, whole = drawn(floor);
  Reach reach;
  reach.height_mm = drawn.mean_height();
  constexpr int kSteps = 60;
  for (int i = 1; i <= kSteps && !reach.half_mm; ++i)
    if (drawn(floor + (end - floor) * i / kSteps) < whole / 2) reach.half_mm = std::abs(end - floor) * i / kSteps;
  for (int i = 0; i < 2 * kSteps && p.layer_mm > 0; ++i)
    if (drawn(bottom + (top - bottom) * (i + 0.5) / (2 * kSteps)) < p.layer_mm) reach.still_mm += (top - bottom) / (2 * kSteps);
  return reach;
}

}  // namespace etchcast
