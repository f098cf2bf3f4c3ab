// Faces formed by tools: plane-section pressing, cutting, forging flat.
#include "workpiece/forming.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "workpiece/plan.hpp"

namespace etchcast {

double ToolFace::reach(double x, double y) const {
  return ridged ? along(x * std::cos(angle_rad) + y * std::sin(angle_rad)) : over(x, y);
}

namespace {

/// Old faces, moved along with a bar that has grown from `old_length` to the plan's, met by the tools.
struct Meeting {
  const Bar& old;
  const ToolPair& tools;
  bool preview = false;  ///< nodes of a plan may lie further apart
  double level_bottom = old.bottom->lowest(), level_top = old.top->highest();

  Faces faces(const Plan& plan, double rise) const {
    Faces f;
    f.bottom.resize(plan.size()), f.top.resize(plan.size());
    const double back = old.length_mm / plan.length;
    for (size_t i = 0; i < plan.size(); ++i) {
      double x, y;
      plan.place(i, x, y);
      f.top[i] = (*old.top)(x * back, y) + (tools.top ? rise : 0);
      f.bottom[i] = (*old.bottom)(x * back, y) - (tools.bottom ? rise : 0);
      if (tools.top) f.top[i] = std::min(f.top[i], level_top - tools.top->reach(x, y));
      if (tools.bottom) f.bottom[i] = std::max(f.bottom[i], level_bottom + tools.bottom->reach(x, y));
    }
    return f;
  }
  bool ridged(double* angle) const {
    bool first = true;
    double common = 0;
    const auto agree = [&](double a) {
      if (!first && std::abs(a - common) > 1e-9) return false;
      first = false;
      common = a;
      return true;
    };
    for (const auto* tool : {&tools.bottom, &tools.top})
      if (*tool && (!(*tool)->ridged || !agree((*tool)->angle_rad))) return false;
    for (const Relief* face : {old.bottom.get(), old.top.get()}) {
      if (face->form() == Relief::Form::free) return false;
      if (face->form() == Relief::Form::ridged && !agree(face->angle())) return false;
    }
    *angle = common;
    return true;
  }
  double feature() const {
    double least = 8;
    for (const auto* tool : {&tools.bottom, &tools.top})
      if (*tool) least = std::min(least, (*tool)->feature_mm);
    // What stands on the old faces already is told by their own tables' nodes.
    for (const Relief* face : {old.bottom.get(), old.top.get()})
      if (face->form() == Relief::Form::free) least = std::min(least, 8 * face->step());
    return least;
  }
};

Plan plan_for(const Meeting& meeting, double length, double coarseness) {
  double angle = 0;
  const bool ridged = meeting.ridged(&angle);
  if (meeting.preview && !ridged) coarseness *= 2.5;
  return Plan(ridged, angle, length, meeting.old.width_mm, meeting.feature(), coarseness);
}

/// Before anything moves: a table as long and wide as the bar must be able to tell the smallest thing.
void need_fine(const Meeting& meeting, const Measures& say, const Arguments& arguments, std::string_view key) {
  const Bar& bar = meeting.old;
  if (plan_for(meeting, bar.length_mm, 1).fine) return;
  arguments.refuse(key,
                   fmt::format("the smallest shape on the faces is {} wide. A bar of {} has room for too many of them: "
                               "they cannot be followed one by one",
                               say.length(meeting.feature()), say.lengths({bar.length_mm, bar.width_mm})),
                   "work a shorter bar: the pattern is the same all along");
}

/// How far untouched faces must rise if the bar may not lengthen.
double held_rise(const Meeting& meeting, double length, double mean_before, const Arguments& arguments) {
  // Bracketed on a coarse plan, finished by secants on the fine one, which costs much more a look.
  const Plan coarse = plan_for(meeting, length, 4), fine = plan_for(meeting, length, 1);
  const auto missing = [&](const Plan& plan, double rise) { return mean_height(plan, meeting.faces(plan, rise)) - mean_before; };
  double low = 0, high = meeting.old.thickness_mm;
  if (missing(coarse, high) < -1e-9 * mean_before)
    arguments.refuse("ends", "the grooves of the die are full before it is down, and the metal has nowhere to go",
                     "press less deep, or let the bar lengthen: ends = \"free\"");
  for (int round = 0; round < 40; ++round) {
    const double middle = (low + high) / 2;
    (missing(coarse, middle) < 0 ? low : high) = middle;
  }
  double before = low, rise = low + 1e-3 * meeting.old.thickness_mm, off_before = missing(fine, before), off = missing(fine, rise);
  for (int round = 0; round < 6 && std::abs(off) > 1e-10 * mean_before && off != off_before; ++round) {
    const double next = rise - off * (rise - before) / (off - off_before);
    before = rise, off_before = off;
    rise = std::clamp(next, 0.0, meeting.old.thickness_mm);
    off = missing(fine, rise);
  }
  return rise;
}

}  // namespace

void need_metal(double left, double thickness, const Measures& say, const Arguments& arguments, std::string_view key) {
  if (left < thickness / 20)
    arguments.refuse(key,
                     left <= 0 ? fmt::format("this is deeper than the bar: the tools would meet in a bar of {}", say.length(thickness))
                               : fmt::format("only {} of {} would be left between the tools", say.length(left), say.length(thickness)),
                     fmt::format("stay below {} from each side that is worked", say.length(thickness * 0.45)));
}

void press_faces(Workpiece& w, const ToolPair& tools, bool held, const Arguments& arguments, std::string_view key) {
  w.lay_wander();
  const Bar old = w.bar();
  const Meeting meeting{old, tools, w.preview()};
  need_fine(meeting, w.say(), arguments, key);
  const double volume = old.volume_mm3;
  const double mean_before = heights(old).mean;
  double length = old.length_mm, rise = 0;
  if (held) rise = held_rise(meeting, length, mean_before, arguments);
  for (int round = 0; round < 8 && !held; ++round) {
    const Plan plan = plan_for(meeting, length, round < 7 ? 4 : 1);
    const Faces f = meeting.faces(plan, 0);
    need_metal(least_height(f), old.thickness_mm, w.say(), arguments, key);
    length = old.length_mm * mean_before / mean_height(plan, f);
  }
  const Plan plan = plan_for(meeting, length, 1);
  const Faces f = meeting.faces(plan, rise);
  need_metal(least_height(f), old.thickness_mm, w.say(), arguments, key);

  // Begin from an even bar: the one before the last pressing if its faces are as the die left them, else forge the
  // present faces flat in thought. Both are exact; the first keeps the list of maps short.
  Bar start = old;
  if (w.pressing().valid) {
    w.undo_pressing();
    start = w.bar();
  } else if (!old.even()) {
    w.bend(evened(old, mean_before, w.preview()));
    start = w.bar();
    start.thickness_mm = mean_before;
  }
  // Numbers of the table must agree with each other to rounding, so the even bar's length follows from the mean height.
  const double length_before = length * mean_height(plan, f) / start.thickness_mm;
  const MapPtr map = face_map(plan, f, start.thickness_mm, length_before);
  w.bend(map);
  w.set_faces(as_relief(plan, f.bottom), as_relief(plan, f.top));
  const auto [low, high] = std::pair{w.bar().bottom->lowest(), w.bar().top->highest()};
  w.set_size(length, old.width_mm, high - low);
  w.settle_volume(volume);
  w.drawn_out(length / old.length_mm, 1);
  w.row().reduction = old.thickness_mm / (old.thickness_mm - (mean_before - mean_height(plan, f)));
  if (start.even()) w.pressing() = {start, map, true};
}

void cut_faces(Workpiece& w, const ToolPair& tools, const Arguments& arguments, std::string_view key) {
  const Bar old = w.bar();
  const Meeting meeting{old, tools, w.preview()};
  need_fine(meeting, w.say(), arguments, key);
  const Plan plan = plan_for(meeting, old.length_mm, 1);
  const Faces f = meeting.faces(plan, 0);
  need_metal(least_height(f), old.thickness_mm, w.say(), arguments, key);
  w.set_faces(as_relief(plan, f.bottom), as_relief(plan, f.top));
  w.settle_volume(old.volume_mm3 * mean_height(plan, f) / heights(old).mean);
}

namespace {

/// Flat dies that come down to `thickness` from both sides alike.
ToolPair platens(const Bar& bar, double thickness) {
  ToolFace face;
  if (bar.top->form() == Relief::Form::ridged) face.angle_rad = bar.top->angle();
  if (bar.bottom->form() == Relief::Form::ridged) face.angle_rad = bar.bottom->angle();
  face.along = [down = (bar.top->highest() - bar.bottom->lowest() - thickness) / 2](double) { return down; };
  return {face, face};
}

}  // namespace

void forge_flat(Workpiece& w, double thickness, const Arguments& arguments) {
  const Bar old = w.bar();
  if (thickness > heights(old).least * (1 + 1e-6)) return press_faces(w, platens(old, thickness), false, arguments, "thickness");
  const Meeting untouched{old, ToolPair{}, w.preview()};
  need_fine(untouched, w.say(), arguments, "thickness");
  Plan plan = plan_for(untouched, old.length_mm, 1);
  const Faces f = untouched.faces(plan, 0);
  const double mean = mean_height(plan, f), length = old.length_mm * mean / thickness;
  w.bend(std::make_shared<Reversed>(face_map(plan, f, thickness, length)));
  w.set_size(length, old.width_mm, thickness);
  w.set_faces(Relief::flat(-thickness / 2), Relief::flat(thickness / 2));
  w.row().reduction = mean / thickness;
  w.drawn_out(mean / thickness, 1);
}

MapPtr evened(const Bar& bar, double thickness, bool preview) {
  const Meeting untouched{bar, ToolPair{}, preview};
  const Plan plan = plan_for(untouched, bar.length_mm, 1);
  return std::make_shared<Reversed>(face_map(plan, untouched.faces(plan, 0), thickness, bar.length_mm));
}

Heights heights(const Bar& bar) {
  const Meeting meeting{bar, ToolPair{}};
  const Plan plan = plan_for(meeting, bar.length_mm, 1);
  const Faces f = meeting.faces(plan, 0);
  Heights h;
  h.least = least_height(f);
  h.mean = mean_height(plan, f);
  for (size_t i = 0; i < f.top.size(); ++i) h.most = std::max(h.most, f.top[i] - f.bottom[i]);
  return h;
}

}  // namespace etchcast
