// Rules of the steels: contrast that diffuses away or is eaten away, cautions of a grade, and the quench.
#include <algorithm>
#include <cmath>
#include <numbers>
#include <set>

#include <fmt/format.h>

#include "check/scene.hpp"
#include "etchcast/metallurgy.hpp"

namespace etchcast {
namespace {

// Shares of the contrast that are left in the middles of layers: half is seen as dull beside a crisp etch, four fifths
// hardly (the project's own choice).
constexpr double kDull = 0.5, kSofter = 0.8;
constexpr double kUnsure = 3;  // the factor within which D is known; see etchcast/metallurgy.hpp

std::string name_of(Element element) {
  return element == Element::nickel ? "nickel" : element == Element::chromium ? "chromium" : "manganese";
}

/// Of layers: too thin for a calliper's figures.
std::string microns(double mm) {
  return fmt::format("{:.{}f} um ({:.2g} thou)", mm * 1000, mm < 0.01 ? 1 : 0, mm / 0.0254);
}

/// What alternate layers keep in their middles; t = D times time over their thickness squared.
///   Source  identity: Fourier series of the square wave, (4/pi) sum (-1)^n / (2n+1) exp(-((2n+1) pi)^2 t).
double kept(double t) {
  double sum = 0;
  for (int n = 0; n < 40; ++n) {
    const double k = 2 * n + 1;
    sum += (n % 2 ? -1 : 1) / k * std::exp(-k * k * std::numbers::pi * std::numbers::pi * t);
  }
  return 4 / std::numbers::pi * sum;
}

/// The contrast if metal moves as fast as it may: three times D.
double at_worst(double left) {
  double low = 0.001, high = 2;  // kept() is 1 to rounding at the one, 0 at the other
  if (left >= kept(low)) return left;
  for (int i = 0; i < 50; ++i) {
    const double middle = (low + high) / 2;
    (kept(middle) > left ? low : high) = middle;
  }
  return std::min(left, kept(kUnsure * low));
}

void check_washout(const Scene& scene, const BandFate& fate, Findings& findings) {
  const ElementFate* element = contrast_carrier(fate, scene.recipe.steels);
  if (!element) return;
  const double left = element->contrast_left, least = at_worst(left);
  if (least > kSofter) return;
  const LedgerRow& row = scene.forging.story(fate.billet).rows.back();
  double total = 0;
  for (const double thickness : fate.thickness_mm) total += thickness;
  const std::string text = fmt::format(
      "{} wanders from layer to layer in the heats. Layers are {} thick on average, and about {:.0f} % of the "
      "difference "
      "between them is left ({:.0f} % if it wanders as fast as it may: diffusion is known within a factor of 3)",
      name_of(element->element), microns(total / double(fate.what.size())), left * 100, least * 100);
  if (least < kDull)
    findings.warn(
        row.place, about_step(row),
        text + ". The etch may come out as one even grey. Restack less often, or take shorter and cooler heats");
  else
    findings.note(row.place, about_step(row), text + ". The picture draws the middle of that range");
}

/// Dark layers that lie flat under the face and are thinner than the relief: the acid eats through them onto the bright
/// ones below. Bold where most of the dark layers go, a note from a tenth on (the project's own choice).
void check_eaten(const Scene& scene, const BandFate& fate, Findings& findings) {
  const BilletStory& story = scene.forging.story(fate.billet);
  if (!layers_lie_flat(story, story.rows.size() - 1)) return;
  const double depth = scene.recipe.etch.depth_mm;
  int dark = 0, eaten = 0;
  for (size_t i = 1; i + 1 < fate.what.size(); ++i) {
    if (fate.what[i] < 0) continue;
    const double attack = scene.recipe.steels[size_t(fate.what[i])].attack;
    if (attack < 0.5) continue;
    ++dark, eaten += fate.thickness_mm[i] < depth * attack;
  }
  if (eaten == 0 || eaten < 0.1 * dark) return;
  const std::string text = fmt::format(
      "{} of the {} dark layers of '{}' are thinner than the etch is deep, {}. Where such a layer lies flat, the acid "
      "eats "
      "through it down to the bright steel, and bright takes over. Etch less deep to keep it",
      eaten, dark, fate.billet, microns(depth));
  if (2 * eaten > dark)
    findings.warn(scene.plan().place, "blade: etch", text);
  else
    findings.note(scene.plan().place, "blade: etch", text);
}

/// What a smith must know of a steel before it goes into a stack: told of the first bar that holds it.
void check_cautions(const Scene& scene, Findings& findings) {
  std::set<const SteelSheet*> told;
  for (const BilletStory& story : scene.forging.billets)
    for (const BandList* list : story.bars.front()->leaves())
      for (const int what : list->what) {
        if (what < 0) continue;
        const Steel& steel = scene.recipe.steels[size_t(what)];
        if (!steel.sheet || steel.sheet->caution.empty() || !told.insert(steel.sheet.get()).second) continue;
        const LedgerRow& row = story.rows.front();
        findings.warn(row.place, about_step(row), fmt::format("{}: {}", named(steel), steel.sheet->caution));
      }
}

void check_quench(const Scene& scene, Findings& findings) {
  const Hardening all = hardening(scene.recipe, scene.forging);
  for (size_t i = 0; i < all.cautions.size(); ++i) {
    if (i == all.objections) continue;  // true of every blade: the sheet and `harden` say it
    if (i < all.objections)
      findings.warn(scene.plan().place, "blade: hardening", all.cautions[i]);
    else
      findings.note(scene.plan().place, "blade: hardening", all.cautions[i]);
  }
}

}  // namespace

void check_steels(const Scene& scene, Findings& findings) {
  for (const BandFate& fate : diffuse(scene.recipe, scene.forging)) {
    check_washout(scene, fate, findings);
    if (scene.blade_fits()) check_eaten(scene, fate, findings);
  }
  check_cautions(scene, findings);
  if (scene.blade_fits()) check_quench(scene, findings);
}

}  // namespace etchcast
