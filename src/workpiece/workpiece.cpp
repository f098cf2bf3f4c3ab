// What may be done to a bar, and the books of it.
#include "workpiece/workpiece.hpp"

#include <cmath>

#include <fmt/format.h>

#include "tape/affine.hpp"
#include "tape/pile.hpp"
#include "tape/wander.hpp"

namespace etchcast {

Workpiece::Workpiece(Bar pile, const HandPlan& hand, const Recipe& recipe, const ForgeOptions& options)
    : bar_(std::move(pile)), hand_(hand), losses_(recipe.losses), say_(recipe.units), options_(options) {}

void Workpiece::warn(const Place& place, std::string text) {
  warnings_.push_back({Warning::Weight::warning, place, {}, std::move(text)});
}

void Workpiece::need_even(const Arguments& arguments, bool rect, bool uneven_will_do) const {
  if (!bar_.even() && !uneven_will_do)
    arguments.refuse("do", fmt::format("the bar is uneven here, and '{}' needs flat faces", arguments.call().name),
                     "grind it or forge it flat ('flatten') first");
  if (rect && bar_.section == Section::round)
    arguments.refuse("do", fmt::format("the bar is round here, and '{}' needs a flat-sided bar", arguments.call().name),
                     "draw it to a thickness and width first");
}

void Workpiece::heat(const Arguments& arguments, bool welding, int heats_by_default) {
  row_.heats = arguments.has("heats") ? int(arguments.number("heats")) : heats_by_default;
  row_.heat_c = arguments.has("heat") ? arguments.number("heat") : (welding ? 1260 : last_heat_c_);
  if (!welding) last_heat_c_ = row_.heat_c;
  if (arguments.has("soak")) row_.soak_s = arguments.number("soak");
  row_.scale_mm = row_.heats * (welding ? losses_.scale_weld_mm : losses_.scale_forge_mm);
  const double s = row_.scale_mm;
  if (s <= 0) return;
  if (2 * s >= thickness() || 2 * s >= width() || 2 * s >= length())
    arguments.refuse("do", fmt::format("{} heats would burn the whole bar to scale ({:.2f} mm a face of {:.2f} mm)",
                                       row_.heats, s, thickness()), "start thicker, or take fewer heats");
  if (bar_.even()) return cut(s, s, s, s, s);
  // An uneven bar keeps its plan in the books: its ends and sides are not followed to a twentieth of a millimetre.
  const auto repeat = repeat_;  // scale changes where the faces are, not how they repeat
  const auto holes = holes_;
  set_faces(bar_.bottom->raised(s), bar_.top->raised(-s));
  repeat_ = repeat, holes_ = holes;
  set_size(length(), width(), thickness() - 2 * s);
  settle_volume(bar_.volume_mm3 - 2 * s * length() * width());
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

void Workpiece::stretch(double along, double across, double through) {
  row_.reduction /= through;
  if (bar_.flat_layers() && !options_.keep_every_map) {
    for (double& edge : bar_.bands.edges) edge *= through;
  } else {
    push(make_map(Affine{{1 / along, 1 / across, 1 / through}, {0, 0, 0}}));
  }
  set_size(length() * along, width() * across, thickness() * through);
  if (bar_.section == Section::rect) set_faces(Relief::flat(-thickness() / 2), Relief::flat(thickness() / 2));
}

void Workpiece::cut(double below, double above, double sides, double heel_end, double tip_end) {
  const double l = length() - heel_end - tip_end, w = width() - 2 * sides, t = thickness() - below - above;
  if (bar_.flat_layers() && !options_.keep_every_map)
    bar_.bands = trimmed(bar_.bands, below, above);
  else
    push(make_map(Affine{{1, 1, 1}, {heel_end, 0, (below - above) / 2}}));
  const double share = (l / length()) * (w / width()) * (t / thickness());
  set_size(l, w, t);
  if (bar_.section == Section::rect) set_faces(Relief::flat(-t / 2), Relief::flat(t / 2));
  settle_volume(bar_.volume_mm3 * share);
}

void Workpiece::pile(int pieces, Flip flip, double crop, double kerf, double clean) {
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
  if (quarters == 2 && bar_.flat_layers() && !options_.keep_every_map) {
    bar_.bands = turned_over(bar_.bands);
    return;
  }
  if (quarters % 2) lay_wander();  // the last moment its layers lie across the thickness
  push(make_map(QuarterTurn{quarters}));
  if (quarters % 2) {
    set_size(length(), thickness(), width());
    set_faces(Relief::flat(-thickness() / 2), Relief::flat(thickness() / 2));
  } else if (!bar_.even()) {
    // Upside down: each face becomes the other, seen from below.
    const Bar before = bar_;
    auto repeat = repeat_;
    if (repeat) repeat->angle_rad = -repeat->angle_rad;
    set_faces(before.top->turned_over(), before.bottom->turned_over());
    repeat_ = repeat;
  }
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
