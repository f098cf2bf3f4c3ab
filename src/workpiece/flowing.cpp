// From dies to the solver's units and back: lengths in thicknesses of the bar, the table as a map, its faces as reliefs.
#include "workpiece/flowing.hpp"

#include <cmath>

#include <fmt/format.h>

#include "metal/flow.hpp"
#include "tape/flow_map.hpp"

namespace etchcast {

namespace {

/// Share of the thickness that both dies together may take. Deeper, a repeat is drawn out so far that its table no longer
/// follows the metal beside the crests, and the solution takes minutes.
constexpr double kDeepest = 0.65;

metal::Tool tool_of(const RidgeDies& d, bool works, bool far, double thickness) {
  metal::Tool tool;
  if (!works) return tool;  // the anvil
  tool.kind = d.profile.kind == Profile::Kind::sine ? metal::Tool::Kind::form : metal::Tool::Kind::ridge;
  tool.crest = far ? 1 : 0;
  tool.depth = d.depth_mm / thickness;
  tool.rise = [profile = d.profile, thickness](double r) { return profile.rise(r * thickness) / thickness; };
  return tool;
}

metal::Problem problem_of(const RidgeDies& d, double thickness) {
  metal::Problem p;
  p.half_repeat = d.spacing_mm / 2 / thickness;
  p.held = d.held;
  p.sensitivity = d.sensitivity;
  p.friction = d.friction;
  p.top = tool_of(d, d.top, false, thickness);
  p.bottom = tool_of(d, d.bottom, d.top && d.offset, thickness);
  return p;
}

/// Where the pattern lies on the bar.
struct Lie {
  double angle_rad, crest_mm;
};

Relief face_of(const FlowTable& table, const Lie& d, const Bar& bar, double length, double line, double thickness) {
  const double c = std::cos(d.angle_rad), s = std::sin(d.angle_rad), crest = d.crest_mm;
  const double low = std::min(0.0, length * c) - std::abs(s) * bar.width_mm / 2;
  const double high = std::max(0.0, length * c) + std::abs(s) * bar.width_mm / 2;
  return Relief::ridged(d.angle_rad, low, high, 0.02, [&](double u) {
    return thickness * (table.jet((u - crest) / thickness, line).x - 0.5);
  });
}

metal::Flow solved(const metal::Problem& problem, const Arguments& arguments, std::string_view key) {
  try {
    return metal::flow_of(problem);
  } catch (const Error& error) {
    const Diagnostic& d = error.diagnostics().front();
    arguments.refuse(key, d.message, d.hint);
  }
}

/// The even bar of that thickness becomes what the table says. The ends cut repeats anywhere, so the length is the one
/// that holds the bar's volume between its faces.
void lay_flow(Workpiece& w, const metal::Flow& flow, const Lie& lie, double thickness, bool held) {
  const FlowTable& table = *flow.table;
  const Bar old = w.bar();
  const double volume = old.volume_mm3;
  w.bend(make_map(FlowMotion(lie.angle_rad, thickness, lie.crest_mm, flow.table)));
  double length = old.length_mm * table.lengthening();
  for (int round = 0; round < (held ? 1 : 4); ++round) {
    w.set_faces(face_of(table, lie, old, length, 0, thickness), face_of(table, lie, old, length, 1, thickness));
    w.set_size(length, old.width_mm, w.bar().top->highest() - w.bar().bottom->lowest());
    if (!held) length = volume / (old.width_mm * heights(w.bar()).mean);
  }
  w.row().reduction = table.lengthening();
}

}  // namespace

void press_by_flow(Workpiece& w, const RidgeDies& dies, const Arguments& arguments, std::string_view key) {
  const double thickness = w.thickness(), taken = dies.depth_mm * ((dies.top ? 1 : 0) + (dies.bottom ? 1 : 0));
  if (taken > kDeepest * thickness)
    arguments.refuse(key, fmt::format("the dies would take {:.2f} mm of {:.2f} mm at one press; the metal's flow is worked out up to {:.0f} %",
                                      taken, thickness, 100 * kDeepest),
                     "press less deep, or ask for flow = \"plane\"");
  w.lay_wander();
  const metal::Flow flow = solved(problem_of(dies, thickness), arguments, key);
  lay_flow(w, flow, {dies.angle_rad, dies.phase * dies.spacing_mm}, thickness, dies.held);
  if (!dies.held)
    w.note(fmt::format("the bar grows by {:.1f} % in length; the dies touch {:.0f} % of the top and {:.0f} % of the bottom",
                       100 * (flow.table->lengthening() - 1), 100 * flow.touch_top, 100 * flow.touch_bottom));
}

void flatten_by_flow(Workpiece& w, double thickness, double sensitivity, double friction, const Arguments& arguments) {
  const Bar old = w.bar();
  const Workpiece::Repeat repeat = *w.repeat();
  const double mean = heights(old).mean, half = repeat.spacing_mm / 2, crest = repeat.phase * repeat.spacing_mm;
  const double c = std::cos(repeat.angle_rad), s = std::sin(repeat.angle_rad);
  // One repeat from the middle of the bar, in units of the mean height; its mean is made exactly 1.
  const double middle = crest + repeat.spacing_mm * std::round((old.length_mm / 2 * c - crest) / repeat.spacing_mm);
  const auto height = [&](const Relief& face, double share) {
    const double u = middle + share * half;
    return face(u * c, u * s);
  };
  double sum = 0;
  constexpr int kSamples = 2000;
  for (int i = 0; i < kSamples; ++i) sum += (height(*old.top, (i + 0.5) / kSamples) - height(*old.bottom, (i + 0.5) / kSamples)) / kSamples;
  metal::Problem p;
  p.half_repeat = half / mean;
  p.repeat_before = true;
  p.sensitivity = sensitivity;
  p.friction = friction;
  p.bottom_before = [&](double share) { return height(*old.bottom, share) / sum + 0.5; };
  p.top_before = [&](double share) { return height(*old.top, share) / sum + 0.5; };
  p.top.depth = p.bottom.depth = (old.top->highest() - old.bottom->lowest() - thickness) / 2 / mean;
  const metal::Flow flow = solved(p, arguments, "thickness");
  w.bend(evened(old));
  w.set_faces(Relief::flat(-mean / 2), Relief::flat(mean / 2));
  w.set_size(old.length_mm, old.width_mm, mean);
  lay_flow(w, flow, {repeat.angle_rad, crest * flow.table->lengthening()}, mean, false);
  const double hollow = std::max(w.bar().top->highest() - w.bar().top->lowest(), w.bar().bottom->highest() - w.bar().bottom->lowest());
  if (hollow > 0.01) w.note(fmt::format("floors stay up to {:.2f} mm hollow: the dies touch {:.0f} % of the top and {:.0f} % of the bottom",
                                        hollow, 100 * flow.touch_top, 100 * flow.touch_bottom));
}

}  // namespace etchcast
