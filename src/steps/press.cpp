// press: ridge dies closed on the bar.
#include <cmath>
#include <numbers>
#include <optional>
#include <tuple>

#include <fmt/format.h>

#include "workpiece/flowing.hpp"

namespace etchcast {
namespace {

constexpr Parameter kParameters[] = {
    {"die", Unit::word, 0, 0, "round", false, "round|vee|flat|sine", "Shape of the die's ridges."},
    {"spacing", Unit::length, 0.5, 500, "", true, "", "From ridge to ridge, square to the ridges, as measured on the pressed bar."},
    {"depth", Unit::length, 0.01, 200, "", false, "",
     "How far the ridges of each die go below the untouched face; of a sine die, its height from crest to trough."},
    {"stop", Unit::length, 0.1, 500, "", false, "", "Instead of depth: the gap that is left between the ridges of the two dies, or between ridges and anvil."},
    {"nose", Unit::length, 0.1, 100, "", false, "", "Radius of a ridge's nose. Default: 3.2 mm (1/8 in) round, 0.8 mm (1/32 in) vee.", "die=round|vee"},
    {"flank", Unit::angle, 0.0873, 1.5708, "60 deg", false, "", "Angle between a ridge's flank and the bar's face; 90 deg for a rod.", "die=round|vee|flat"},
    {"land", Unit::length, 0.1, 200, "3 mm", false, "", "Width of a flat ridge.", "die=flat"},
    {"ridge", Unit::length, 0.1, 200, "", false, "", "Height of the die's ridges. With it a warning tells when the metal reaches their root."},
    {"sides", Unit::word, 0, 0, "offset", false, "top|bottom|aligned|offset",
     "Which faces are pressed: one; both, ridge against ridge (aligned); both, the lower die half a spacing on (offset)."},
    {"phase", Unit::share, -10, 10, "0 %", false, "", "Where the first ridge of the upper die stands, from the heel end, as a share of the spacing."},
    {"angle", Unit::angle, -1.5708, 1.5708, "0 deg", false, "",
     "0 deg: ridges straight across the bar. A positive angle turns them counter-clockwise, seen on the top face; 90 deg: along the bar."},
    {"from", Unit::length, 0, 10000, "", false, "",
     "Where the dies begin, from the heel end along the pressed bar. The nearest place midway between two ridges is taken; where the "
     "dies are staggered, the nearest ridge. Default: the whole bar."},
    {"to", Unit::length, 0, 10000, "", false, "", "Where the dies end, told in the same way."},
    {"ends", Unit::word, 0, 0, "free", false, "free|held", "free: the bar lengthens. held: its ends are held, and the humps rise instead."},
    {"flow", Unit::word, 0, 0, "metal", false, "metal|plane",
     "How the metal moves: metal, as hot steel flows under the die; plane, as if each layer kept its share of the thickness everywhere."},
    {"friction", Unit::number, 0, 1, "1", false, "", "Between metal and die: 0 slides, 1 sticks.", "flow=metal"},
    {"sensitivity", Unit::number, 0.05, 1, "0.17", false, "",
     "Rate sensitivity of the hot steel: m in stress = (rate of shear)^m.", "flow=metal"},
};
constexpr Example kExamples[] = {
    {R"({ do = "press", die = "round", spacing = "12.7 mm", depth = "1.5 mm", sides = "offset" })", "the usual ladder: both faces, the lower die half a spacing on"},
    {R"({ do = "press", die = "sine", spacing = "10 mm", depth = "1 mm", sides = "top" })", "waves on the top face"},
    {R"({ do = "press", spacing = "12 mm", depth = "1.2 mm", angle = "15 deg", from = "40 mm", to = "90 mm" })",
     "short dies: the rest of the bar stays as it was"},
};

Profile profile_of(const Arguments& a, double spacing, double depth) {
  Profile p;
  const std::string die = a.word("die");
  p.kind = die == "flat" ? Profile::Kind::flat : die == "sine" ? Profile::Kind::sine : Profile::Kind::nose;
  p.radius = a.has("nose") ? a.number("nose") : die == "vee" ? 0.8 : 3.2;
  p.flank_rad = a.number("flank");
  p.land = a.number("land");
  p.spacing = spacing;
  p.swing = depth;
  return p;
}

double depth_of(const Arguments& a, const Workpiece& w, bool both) {
  if (a.has("depth") == a.has("stop")) a.refuse("do", "a press needs either 'depth' or 'stop'", "e.g. depth = \"1.5 mm\"");
  if (a.has("depth")) return a.number("depth");
  const double thick = w.bar().top->highest() - w.bar().bottom->lowest();
  const double depth = (thick - a.number("stop")) / (both ? 2 : 1);
  if (depth <= 0)
    a.refuse("stop",
             fmt::format("the bar is {} thick here. Dies that stop at {} do not touch it", w.say().length(thick), w.say().length(a.number("stop"))),
             fmt::format("stop at less than {}", w.say().length(thick)));
  return depth;
}

/// Thicknesses between ridges above which plane sections are the limit, and the metal's flow says the same.
constexpr double kLongWave = 12;

/// A part of a bar is pressed with ridges turned by at most so much, rad: 60 deg.
constexpr double kSteepest = 1.0473;

/// Whether the metal's flow can be followed here; tells if not.
bool flow_known(Workpiece& w, const RidgeDies& dies) {
  const auto pattern = ridges_joined(w, dies);
  if ((pattern ? pattern->repeat.spacing_mm : dies.spacing_mm) > kLongWave * w.thickness()) {
    w.note("the ridges stand more than 12 thicknesses apart. So far apart each layer keeps its share of the thickness (plane sections)");
    return false;
  }
  if (w.bar().even() || pattern) return true;
  const char* instead = "Plane sections stand in: each layer keeps its share of the thickness";
  w.row().rough = w.repeat() ? fmt::format("ridges {} apart do not fall in with the pattern on the bar, {} apart. {}", w.say().length(dies.spacing_mm),
                                           w.say().length(w.repeat()->spacing_mm), instead)
                             : fmt::format("the bar is uneven, and its faces do not repeat. {}", instead);
  return false;
}

std::optional<double> place(const Arguments& a, std::string_view key) {
  return a.has(key) ? std::optional(a.number(key)) : std::nullopt;
}

/// Dies shorter than the bar: their ends are followed by the metal's flow alone, on an even bar.
void need_room(const Arguments& a, const Workpiece& w, const RidgeDies& dies) {
  if (!dies.part()) return;
  const char* key = dies.from_mm ? "from" : "to";
  const double from = dies.from_mm.value_or(0), to = dies.to_mm.value_or(1e6);
  if (a.word("flow") != "metal") a.refuse(key, "a part of the bar can only be pressed with flow = \"metal\"", "leave flow out");
  if (!w.bar().even()) a.refuse(key, "a part of the bar can only be pressed while the bar is flat", "grind it flat first, or press the whole bar");
  if (dies.spacing_mm > kLongWave * w.thickness())
    a.refuse(key, fmt::format("a part of the bar can only be pressed with ridges at most {} apart, 12 thicknesses", w.say().length(kLongWave * w.thickness())));
  if (dies.held) a.refuse(key, "the ends cannot be held while only a part of the bar is pressed", "leave ends = \"held\" out");
  if (std::abs(dies.angle_rad) > kSteepest)
    a.refuse(key, "ridges that run along the bar do not begin and end on it", fmt::format("turn them to {:.0f} deg or less", kSteepest * 180 / std::numbers::pi));
  if (to - from < 1.5 * dies.spacing_mm || from > w.length() - dies.spacing_mm)
    a.refuse(key, fmt::format("between 'from' and 'to' there must be room on the bar for a ridge and a half: {}", w.say().length(1.5 * dies.spacing_mm)));
}

/// Metal that stands higher over the crests than the die's ridges do has come to their root.
void watch_roots(const Arguments& a, Workpiece& w, const RidgeDies& dies) {
  if (!a.has("ridge")) return;
  const double ridge = a.number("ridge");
  for (const auto& [works, face, name] : {std::tuple{dies.top, w.bar().top.get(), "upper"}, {dies.bottom, w.bar().bottom.get(), "lower"}}) {
    const double stands = face->highest() - face->lowest();
    if (!works || stands <= ridge) continue;
    w.warn(a.call().place,
           fmt::format("The metal reaches the root of the {} die: it stands {} over the floors, and the ridges are {} high. From there on the die "
                       "squeezes the whole face, and the picture does not show that. Press less deep, or use a die with higher ridges.",
                       name, w.say().length(stands), w.say().length(ridge)));
  }
}

void apply(const Arguments& a, Workpiece& w) {
  if (w.bar().section == Section::round) w.need_even(a);
  w.heat(a, false, 1);
  const double spacing = a.number("spacing");
  const std::string sides = a.word("sides");
  const bool both = sides == "aligned" || sides == "offset";
  const double depth = depth_of(a, w, both);
  const Profile profile = profile_of(a, spacing, depth);
  const std::string key = a.has("depth") ? "depth" : "stop";
  if (profile.kind == Profile::Kind::flat && profile.land >= spacing)
    a.refuse(a.has("land") ? "land" : "spacing", fmt::format("ridges {} wide do not fit a spacing of {}", w.say().length(profile.land), w.say().length(spacing)),
             "set the ridges further apart, or make them narrower");
  ToolPair tools;
  if (sides != "bottom") tools.top = ridges(profile, spacing, a.number("phase"), a.number("angle"), depth);
  if (sides != "top") tools.bottom = ridges(profile, spacing, a.number("phase") + (sides == "offset" ? 0.5 : 0), a.number("angle"), depth);
  const double root = profile.rise(spacing / 2);
  if (profile.kind != Profile::Kind::sine && root < depth)
    w.note(fmt::format("the flanks of neighbouring ridges meet {} below the old face: no untouched face is left between them", w.say().length(depth - root)));
  const bool held = a.word("ends") == "held";
  const RidgeDies dies{profile, spacing, depth, a.number("phase"), a.number("angle"), sides != "bottom", sides != "top",
                       sides == "offset", held, a.number("sensitivity"), a.number("friction"), place(a, "from"), place(a, "to")};
  need_room(a, w, dies);
  if (a.word("flow") != "metal" || !flow_known(w, dies) || !press_by_flow(w, dies, a, key)) {
    const bool even = w.bar().even();
    press_faces(w, tools, held, a, key);
    if (even) w.set_repeat(Repeat{spacing, dies.phase * spacing, dies.angle_rad, true, spacing});
    w.set_rungs(Rungs{spacing, dies.angle_rad});
  }
  watch_roots(a, w, dies);
}

}  // namespace

namespace steps {
extern const Step press{
    "press", "Press ridges into the faces (ladder).", Kind::bulk, kParameters, kExamples,
    "Closes ridge dies on the bar. Each ridge of the die leaves a groove, and the bar lengthens unless its ends are held. Grind the bar "
    "flat afterwards: the humps are cut through, and the layers of the skin show in the grooves. You may also `draw` the pressed bar to "
    "shape: the flat dies then push the humps down first, and the rungs move apart as the bar lengthens. "
    "The program works out how the hot metal flows under the die, for one repeat of the pattern, and keeps the result for the next time "
    "(slow flow of a rate-sensitive plastic, with contact; docs/model.md). Under ridges set close on a thick bar the skin follows the "
    "die and the core hardly moves. `flow = \"plane\"` lets each layer keep its share of the thickness everywhere instead; that is right "
    "for ridges set very far apart only. A bar that is uneven already may be pressed again, on either face and at any phase, where the "
    "new ridges fall in with the old pattern (n old spacings are m new ones, up to four). Where they do not, plane sections stand in, "
    "and the step is marked rough.",
    apply};
}  // namespace steps
}  // namespace etchcast
