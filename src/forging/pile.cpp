// Laying up a stack.
#include "forging/pile.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include <fmt/format.h>

#include "workpiece/relief.hpp"
#include "workpiece/workpiece.hpp"

namespace etchcast {

namespace {

/// Two names for one steel are one metal in the bar: plates of it weld into one layer, and rules speak of it once.
int steel_index(const Recipe& recipe, const std::string& name) {
  for (size_t i = 0; i < recipe.steels.size(); ++i)
    if (recipe.steels[i].name == name) return int(same_metal(recipe, i));
  return -1;
}

std::shared_ptr<const Bar> bar_named(const Forging& so_far, const std::string& name) {
  for (const BilletStory& story : so_far.billets)
    if (story.name == name) return story.bars.back();
  return nullptr;
}

[[noreturn]] void refuse(const BilletPlan& plan, const StackEntry& entry, std::string message, std::string hint) {
  throw Error(Fault::recipe, {{entry.place, "billet." + plan.name + ".stack", std::move(message), std::move(hint), {}}});
}

/// One length of an earlier bar, ready to be laid on.
struct Length {
  std::shared_ptr<const Bar> bar;
  double length, width, thickness;  ///< as laid
  double along, across, through;    ///< stretch from the bar to the piece
  double start;                     ///< where it was cut, from the bar's heel
  double cut;                       ///< its length before any drawing
};

Length cut_length(const Recipe& recipe, const BilletPlan& plan, const StackEntry& entry, std::shared_ptr<const Bar> bar, int uses, int index) {
  const Losses& lost = recipe.losses;
  if (!bar->even()) refuse(plan, entry, fmt::format("the bar '{}' is still uneven", entry.name), "grind or flatten it at the end of its own steps");
  if (bar->section == Section::round) refuse(plan, entry, fmt::format("the bar '{}' is round", entry.name), "draw it flat-sided at the end of its own steps");
  Length piece;
  piece.bar = bar;
  piece.cut = (bar->length_mm - 2 * lost.crop_mm - (uses - 1) * lost.kerf_mm) / uses;
  const double clean = bar->thickness_mm - 2 * lost.clean_mm;
  if (piece.cut < 2 || clean <= 0)
    refuse(plan, entry, fmt::format("the bar '{}' is too small: {:.1f} x {:.2f} mm, cropped, cleaned and cut in {}", entry.name, bar->length_mm, bar->thickness_mm, uses),
           "make it longer or use it fewer times");
  piece.thickness = entry.thickness_mm.value_or(clean);
  piece.through = piece.thickness / clean;
  piece.across = std::pow(1 / piece.through, 0.3);  // drawn to the stated thickness, spreading as 'draw' does
  piece.along = 1 / (piece.through * piece.across);
  piece.length = piece.cut * piece.along;
  piece.width = bar->width_mm * piece.across;
  piece.start = lost.crop_mm + index * (piece.cut + lost.kerf_mm);
  return piece;
}

void append_bar(BandList& list, const BilletPlan& plan, const StackEntry& entry, const Length& piece, double pile_length) {
  const Flip flip = entry.flip;
  const bool over = flip == Flip::over || flip == Flip::end;
  list.nominal += piece.bar->bands.nominal;
  if (piece.bar->flat_layers()) {
    const double clean = piece.thickness / piece.through, skin = (piece.bar->thickness_mm - clean) / 2;
    BandList own = trimmed(piece.bar->bands, skin, skin);
    if (over) own = turned_over(own);
    const std::string many = too_many_bands(double(list.size()) + own.size());
    if (!many.empty()) refuse(plan, entry, many, "fewer bars in the stack");
    for (int i = 0; i < own.size(); ++i) append_band(list, (own.edges[i + 1] - own.edges[i]) * piece.through, own.what[i]);
    return;
  }
  Inset inset;
  inset.bar = piece.bar;
  const bool reversed = flip == Flip::end || flip == Flip::spin, mirrored = flip == Flip::over || flip == Flip::spin;
  inset.scale[0] = (reversed ? -1 : 1) / piece.along;
  inset.scale[1] = (mirrored ? -1 : 1) / piece.across;
  inset.scale[2] = (over ? -1 : 1) / piece.through;
  inset.shift[0] = piece.start + (reversed ? pile_length / piece.along : 0);
  list.insets.push_back(inset);
  append_band(list, piece.thickness, -int(list.insets.size()));
}

/// Seams of an earlier flat bar have been through its heats already: the mean of the squares over all seams of the pile.
double soft_as_laid(const BandList& list, const std::vector<Length>& pieces) {
  double sum = 0;
  for (const Length& piece : pieces)
    if (piece.bar && piece.bar->flat_layers()) sum += (piece.bar->bands.size() - 1) * std::pow(piece.bar->bands.soft_mm * piece.through, 2);
  return std::sqrt(sum / std::max(1, list.size() - 1));
}

void note_trim(Pile& pile, const StackEntry& entry, double length, double width) {
  const double over_length = length - pile.bar.length_mm, over_width = width - pile.bar.width_mm;
  std::string what;
  if (over_length > 0.5) what = fmt::format("{:.1f} mm in length", over_length);
  if (over_width > 0.5) what += fmt::format("{}{:.1f} mm in width", what.empty() ? "" : " and ", over_width);
  if (what.empty()) return;
  const std::string note = fmt::format("'{}' trimmed by {} to the pile's footprint", entry.name, what);
  if (std::find(pile.notes.begin(), pile.notes.end(), note) == pile.notes.end()) pile.notes.push_back(note);  // once for all lengths
}

}  // namespace

Pile lay_pile(const Recipe& recipe, const BilletPlan& plan, const Forging& so_far) {
  Pile pile;
  std::map<std::string, int> uses, used;
  for (const StackEntry& entry : plan.stack) ++uses[entry.name];
  std::vector<Length> pieces(plan.stack.size());
  // A footprint left open is that of the bars in the pile.
  pile.bar.length_mm = plan.length_mm > 0 ? plan.length_mm : 1e9, pile.bar.width_mm = plan.width_mm > 0 ? plan.width_mm : 1e9;
  for (size_t i = 0; i < plan.stack.size(); ++i) {
    const StackEntry& entry = plan.stack[i];
    if (const auto bar = bar_named(so_far, entry.name)) {
      pieces[i] = cut_length(recipe, plan, entry, bar, uses[entry.name], used[entry.name]++);
      pile.bar.length_mm = std::min(pile.bar.length_mm, pieces[i].length);
      pile.bar.width_mm = std::min(pile.bar.width_mm, pieces[i].width);
    }
  }
  if (pile.bar.length_mm < plan.length_mm - 0.5 || pile.bar.width_mm < plan.width_mm - 0.5)
    pile.notes.push_back(fmt::format("plates trimmed to {:.1f} x {:.1f} mm, the smallest footprint in the pile", pile.bar.length_mm, pile.bar.width_mm));
  BandList& list = pile.bar.bands;
  list.billet = plan.name;
  for (size_t i = 0; i < plan.stack.size(); ++i) {
    const StackEntry& entry = plan.stack[i];
    if (pieces[i].bar) {
      append_bar(list, plan, entry, pieces[i], pile.bar.length_mm);
      note_trim(pile, entry, pieces[i].length, pieces[i].width);
      continue;
    }
    append_band(list, entry.thickness_mm.value_or(1), steel_index(recipe, entry.name));
    ++list.nominal;
  }
  list.soft_mm = soft_as_laid(list, pieces);
  pile.bar.thickness_mm = list.total();
  pile.bar.volume_mm3 = pile.bar.length_mm * pile.bar.width_mm * pile.bar.thickness_mm;
  pile.bar.bottom = std::make_shared<const Relief>(Relief::flat(-list.total() / 2));
  pile.bar.top = std::make_shared<const Relief>(Relief::flat(list.total() / 2));
  return pile;
}

double mean_density(const Bar& bar, const std::vector<Steel>& steels) {
  const BandList& list = bar.bands;
  double mass = 0;
  for (int i = 0; i < list.size(); ++i) {
    const int what = list.what[i];
    mass += (list.edges[i + 1] - list.edges[i]) * (what >= 0 ? steels[what].density : mean_density(*list.insets[-1 - what].bar, steels));
  }
  return mass / list.total();
}

}  // namespace etchcast
