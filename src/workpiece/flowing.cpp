// From dies to the solver's units and back: lengths in thicknesses of the bar, the table as a map, its faces as reliefs.
#include "workpiece/flowing.hpp"

#include <cmath>

#include <fmt/format.h>

#include "metal/flow.hpp"
#include "tape/flow_map.hpp"

namespace etchcast {

namespace {

metal::Tool tool_of(const RidgeDies& d, bool works, bool far, double thickness) {
  metal::Tool tool;
  if (!works) return tool;  // the anvil
  tool.kind = d.profile.kind == Profile::Kind::sine ? metal::Tool::Kind::form : metal::Tool::Kind::ridge;
  tool.far = far;
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

Relief face_of(const FlowTable& table, const RidgeDies& d, const Bar& bar, double length, double line, double thickness) {
  const double c = std::cos(d.angle_rad), s = std::sin(d.angle_rad), crest = d.phase * d.spacing_mm;
  const double low = std::min(0.0, length * c) - std::abs(s) * bar.width_mm / 2;
  const double high = std::max(0.0, length * c) + std::abs(s) * bar.width_mm / 2;
  return Relief::ridged(d.angle_rad, low, high, 0.02, [&](double u) {
    return thickness * (table.jet((u - crest) / thickness, line).x - 0.5);
  });
}

}  // namespace

void press_by_flow(Workpiece& w, const RidgeDies& dies, const Arguments& arguments, std::string_view key) {
  w.lay_wander();
  const Bar old = w.bar();
  const double thickness = old.thickness_mm;
  metal::Flow flow;
  try {
    flow = metal::flow_of(problem_of(dies, thickness));
  } catch (const Error& error) {
    const Diagnostic& d = error.diagnostics().front();
    arguments.refuse(key, d.message, d.hint);
  }
  const FlowTable& table = *flow.table;
  w.bend(make_map(FlowMotion(dies.angle_rad, thickness, dies.phase * dies.spacing_mm, flow.table)));
  // The ends cut repeats anywhere, so the length is the one that holds the bar's volume between its faces.
  const double volume = old.volume_mm3;
  double length = old.length_mm * table.lengthening();
  for (int round = 0; round < (dies.held ? 1 : 4); ++round) {
    w.set_faces(face_of(table, dies, old, length, 0, thickness), face_of(table, dies, old, length, 1, thickness));
    w.set_size(length, old.width_mm, w.bar().top->highest() - w.bar().bottom->lowest());
    if (!dies.held) length = volume / (old.width_mm * heights(w.bar()).mean);
  }
  w.row().reduction = table.lengthening();
  if (dies.friction > 0 && !dies.held)
    w.note(fmt::format("the bar grows by {:.1f} % in length; the dies touch {:.0f} % of the top and {:.0f} % of the bottom",
                       100 * (table.lengthening() - 1), 100 * flow.touch_top, 100 * flow.touch_bottom));
}

}  // namespace etchcast
