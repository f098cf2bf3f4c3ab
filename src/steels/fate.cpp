// Diffusion in a forged bar: its band lists, its heats, and what they leave of each element's differences.

#include <algorithm>
#include <cmath>
#include <functional>

#include <fmt/format.h>

#include "steels/bar_metal.hpp"
#include "steels/diffusion.hpp"
#include "steels/history.hpp"

namespace etchcast {
namespace {

constexpr Element kMoving[] = {Element::carbon, Element::manganese, Element::chromium, Element::nickel};
constexpr int kMostBands = 4096;    // beyond this the middle of the list stands for all of it
constexpr double kWashedOut = 0.1;  // a tenth of the contrast: no etch shows it; the project's own choice

double dt_over(const HeatHistory& history, Element element) {
  double sum = 0;
  for (const Heat& heat : history.heats)
    sum += diffusivity_mm2_s(element, heat.celsius).value_or(0) * heat.seconds / (heat.thinning * heat.thinning);
  return sum;
}

// Band edges are counted by mass, so that the profile's mean is the mean by mass whatever the densities.
struct Stack {
  BandFate fate;
  std::vector<double> edges;
};

Stack stack_of(const Bar& bar, double thinning, const std::vector<Steel>& steels) {
  const BandList& list = bar.bands;
  const int count = std::min(list.size(), kMostBands), first = (list.size() - count) / 2;
  Stack stack;
  stack.fate.billet = list.billet;
  stack.edges = {0};
  double volume = 0;
  for (int i = first; i < first + count; ++i) {
    const double thickness = (list.edges[i + 1] - list.edges[i]) / thinning;
    stack.fate.thickness_mm.push_back(thickness);
    stack.fate.what.push_back(list.what[i]);
    stack.edges.push_back(stack.edges.back() + thickness * density_of(list, list.what[i], steels));
    volume += thickness;
  }
  const double per_mass = volume / stack.edges.back();
  for (double& edge : stack.edges) edge *= per_mass;
  return stack;
}

ElementFate fate_of(Element element, const Bar& bar, const Stack& stack, const std::vector<Steel>& steels) {
  ElementFate fate;
  fate.element = element;
  fate.dt_mm2 = dt_over(stack.fate.history, element);
  fate.edge_mm = 2 * std::sqrt(fate.dt_mm2);
  fate.washout_mm = fate.dt_mm2 > 0 ? layer_keeping_mm(kWashedOut, fate.dt_mm2) : 0;
  BandProfile start{stack.edges, {}};
  for (const int what : stack.fate.what) start.level.push_back(mean_content(bar.bands, what, element, steels));
  const Softened now(start, fate.dt_mm2);
  fate.centres = now.centres();
  fate.means = now.means();
  double left = 0, whole = 0;
  for (size_t i = 0; i < start.level.size(); ++i) {
    const double weight = stack.edges[i + 1] - stack.edges[i];
    left += weight * std::abs(fate.centres[i] - now.mean());
    whole += weight * std::abs(start.level[i] - now.mean());
  }
  constexpr double kNothing = 1e-9;  // weight %: rounding, not a difference between steels
  fate.contrast_left = whole > kNothing * stack.edges.back() ? left / whole : 1;
  return fate;
}

const BilletStory* story_of(const Bar& bar, const Forging& forging) {
  for (const BilletStory& story : forging.billets)
    if (story.name == bar.bands.billet) return &story;
  return nullptr;
}

}  // namespace

// Differences that are seen: common practice, an estimate. Carbon evens out and never was the contrast.
const ElementFate* contrast_carrier(const BandFate& fate, const std::vector<Steel>& steels) {
  constexpr std::pair<Element, double> kSeen[] = {
      {Element::nickel, 0.5}, {Element::chromium, 1.0}, {Element::manganese, 0.2}};  // weight %
  for (const auto& [element, enough] : kSeen) {
    double least = 1e9, most = -1e9;
    for (const int what : fate.what)
      if (what >= 0) {
        const double content = steels[size_t(what)].*field_of(element);
        least = std::min(least, content), most = std::max(most, content);
      }
    if (most - least < enough) continue;
    for (const ElementFate& one : fate.elements)
      if (one.element == element) return &one;
  }
  return nullptr;
}

std::vector<BandFate> diffuse(const Recipe& recipe, const Forging& forging, double hold_s) {
  std::vector<BandFate> all;
  std::vector<const Bar*> seen;
  // `later`: what the bar went through after its own last step, while its layers thinned by `thinning`.
  const std::function<void(const BilletStory&, double, const HeatHistory&)> look =
      [&](const BilletStory& story, double thinning, const HeatHistory& later) {
        const Bar& bar = *story.bars.back();
        if (std::find(seen.begin(), seen.end(), &bar) != seen.end()) return;
        seen.push_back(&bar);
        Stack stack = stack_of(bar, thinning_after(story, last_flat(story)) * thinning, recipe.steels);
        stack.fate.history = then(heat_history(story, hold_s), thinning, later);
        if (bar.bands.size() > kMostBands)
          stack.fate.history.notes.push_back(
              fmt::format("{}: judged by the middle {} of its {} layers", story.name, kMostBands, bar.bands.size()));
        for (const Element element : kMoving)
          stack.fate.elements.push_back(fate_of(element, bar, stack, recipe.steels));
        const HeatHistory history = stack.fate.history;
        all.push_back(std::move(stack.fate));
        for (const Inset& inset : bar.bands.insets)
          if (const BilletStory* child = story_of(*inset.bar, forging))
            look(*child, std::abs(inset.scale[2]) * thinning_after(story, 0) * thinning, history);
      };
  look(blade_story(recipe, forging), 1, {});
  return all;
}

}  // namespace etchcast
