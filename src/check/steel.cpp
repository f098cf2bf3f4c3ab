// Rules of the steels: contrast that diffuses away, forging heats off a steel's sheet, and the quench.
#include <algorithm>
#include <cmath>
#include <numbers>

#include <fmt/format.h>

#include "base/measures.hpp"
#include "check/scene.hpp"
#include "etchcast/metallurgy.hpp"
#include "etchcast/picture.hpp"

namespace etchcast {
namespace {

// Shares of the contrast that are left in the middles of layers: half is seen as dull beside a crisp etch, four fifths
// hardly (the project's own choice).
constexpr double kDull = 0.5, kSofter = 0.8;
constexpr double kUnsure = 3;  // the factor within which D is known; see etchcast/metallurgy.hpp

double fahrenheit(double celsius) { return celsius * 1.8 + 32; }

std::string both_scales(double celsius) { return fmt::format("{:.0f} C ({:.0f} F)", celsius, fahrenheit(celsius)); }

std::string name_of(Element element) {
  return element == Element::nickel ? "nickel" : element == Element::chromium ? "chromium" : "manganese";
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
      "{} wanders from one layer into the next: of the difference between layers {:.1f} um thick on average some "
      "{:.0f} % are left after all heats, or {:.0f} % if it moves as fast as it may (diffusion is known within a "
      "factor "
      "of 3)",
      name_of(element->element), 1000 * total / double(fate.what.size()), left * 100, least * 100);
  if (least < kDull)
    findings.warn(row.place, about_step(row),
                  text + ". The etch may come out as one even grey: take fewer restacks, or shorter and cooler heats");
  else
    findings.note(row.place, about_step(row), text + ": the picture draws the middle of that range");
}

/// A steel that the etch turns dark loses at least this share of the etch's depth.
constexpr double kEaten = 0.5;
// Shares of the dark ground that the acid may take before it is noted and before it is warned of (the project's own
// choice).
constexpr double kNotedLoss = 0.2, kWarnedLoss = 0.4;

struct DarkLayers {
  int count = 0, thinner = 0;  ///< without the outermost; thinner than the acid goes
  double total_mm = 0;
};

bool is_dark(int what, const std::vector<Steel>& steels) { return what >= 0 && steels[size_t(what)].attack >= kEaten; }

DarkLayers dark_layers(const BandFate& fate, const std::vector<Steel>& steels, double depth_mm) {
  DarkLayers dark;
  for (size_t i = 1; i + 1 < fate.what.size(); ++i) {
    if (!is_dark(fate.what[i], steels)) continue;
    ++dark.count, dark.total_mm += fate.thickness_mm[i];
    dark.thinner += fate.thickness_mm[i] < depth_mm * steels[size_t(fate.what[i])].attack;
  }
  return dark;
}

double dark_share(const BandList& list, const std::vector<Steel>& steels) {
  double dark = 0;
  for (int i = 0; i < list.size(); ++i)
    if (is_dark(list.what[size_t(i)], steels)) dark += list.edges[size_t(i) + 1] - list.edges[size_t(i)];
  return dark / list.total();
}

/// Dark layers that lie flat under the face: the acid eats them off the bright ones below, by the same law as in the
/// picture, so that less dark shows than was forged.
void check_eaten(const Scene& scene, const BandFate& fate, Findings& findings) {
  const BilletStory& story = scene.forging.story(fate.billet);
  if (!layers_lie_flat(story, story.rows.size() - 1) || !never_turned(scene.story(), scene.story().rows.size() - 1))
    return;
  const std::vector<Steel>& steels = scene.recipe.steels;
  const double depth = scene.recipe.etch.depth_mm * contrast_left(story.bars.back()->bands, steels);
  const DarkLayers dark = dark_layers(fate, steels, depth);
  if (dark.count == 0) return;
  BandList list;
  list.edges = {0};
  for (const double thickness : fate.thickness_mm) list.edges.push_back(list.edges.back() + thickness);
  list.what = fate.what;
  const double forged = dark_share(list, steels), etched = dark_share(etched_bands(list, steels, depth), steels);
  const double loss = 1 - etched / forged;
  if (loss < kNotedLoss) return;
  const Measures say(scene.recipe.units);
  std::string text = fmt::format(
      "the etch is {} deep, and the dark layers of '{}' are {} thick on average. Where layers lie flat under the face, "
      "acid eats the dark ones off the bright ones below them. Dark covers {:.0f} % of the face before the etch and "
      "{:.0f} % after it. ",
      say.relief(scene.recipe.etch.depth_mm), fate.billet, say.relief(dark.total_mm / dark.count), 100 * forged,
      100 * etched);
  if (dark.thinner > 0) text += fmt::format("{} of {} dark layers vanish there. ", dark.thinner, dark.count);
  text += "For more dark, etch for a shorter time, take fewer layers, or take thicker dark plates";
  loss >= kWarnedLoss ? findings.warn(scene.plan().place, "blade: etch", text)
                      : findings.note(scene.plan().place, "blade: etch", text);
}

/// Steps whose heat leaves a steel's forging window on one side.
struct OffSheet {
  const LedgerRow* first = nullptr;
  std::string steps;
  double worst_c = 0;
  void add(const LedgerRow& row, bool hotter) {
    if (!first) first = &row, worst_c = row.heat_c;
    steps += fmt::format("{}{}", steps.empty() ? "" : ", ", row.number);
    worst_c = hotter ? std::max(worst_c, row.heat_c) : std::min(worst_c, row.heat_c);
  }
};

bool holds(const Bar& bar, int steel) {
  for (const BandList* list : bar.leaves())
    if (std::find(list->what.begin(), list->what.end(), steel) != list->what.end()) return true;
  return false;
}

void tell_off_sheet(const std::string& steel, const Window& window, const OffSheet (&off)[3], Findings& findings) {
  const auto& [weld, hot, cold] = off;
  const auto where = [](const OffSheet& one) {  // a single step stands in the finding's heading already
    return one.steps.find(',') == std::string::npos ? std::string() : fmt::format("steps {}: ", one.steps);
  };
  if (weld.first)
    findings.note(
        weld.first->place, about_step(*weld.first),
        fmt::format("{}welding at {} is hotter than the {} at which {} starts to be forged ({}). Welds "
                    "customarily are; keep the soak short and do not draw far at that heat",
                    where(weld), both_scales(weld.worst_c), both_scales(window.high_c), steel, window.source));
  if (hot.first)
    findings.warn(hot.first->place, about_step(*hot.first),
                  fmt::format("{}{} is hotter than the {} at which {} starts to be forged ({}): grain grows and the "
                              "steel may crumble",
                              where(hot), both_scales(hot.worst_c), both_scales(window.high_c), steel, window.source));
  if (cold.first)
    findings.warn(cold.first->place, about_step(*cold.first),
                  fmt::format("{}{} is below the {} under which {} is not to be forged ({})", where(cold),
                              both_scales(cold.worst_c), both_scales(window.low_c), steel, window.source));
}

void check_windows(const Scene& scene, const BilletStory& story, Findings& findings) {
  constexpr double kSlack = 1;  // C; windows printed in F
  for (size_t s = 0; s < scene.recipe.steels.size(); ++s) {
    const Steel& steel = scene.recipe.steels[s];
    const SteelSheet* sheet = steel.sheet.get();
    if (!sheet || !sheet->forge || !holds(*story.bars.front(), int(s))) continue;
    OffSheet off[3];
    for (const LedgerRow& row : story.rows) {
      if (row.heats == 0) continue;
      if (row.heat_c > sheet->forge->high_c + kSlack) off[row.step == "weld" ? 0 : 1].add(row, true);
      if (row.heat_c < sheet->forge->low_c - kSlack) off[2].add(row, false);
    }
    const std::string name = steel.name == steel.grade ? steel.name : fmt::format("{} ({})", steel.name, steel.grade);
    tell_off_sheet(name, *sheet->forge, off, findings);
  }
}

void check_quench(const Scene& scene, Findings& findings) {
  const Hardening all = hardening(scene.recipe, scene.forging);
  for (size_t i = 0; i < all.cautions.size(); ++i) {
    if (i == all.objections) continue;  // true of every blade: the sheet and the guide say it
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
  for (const BilletStory& story : scene.forging.billets) check_windows(scene, story, findings);
  if (scene.blade_fits()) check_quench(scene, findings);
}

}  // namespace etchcast
