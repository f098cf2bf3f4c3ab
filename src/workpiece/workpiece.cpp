// What may be done to a bar, and the books of it.
#include "workpiece/workpiece.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "tape/affine.hpp"
#include "tape/pile.hpp"
#include "tape/wander.hpp"
#include "workpiece/forming.hpp"
#include "workpiece/skin.hpp"

namespace etchcast {

namespace {

/// How far the face stands over its lowest place, mm.
double unevenness(const Relief& face) { return face.highest() - face.lowest(); }

}  // namespace

Workpiece::Workpiece(Bar pile, const HandPlan& hand, const Recipe& recipe, const ForgeOptions& options)
    : bar_(std::move(pile)),
      hand_(hand),
      losses_(recipe.losses),
      tool_(recipe.shop.tool),
      say_(recipe.units),
      options_(options) {}

void Workpiece::warn(const Place& place, std::string text) {
  warnings_.push_back({Warning::Weight::warning, place, {}, std::move(text)});
}

void Workpiece::need_even(const Arguments& arguments, bool rect, bool uneven_will_do) const {
  const std::string& step = arguments.call().name;
  if (bar_.corners)
    arguments.refuse("do", fmt::format("the corners of the twisted bar still stand out here, and '{}' needs sound metal", step),
                     "square the bar up in the twist, after = \"square\", or forge it round, after = \"round\"");
  if (!bar_.even() && !uneven_will_do)
    arguments.refuse("do",
                     fmt::format("the bar is uneven here: humps stand up to {} over the hollows. '{}' needs flat faces",
                                 say_.length(std::max(unevenness(*bar_.top), unevenness(*bar_.bottom))),
                                 step),
                     "grind the humps off first ('grind'), or forge the bar flat ('flatten')");
  if (rect && bar_.section == Section::round)
    arguments.refuse("do", fmt::format("the bar is round here, and '{}' needs a flat-sided bar", step),
                     "draw it to a thickness and width first");
}

double Workpiece::heat_of(const Arguments& arguments, bool welding) const {
  if (arguments.has("heat")) return arguments.number("heat");
  return welding ? 1260 : last_heat_c_;
}

void Workpiece::heat_down(const Arguments& arguments, bool welding, const Sides& to, double strain, int setting) {
  // Common practice: welded work is forged at 1065 to 1095 C and not below 900 C. A weld is squeezed while it is near
  // welding heat: 1000 C and up (estimate).
  const double stop_c = welding ? 1000 : 900;
  const int heats = heats_for(
      {length(), width(), thickness(), to, strain, heat_of(arguments, welding), stop_c, tool_});
  book_heats(arguments, welding, setting + heats, to, setting);
}

void Workpiece::book_heats(const Arguments& arguments, bool welding, int heats, const Sides& to, int setting) {
  row_.heats = arguments.has("heats") ? int(arguments.number("heats")) : heats;
  row_.setting = std::clamp(row_.heats - 1, 0, setting);
  row_.heat_c = heat_of(arguments, welding);
  if (!welding) last_heat_c_ = row_.heat_c;
  fired_ = fired_ || row_.heats > 0;
  if (arguments.has("soak")) row_.soak_s = arguments.number("soak");
  row_.scale_mm = row_.heats * (welding ? losses_.scale_weld_mm : losses_.scale_forge_mm);
  if (row_.scale_mm > 0) lose_scale(arguments, mean_thinning(to, row_.heats, row_.setting));
}

void Workpiece::lose_scale(const Arguments& arguments, const Thinning& thinning) {
  const double s = row_.scale_mm, z = s * thinning.through, y = s * thinning.across, x = s * thinning.along;
  if (2 * z >= thickness() || 2 * y >= width() || 2 * x >= length())
    arguments.refuse("do",
                     fmt::format("{} heats would turn the whole bar to scale: {} off each face of a bar {} thick",
                                 row_.heats, say_.length(z), say_.length(thickness())),
                     "start thicker, or take fewer heats");
  if (bar_.even()) return cut(z, z, y, x, x);
  // An uneven bar keeps its plan in the books: its ends and sides are not followed to a twentieth of a millimetre.
  const auto repeat = repeat_;  // scale changes where the faces are, not how they repeat
  const auto holes = holes_;
  set_faces(bar_.bottom->raised(s), bar_.top->raised(-s));
  repeat_ = repeat, holes_ = holes;
  set_size(length(), width(), thickness() - 2 * s);
  settle_volume(bar_.volume_mm3 - 2 * s * length() * width());
}

void Workpiece::weld_handle() { handle_ = true; }

void Workpiece::cut_handle(std::string_view with) {
  if (handle_) note(fmt::format("the handle is cut off {}", with));
  handle_ = false;
}

void Workpiece::ready_to_weld(double clean) {
  cut_handle("with the heel end's crop");
  if (fired_) note(skin_note(clean, say_));
}

void Workpiece::settle_volume(double volume_mm3) {
  row_.removed_mm3 += bar_.volume_mm3 - volume_mm3;
  bar_.volume_mm3 = volume_mm3;
}

void Workpiece::set_faces(Relief bottom, Relief top) {
  bar_.bottom = std::make_shared<const Relief>(std::move(bottom));
  bar_.top = std::make_shared<const Relief>(std::move(top));
  pressing_.valid = false;
  repeat_.reset();
  holes_.reset();
}

void Workpiece::push(MapPtr map) {
  const auto* joining = dynamic_cast<const MapOf<Affine>*>(map.get());
  const auto* last = bar_.maps.empty() ? nullptr : dynamic_cast<const MapOf<Affine>*>(bar_.maps.back().get());
  if (joining && last)
    bar_.maps.back() = make_map(Affine::joined(last->motion(), joining->motion()));
  else
    bar_.maps.push_back(std::move(map));
  pressing_.valid = false;
}

void Workpiece::drawn_out(double along, double across) {
  row_.along *= along, row_.across *= across;
  if (rungs_) rungs_ = rungs_->stretched(along, across);
}

void Workpiece::set_repeat(const std::optional<Repeat>& repeat) {
  repeat_ = repeat;
  if (repeat) rungs_ = Rungs{repeat->finest_mm, repeat->angle_rad};
}

void Workpiece::stretch(double along, double across, double through) {
  row_.reduction /= through;
  drawn_out(along, across);
  if (bar_.flat_layers() && !options_.keep_every_map) {
    for (double& edge : bar_.bands.edges) edge *= through;
  } else {
    push(make_map(Affine{{1 / along, 1 / across, 1 / through}, {0, 0, 0}}));
  }
  set_size(length() * along, width() * across, thickness() * through);
  if (bar_.section != Section::rect) return;
  const auto repeat = repeat_;
  set_faces(bar_.bottom->stretched(along, across, through), bar_.top->stretched(along, across, through));
  if (repeat) set_repeat(repeat->stretched(along, across));
}

void Workpiece::cut(double below, double above, double sides, double heel_end, double tip_end) {
  if (!bar_.even()) return cut_uneven(sides, heel_end, tip_end);
  const double l = length() - heel_end - tip_end, w = width() - 2 * sides, t = thickness() - below - above;
  if (bar_.flat_layers() && !options_.keep_every_map)
    bar_.bands = trimmed(bar_.bands, below, above);
  else
    push(make_map(Affine{{1, 1, 1}, {heel_end, 0, (below - above) / 2}}));
  skin_off_ = {skin_off_.bottom + below, skin_off_.top + above, skin_off_.sides + sides};
  const double share = (l / length()) * (w / width()) * (t / thickness());
  set_size(l, w, t);
  if (bar_.section == Section::rect) set_faces(Relief::flat(-t / 2), Relief::flat(t / 2));
  settle_volume(bar_.volume_mm3 * share);
}

void Workpiece::cut_uneven(double sides, double heel_end, double tip_end) {
  const double mean = heights(bar_).mean, volume = bar_.volume_mm3;
  const double l = length() - heel_end - tip_end, w = width() - 2 * sides, share = (l / length()) * (w / width());
  auto repeat = repeat_;
  if (repeat) repeat->place_mm -= heel_end * std::cos(repeat->angle_rad);
  if (!bar_.flat_layers() || options_.keep_every_map) push(make_map(Affine{{1, 1, 1}, {heel_end, 0, 0}}));
  set_faces(bar_.bottom->cut_back(heel_end), bar_.top->cut_back(heel_end));
  if (repeat) set_repeat(repeat);
  set_size(l, w, thickness());
  settle_volume(volume * share * heights(bar_).mean / mean);
}

void Workpiece::level_faces() {
  constexpr double kFlat = 0.03;  // mm: what the next blow takes out
  if (bar_.even() || std::max(unevenness(*bar_.top), unevenness(*bar_.bottom)) > kFlat) return;
  const double t = bar_.volume_mm3 / (length() * width());
  recentre((bar_.top->highest() + bar_.top->lowest() + bar_.bottom->highest() + bar_.bottom->lowest()) / 4);
  set_faces(Relief::flat(-t / 2), Relief::flat(t / 2));
  set_size(length(), width(), t);
}

void Workpiece::pile(int pieces, Flip flip, double crop, double kerf, double clean) {
  rungs_.reset();
  ready_to_weld(clean);
  cut(clean, clean, 0, crop, crop);
  const double piece = (length() - (pieces - 1) * kerf) / pieces;
  settle_volume(bar_.volume_mm3 * piece * pieces / length());
  if (bar_.flat_layers() && !options_.keep_every_map) {
    const BandList even = bar_.bands, odd = flip == Flip::over || flip == Flip::end ? turned_over(even) : even;
    BandList all;
    all.billet = even.billet;
    for (int k = 0; k < pieces; ++k) {
      const BandList& list = k % 2 ? odd : even;
      for (int i = 0; i < list.size(); ++i) append_band(all, list.edges[i + 1] - list.edges[i], list.what[i]);
    }
    all.nominal = even.nominal * pieces;
    bar_.bands = std::move(all);
  } else {
    push(make_map(RestackMotion{pieces, piece, kerf, thickness(), flip == Flip::over, flip == Flip::end, flip == Flip::spin}));
    bar_.bands.nominal *= pieces;
  }
  set_size(piece, width(), thickness() * pieces);
  set_faces(Relief::flat(-thickness() / 2), Relief::flat(thickness() / 2));
}

void Workpiece::fold(double crop, double clean) {
  rungs_.reset();
  ready_to_weld(clean);
  cut(clean, clean, 0, crop, crop);
  if (bar_.flat_layers() && !options_.keep_every_map) {
    const BandList upper = turned_over(bar_.bands);
    for (int i = 0; i < upper.size(); ++i) append_band(bar_.bands, upper.edges[i + 1] - upper.edges[i], upper.what[i]);
  } else {
    push(make_map(FoldMotion{length(), thickness()}));
  }
  bar_.bands.nominal *= 2;
  set_size(length() / 2, width(), thickness() * 2);
  set_faces(Relief::flat(-thickness() / 2), Relief::flat(thickness() / 2));
}

void Workpiece::turn(int quarters) {
  const SkinOff off = skin_off_;
  skin_off_ = quarters % 2 ? SkinOff{off.sides, off.sides, std::min(off.bottom, off.top)}
                           : SkinOff{off.top, off.bottom, off.sides};
  if (quarters % 2) lay_wander();  // the last moment its layers lie across the thickness
  if (quarters == 2 && bar_.flat_layers() && !options_.keep_every_map)
    bar_.bands = turned_over(bar_.bands);
  else
    push(make_map(QuarterTurn{quarters}));
  if (quarters % 2) {
    rungs_.reset();
    set_size(length(), thickness(), width());
    set_faces(Relief::flat(-thickness() / 2), Relief::flat(thickness() / 2));
    return;
  }
  if (rungs_) rungs_->angle = -rungs_->angle;
  if (!bar_.even()) turn_faces_over();
}

/// Upside down: each face becomes the other, seen from below.
void Workpiece::turn_faces_over() {
  const Bar before = bar_;
  auto repeat = repeat_;
  if (repeat) repeat->angle_rad = -repeat->angle_rad;
  set_faces(before.top->turned_over(), before.bottom->turned_over());
  set_repeat(repeat);
}

void Workpiece::lay_wander() {
  if (wander_laid_) return;
  wander_laid_ = true;
  if (hand_.even || hand_.wander_mm <= 0) return;
  push(make_map(WanderMotion(hand_.wander_mm, hand_.reach_mm, thickness(), hand_.seed)));
}

void Workpiece::bend(MapPtr map) {
  lay_wander();
  push(std::move(map));
}

void Workpiece::recentre(double z) {
  if (z != 0) push(make_map(Affine{{1, 1, 1}, {0, 0, z}}));
}

void Workpiece::undo_pressing() {
  const double volume = bar_.volume_mm3;
  const Bar before = pressing_.before;
  bar_ = before;
  bar_.volume_mm3 = volume;
  pressing_.valid = false;
}

}  // namespace etchcast
