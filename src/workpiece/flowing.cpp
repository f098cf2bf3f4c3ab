// From dies to the solver's units and back: lengths in thicknesses of the bar, the table as a map, its faces as reliefs.
#include "workpiece/flowing.hpp"

#include <algorithm>
#include <cmath>
#include <functional>

#include <fmt/format.h>

#include "metal/creep.hpp"
#include "metal/flow.hpp"
#include "metal/rough.hpp"
#include "tape/faded_flow.hpp"
#include "tape/flow_map.hpp"

namespace etchcast {

namespace {

/// Share of the thickness that both dies together may take. Deeper, a repeat is drawn out so far that its table no longer
/// follows the metal beside the crests, and the solution takes minutes.
constexpr double kDeepest = 0.65;

/// Ridges at a greater angle, rad, run along the bar.
constexpr double kAlong = 1.3;

/// How far edges of an uneven bar's faces are rounded, as a share of the finest spacing: about a cell of the mesh, which sees
/// nothing sharper.
constexpr double kRounding = 1.0 / 56;

/// The uneven bar as the solver and its table can follow it. Layer lines begin at shares of the local height, so that an edge
/// left by a cutter stands in them at every depth, where the metal has none, and must go out again against the one in evened().
Bar rounded(const Bar& bar, const Repeat& repeat) {
  Bar r = bar;
  r.bottom = std::make_shared<Relief>(bar.bottom->rounded(kRounding * repeat.finest_mm));
  r.top = std::make_shared<Relief>(bar.top->rounded(kRounding * repeat.finest_mm));
  return r;
}

/// One repeat of the bar as the solver sees it: lengths in units of its mean height.
struct Beginning {
  double mean_mm = 0;     ///< height
  double half_mm = 0;     ///< half the repeat
  double place_mm = 0;    ///< u of its middle: a mirror if there are any
  bool mirrored = true;
  double finest_mm = 0;   ///< shortest spacing on the faces before; 0: they are flat
  std::function<double(double)> bottom, top;
};

/// The repeat nearest to the middle of an uneven bar.
Beginning beginning_of(const Bar& bar, const Repeat& repeat) {
  Beginning b;
  const double c = std::cos(repeat.angle_rad), s = std::sin(repeat.angle_rad);
  b.half_mm = repeat.spacing_mm / 2, b.mirrored = repeat.mirrored, b.finest_mm = repeat.finest_mm;
  b.place_mm = repeat.place_mm + repeat.spacing_mm * std::round((bar.length_mm / 2 * c - repeat.place_mm) / repeat.spacing_mm);
  const auto height = [=, half = b.half_mm, middle = b.place_mm](const Relief& face, double share) {
    const double u = middle + share * half;
    return face(u * c, u * s);
  };
  constexpr int kSamples = 2000;
  for (int i = 0; i < kSamples; ++i) {
    const double share = 2 * (i + 0.5) / kSamples - 1;
    b.mean_mm += (height(*bar.top, share) - height(*bar.bottom, share)) / kSamples;
  }
  b.bottom = [=, face = bar.bottom, mean = b.mean_mm](double share) { return height(*face, share) / mean + 0.5; };
  b.top = [=, face = bar.top, mean = b.mean_mm](double share) { return height(*face, share) / mean + 0.5; };
  return b;
}

metal::Problem problem_of(const Beginning& b) {
  metal::Problem p;
  p.half_repeat = b.half_mm / b.mean_mm;
  p.mirrored = b.mirrored;
  p.repeat_before = b.finest_mm > 0;
  if (b.finest_mm > 0) p.pitch_before = b.finest_mm / b.half_mm, p.bottom_before = b.bottom, p.top_before = b.top;
  return p;
}

/// `crest_mm`: u of a crest of the upper ridges; the lower ones may stand midway.
metal::Tool tool_of(const RidgeDies& d, const Beginning& b, bool works, double crest_mm, double spacing_mm) {
  metal::Tool tool;
  if (!works) return tool;  // the anvil
  // A sine die is taken to be full all along, as on an even bar it is; on an uneven one it touches where it can.
  const bool full = d.profile.kind == Profile::Kind::sine && b.finest_mm == 0;
  tool.kind = full ? metal::Tool::Kind::form : metal::Tool::Kind::ridge;
  tool.crest = (crest_mm - b.place_mm) / b.half_mm;
  tool.pitch = spacing_mm / b.half_mm;
  tool.crest -= tool.pitch * std::floor(tool.crest / tool.pitch);
  tool.depth = d.depth_mm / b.mean_mm;
  tool.rise = [profile = d.profile, mean = b.mean_mm](double r) { return profile.rise(r * mean) / mean; };
  return tool;
}

/// Where the pattern lies on the pressed bar: u = x cos(angle) + y wide sin(angle), from the crest on.
struct Lie {
  double angle_rad, crest_mm;
  double wide = 1;
};

/// Tabled heights of one face, mm; `height` in thicknesses over u in thicknesses from the crest.
Relief face_of(const Lie& d, const Bar& bar, double length, double thickness, const std::function<double(double)>& height) {
  const double c = std::cos(d.angle_rad), s = std::sin(d.angle_rad), crest = d.crest_mm, half = d.wide * bar.width_mm / 2;
  const double low = std::min(0.0, length * c) - std::abs(s) * half, high = std::max(0.0, length * c) + std::abs(s) * half;
  return Relief::ridged(d.angle_rad, low, high, 0.02, [&](double u) { return thickness * (height((u - crest) / thickness) - 0.5); })
      .stretched(1, 1 / d.wide, 1);
}

/// Nothing if the bar is uneven and the flow is not found: several sharp ridges a repeat may ask for more than the mesh has.
std::optional<metal::Flow> solved(Workpiece& w, const metal::Problem& problem, const Arguments& arguments, std::string_view key) {
  try {
    if (!w.preview()) return metal::flow_of(problem);
    w.row().rough = "--preview guesses how the metal flows";
    return metal::rough_flow(problem);
  } catch (const metal::NotFound& error) {
    if (!w.bar().even()) {
      w.row().rough = "the flow of the metal cannot be found on these faces. Plane sections stand in: each layer keeps its share of the thickness";
      return {};
    }
    arguments.refuse(key, error.diagnostics().front().message, error.diagnostics().front().hint);
  } catch (const Error& error) {
    const Diagnostic& d = error.diagnostics().front();
    arguments.refuse(key, d.message, d.hint);
  }
}

/// The faces of the pressed bar, and its length, so that it holds its volume: the ends cut repeats anywhere.
void settle(Workpiece& w, const Lie& lie, double thickness, double length, const std::function<double(double, double)>& height,
            bool held) {
  const Bar old = w.bar();
  for (int round = 0; round < (held ? 1 : 6); ++round) {
    const auto face = [&](double line) { return face_of(lie, old, length, thickness, [&](double u) { return height(u, line); }); };
    w.set_faces(face(0), face(1));
    w.set_size(length, old.width_mm, w.bar().top->highest() - w.bar().bottom->lowest());
    const double missing = old.volume_mm3 - old.width_mm * length * heights(w.bar()).mean;
    if (!held) length += missing / (old.width_mm * thickness);
  }
}

/// The even bar becomes what the table says.
void lay_flow(Workpiece& w, const metal::Flow& flow, const Lie& lie, FlowMotion::Draw draw, double finest_mm, bool held) {
  const FlowTable& table = *flow.table;
  const double thickness = w.thickness(), length = w.length() * table.lengthening();
  w.bend(make_map(FlowMotion(lie.angle_rad, thickness, lie.crest_mm, flow.table, draw)));
  settle(w, lie, thickness, length, [&](double u, double line) { return table.jet(u, line).x; }, held);
  w.row().reduction = table.lengthening();
  w.drawn_out(table.lengthening(), 1);
  const Repeat repeat{2 * table.half_after() * thickness, lie.crest_mm, lie.angle_rad, table.mirrored(), finest_mm};
  w.set_repeat(repeat.stretched(1, 1 / lie.wide));
}

/// The same under dies that are shorter than the bar. They end at the mirror nearest to where they should.
void lay_part(Workpiece& w, const metal::Flow& flow, const RidgeDies& dies, const Lie& lie) {
  const double thickness = w.thickness(), before = w.length(), half = flow.table->half_after(), c = std::cos(lie.angle_rad);
  const auto mirror = [&](const std::optional<double>& place, double beyond) {
    return place ? half * std::round((*place * c - lie.crest_mm) / thickness / half) : beyond;
  };
  const double left = mirror(dies.from_mm, -1e6), right = mirror(dies.to_mm, 1e6);
  const FadedTable faded(flow.table, left, std::max(right, left));
  w.bend(make_map(FadedFlowMotion(lie.angle_rad, thickness, lie.crest_mm, faded)));
  settle(w, lie, thickness, before, [&](double u, double line) { return faded.jet(u, line).x; }, dies.held);
  w.row().reduction = w.length() / before;
  w.drawn_out(w.length() / before, 1);
  w.set_rungs(Rungs{dies.spacing_mm, dies.angle_rad});
  const auto end = [&](double u, double at_end) { return std::abs(u) > 1e5 ? at_end : (u * thickness + lie.crest_mm) / c; };
  w.note(fmt::format("the ridges run from {} to {} from the heel end, along the pressed bar; {} beyond them it is as it was",
                     w.say().length(end(left, 0)), w.say().length(end(right, w.length())), w.say().length(FadedTable::kReach * thickness)));
}

/// The uneven bar, as the solver saw it, is first forged even in thought: in its coordinates the solver tells where metal
/// came from. A die holds the pattern at its angle; between flat dies it turns as the bar lengthens.
void lay_flow_on_uneven(Workpiece& w, const metal::Flow& flow, const Bar& old, const Beginning& b, double angle_rad, double finest_mm,
                        FlowMotion::Draw draw, bool held) {
  const MapPtr even = evened(old, b.mean_mm);
  auto batch = std::make_unique<Batch<double>>();
  *batch = {};
  const double c = std::cos(angle_rad), s = std::sin(angle_rad);
  std::fill_n(batch->x, kLanes, b.place_mm * c), std::fill_n(batch->y, kLanes, b.place_mm * s);
  even->after_from_before(*batch);
  const double place = batch->x[0] * c + batch->y[0] * s, lengthening = flow.table->lengthening();
  w.bend(even);
  w.set_faces(Relief::flat(-b.mean_mm / 2), Relief::flat(b.mean_mm / 2));
  w.set_size(old.volume_mm3 / (old.width_mm * b.mean_mm), old.width_mm, b.mean_mm);
  // The table's middle comes from `place`: (crest - anchor) / lengthening.
  double crest = place * lengthening;
  for (int round = 0; round < 30; ++round)
    crest += 0.5 * (place * lengthening + FlowMotion::anchor_of(*flow.table, b.mean_mm, crest) - crest);
  const double wide = draw == FlowMotion::Draw::old_pattern ? lengthening : 1;
  lay_flow(w, flow, {angle_rad, crest, wide}, draw, finest_mm * lengthening, held);
}

/// How deep each die may go, as `key` tells it: a depth, or the gap that is left.
std::string allowed(const Workpiece& w, const RidgeDies& dies, double depth, std::string_view key) {
  const double thick = w.bar().top->highest() - w.bar().bottom->lowest(), gap = thick - depth * dies.faces();
  return key == "stop" ? fmt::format("stop at {} or more", w.say().length(gap)) : fmt::format("press at most {} deep", w.say().length(depth));
}

void refuse_too_deep(const Workpiece& w, const RidgeDies& dies, double thickness, const Arguments& arguments, std::string_view key) {
  const double most = kDeepest * thickness / dies.faces();
  if (dies.depth_mm <= most) return;
  arguments.refuse(key,
                   fmt::format("the dies would take {} of the bar's {} in one press, more than the {:.0f} % up to which the metal can be followed",
                               w.say().length(dies.depth_mm * dies.faces()), w.say().length(thickness), 100 * kDeepest),
                   allowed(w, dies, most, key) + ", or press in two goes");
}

/// With held ends the metal between the ridges rises until the grooves are full; then the dies stop.
void refuse_full(const Workpiece& w, const RidgeDies& dies, const Arguments& arguments, std::string_view key) {
  if (!dies.held || dies.profile.kind == Profile::Kind::sine) return;
  constexpr int kSteps = 400;
  double full = 0;
  for (int i = 0; i < kSteps; ++i) full += dies.profile.rise((i + 0.5) / kSteps * dies.spacing_mm / 2) / kSteps;
  if (dies.depth_mm < full) return;
  arguments.refuse(key,
                   fmt::format("the grooves between these ridges are full when the dies are {} deep, and with held ends the metal has nowhere "
                               "else to go", w.say().length(full)),
                   allowed(w, dies, 0.9 * full, key) + ", or let the bar lengthen: ends = \"free\"");
}

}  // namespace

std::optional<Joined> ridges_joined(const Workpiece& w, const RidgeDies& dies) {
  // Ridges that come down on a pattern of their own spacing settle into it: a hundredth is taken up.
  if (!w.repeat()) return {};
  return joined(*w.repeat(), dies.spacing_mm, dies.phase, dies.angle_rad, 0.01);
}

bool press_by_flow(Workpiece& w, const RidgeDies& dies, const Arguments& arguments, std::string_view key) {
  w.lay_wander();
  const auto pattern = ridges_joined(w, dies);
  Beginning b;
  const Bar seen = pattern ? rounded(w.bar(), pattern->repeat) : w.bar();
  if (pattern)
    b = beginning_of(seen, pattern->repeat);
  else
    b.mean_mm = w.thickness(), b.half_mm = dies.spacing_mm / 2, b.place_mm = dies.phase * dies.spacing_mm;
  refuse_too_deep(w, dies, b.mean_mm, arguments, key);
  if (!pattern) refuse_full(w, dies, arguments, key);
  const double spacing = pattern ? pattern->spacing_mm : dies.spacing_mm, crest = pattern ? pattern->crest_mm : b.place_mm;
  metal::Problem p = problem_of(b);
  p.held = dies.held, p.sensitivity = dies.sensitivity, p.friction = dies.friction;
  p.top = tool_of(dies, b, dies.top, crest, spacing);
  p.bottom = tool_of(dies, b, dies.bottom, crest + (dies.top && dies.offset ? spacing / 2 : 0), spacing);
  const auto found = solved(w, p, arguments, key);
  if (!found) return false;
  const metal::Flow& flow = *found;
  // Ridges along the bar do not turn as it lengthens, and there is nothing to hold.
  const auto draw = std::abs(dies.angle_rad) < kAlong ? FlowMotion::Draw::along_ridges_none : FlowMotion::Draw::old_pattern;
  if (pattern)
    lay_flow_on_uneven(w, flow, seen, b, dies.angle_rad, pattern->repeat.finest_mm, draw, dies.held);
  else if (dies.part())
    lay_part(w, flow, dies, {dies.angle_rad, b.place_mm});
  else
    lay_flow(w, flow, {dies.angle_rad, b.place_mm}, FlowMotion::Draw::along_bar, spacing, dies.held);
  const double grown = w.row().reduction;
  if (pattern && !dies.held)
    w.note(fmt::format("the ridges fall in with the pattern that is there, {} apart; after the press both stand {} apart", w.say().length(spacing), w.say().length(spacing * grown)));
  if (!dies.held)
    w.note(fmt::format("the bar lengthens by {:.1f} %; in the end the dies touch {:.0f} % of the top face and {:.0f} % of the bottom face",
                       100 * (grown - 1), 100 * flow.touch_top, 100 * flow.touch_bottom));
  return true;
}

bool flatten_by_flow(Workpiece& w, double thickness, const MetalKeys& metal, const Arguments& arguments) {
  const Bar seen = rounded(w.bar(), *w.repeat());
  const Beginning b = beginning_of(seen, *w.repeat());
  metal::Problem p = problem_of(b);
  p.sensitivity = metal.sensitivity;
  p.friction = metal.friction;
  p.top.depth = p.bottom.depth = (seen.top->highest() - seen.bottom->lowest() - thickness) / 2 / b.mean_mm;
  const auto found = solved(w, p, arguments, "thickness");
  if (!found) return false;
  lay_flow_on_uneven(w, *found, seen, b, w.repeat()->angle_rad, b.finest_mm, FlowMotion::Draw::old_pattern, false);
  return true;
}

}  // namespace etchcast
