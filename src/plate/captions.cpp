// Words of the plate.
#include "plate/captions.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "base/measures.hpp"

namespace etchcast {

namespace {

/// Messages are plain letters for a terminal; a picture has the signs of print.
std::string printed(std::string text) {
  for (const auto& [plain, sign] : {std::pair{" x ", " × "}, {" um", " µm"}})
    for (size_t at = 0; (at = text.find(plain, at)) != std::string::npos; at += std::string(sign).size())
      text.replace(at, std::string(plain).size(), sign);
  return text;
}

/// Whether a step up to then was forecast by less than the model.
bool rough(const Forging& forging, const Moment& m) {
  for (size_t i = 0; i <= m.billet; ++i)
    for (size_t step = 0; step < forging.billets[i].rows.size() && (i < m.billet || step <= m.step); ++step)
      if (!forging.billets[i].rows[step].rough.empty()) return true;
  return false;
}

/// The steels that are in the bar.
std::string steels_text(const Recipe& recipe, const Bar& bar) {
  std::string text;
  for (size_t k = 0; k < recipe.steels.size(); ++k) {
    const auto holds = [k](const BandList* list) { return std::ranges::find(list->what, int(k)) != list->what.end(); };
    if (!std::ranges::any_of(bar.leaves(), holds)) continue;
    const Steel& steel = recipe.steels[k];
    text += (text.empty() ? "" : " + ") + (steel.grade.empty() ? steel.name : steel.grade);
  }
  return text;
}

/// Layers are the same everywhere until a step bends them; from then on their number through the thickness depends on
/// the place.
std::string layers_text(const BilletStory& story, size_t step) {
  std::optional<size_t> flat;
  for (size_t k = 0;
       k <= step && story.bars[k]->maps.empty() && story.rows[k].layers_least == story.rows[k].layers_most; ++k)
    flat = k;
  if (flat == step) return count_text(story.rows[step]);
  const char* when = step + 1 == story.rows.size() ? "of the finished bar" : "at this step";
  if (!flat) return fmt::format("{} through the thickness {}", count_text(story.rows[step]), when);
  const LedgerRow& now = story.rows[step];
  const std::string counted = now.layers_least == now.layers_most
                                  ? fmt::format("{}", now.layers_most)
                                  : fmt::format("{} to {}", now.layers_least, now.layers_most);
  const LedgerRow& bent = story.rows[*flat + 1];
  return fmt::format("{} before step {} ({}), {} through the thickness {}", count_text(story.rows[*flat]), bent.number,
                     bent.step, counted, when);
}

}  // namespace

std::string count_text(const LedgerRow& row) {
  if (row.layers_least != row.layers_most) return fmt::format("{} to {} layers", row.layers_least, row.layers_most);
  return fmt::format("{} layer{}", row.layers_most, row.layers_most == 1 ? "" : "s");
}

std::string sizes_text(const Recipe& recipe, std::initializer_list<double> mm) {
  return printed(Measures(recipe.units).lengths(mm));
}

std::vector<std::string> subtitle(const Recipe& recipe, const Forging& forging, const Moment& m) {
  const BilletStory& story = forging.billets[m.billet];
  const Measures say(recipe.units);
  const double wander = recipe.hand.even ? 0 : recipe.hand.wander_mm, depth = recipe.etch.depth_mm;
  std::vector<std::string> parts{steels_text(recipe, *story.bars[m.step]), layers_text(story, m.step)};
  parts.push_back(depth > 0 ? fmt::format("etch {} deep", printed(say.relief(depth))) : "etch without relief");
  parts.push_back(wander > 0 ? fmt::format("layers wander {}", say.length(wander)) : "perfectly even hand");
  if (rough(forging, m)) parts.push_back("rough forecast");
  return parts;
}

std::string moment_text(const Forging& forging, const Moment& m) {
  const LedgerRow& row = forging.billets[m.billet].rows[m.step];
  return row.number == 0 ? fmt::format("{}: the stack", row.billet)
                         : fmt::format("{}: after step {}, {}{}", row.billet, row.number, row.step,
                                       row.id.empty() ? "" : " '" + row.id + "'");
}

namespace {

constexpr double kInch = 25.4;

struct InchLength {
  double inch;
  const char* text;
};
constexpr InchLength kInches[] = {{1 / 16.0, "1/16"}, {1 / 8.0, "1/8"}, {1 / 4.0, "1/4"}, {1 / 2.0, "1/2"},
                                  {1, "1"},           {2, "2"},         {3, "3"},         {6, "6"},
                                  {12, "12"},         {24, "24"},       {48, "48"}};
constexpr double kMillimetres[] = {1, 2, 5, 10, 20, 25, 50, 100, 200, 500, 1000};
constexpr double kStretch = 1.15;  // how far above the length wanted one may be taken

}  // namespace

ScaleLength scale_length(double wanted_mm, System first) {
  if (first == System::inch) {
    InchLength best = kInches[0];
    for (const InchLength& length : kInches)
      if (length.inch * kInch <= wanted_mm * kStretch) best = length;
    return {best.inch * kInch, fmt::format("{} in ({:.3g} mm)", best.text, best.inch * kInch)};
  }
  double best = kMillimetres[0];
  for (const double length : kMillimetres)
    if (length <= wanted_mm * kStretch) best = length;
  return {best, fmt::format("{:g} mm ({:.2f} in)", best, best / kInch)};
}

}  // namespace etchcast
