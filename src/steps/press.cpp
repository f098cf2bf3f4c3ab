// press: ridge dies closed on the bar.
#include <cmath>
#include <optional>
#include <tuple>

#include <fmt/format.h>

#include "workpiece/flowing.hpp"

namespace etchcast {
namespace {

constexpr Parameter kParameters[] = {
    {"die", Unit::word, 0, 0, "round", false, "round|vee|flat|sine", "Shape of a ridge."},
    {"spacing", Unit::length, 0.5, 500, "", true, "", "Crest to crest along the normal to the ridges, as seen on the pressed bar."},
    {"depth", Unit::length, 0.01, 200, "", false, "",
     "How far each die's crest goes below the untouched face; of a sine die, crest to trough."},
    {"stop", Unit::length, 0.1, 500, "", false, "", "Instead of depth: gap left between opposite crests (or crest and anvil)."},
    {"nose", Unit::length, 0.1, 100, "", false, "", "Radius of a ridge's nose. Default: 3.2 mm round, 0.8 mm vee.",
     "die=round|vee"},
    {"flank", Unit::angle, 0.0873, 1.5708, "60 deg", false, "", "Angle of a ridge's flank from the bar's face; 90 for a rod.",
     "die=round|vee|flat"},
    {"land", Unit::length, 0.1, 200, "3 mm", false, "", "Width of a flat ridge.", "die=flat"},
    {"ridge", Unit::length, 0.1, 200, "", false, "", "Height of the die's ridges, to tell whether metal reaches their root."},
    {"sides", Unit::word, 0, 0, "offset", false, "top|bottom|aligned|offset",
     "One face, both with crest against crest, or both with the lower die shifted by half a spacing."},
    {"phase", Unit::share, -10, 10, "0 %", false, "", "Place of the first top crest from the heel end, as a share of the spacing."},
    {"angle", Unit::angle, -1.5708, 1.5708, "0 deg", false, "",
     "0 for ridges straight across; positive turns them counter-clockwise on the top face."},
    {"from", Unit::length, 0, 10000, "", false, "",
     "Where the dies begin, from the heel end along the pressed bar; the nearest place midway between ridges, or a ridge where "
     "staggered, is taken. Default: the whole bar."},
    {"to", Unit::length, 0, 10000, "", false, "", "Where the dies end, likewise."},
    {"ends", Unit::word, 0, 0, "free", false, "free|held", "Free: the bar lengthens. Held: it may not, and the humps rise."},
    {"flow", Unit::word, 0, 0, "metal", false, "metal|plane",
     "How the metal is taken to move: as hot steel flows under the die, or by plane sections."},
    {"friction", Unit::number, 0, 1, "1", false, "", "Between metal and die: 0 slides, 1 sticks.", "flow=metal"},
    {"sensitivity", Unit::number, 0.05, 1, "0.17", false, "",
     "Rate sensitivity of the hot steel, m in stress = (rate of shear)^m.", "flow=metal"},
};
constexpr Example kExamples[] = {
    {R"({ do = "press", die = "round", spacing = "12.7 mm", depth = "1.5 mm", sides = "offset" })", "a ladder"},
    {R"({ do = "press", die = "sine", spacing = "10 mm", depth = "1 mm", sides = "top" })", "one wavy face"},
    {R"({ do = "press", spacing = "12 mm", depth = "1.2 mm", angle = "15 deg", from = "40 mm", to = "90 mm" })",
     "short dies: the rest of the bar stays as it is"},
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
    a.refuse("stop", fmt::format("the bar is {:.2f} mm thick: dies stopped at {:.2f} mm do not touch it", thick, a.number("stop")));
  return depth;
}

/// Thicknesses between ridges above which plane sections are the limit, and the metal's flow says the same.
constexpr double kLongWave = 12;

/// Whether the metal's flow can be followed here; tells if not.
bool flow_known(Workpiece& w, const RidgeDies& dies) {
  const auto pattern = ridges_joined(w, dies);
  if ((pattern ? pattern->repeat.spacing_mm : dies.spacing_mm) > kLongWave * w.thickness()) {
    w.note("ridges over 12 thicknesses apart: followed by plane sections");
    return false;
  }
  if (w.bar().even() || pattern) return true;
  w.row().rough = w.repeat() ? fmt::format("ridges {:.2f} mm apart have no repeat in common with the pattern on the bar, {:.2f} mm; "
                                           "followed by plane sections", dies.spacing_mm, w.repeat()->spacing_mm)
                             : "pressed on faces that do not repeat; followed by plane sections";
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
  if (a.word("flow") != "metal" || !w.bar().even() || dies.spacing_mm > kLongWave * w.thickness())
    a.refuse(key, "a part of a bar is pressed by the metal's flow only, and on an even bar", "press the whole bar, or grind it flat first; ridges at most 12 thicknesses apart");
  if (dies.held) a.refuse(key, "a bar pressed over a part of its length cannot be held to it", "leave ends = \"held\" out");
  if (std::abs(dies.angle_rad) > 1.1) a.refuse(key, "ridges along the bar have no beginning and end on it", "turn them to less than 63 deg");
  if (to - from < 1.5 * dies.spacing_mm || from > w.length() - dies.spacing_mm)
    a.refuse(key, fmt::format("a ridge and a half of {:.1f} mm must find room between 'from' and 'to' on the bar", dies.spacing_mm));
}

/// Metal that stands higher over the crests than the die's ridges do has come to their root.
void watch_roots(const Arguments& a, Workpiece& w, const RidgeDies& dies) {
  if (!a.has("ridge")) return;
  const double ridge = a.number("ridge"), inch = 25.4;
  for (const auto& [works, face, name] : {std::tuple{dies.top, w.bar().top.get(), "upper"}, {dies.bottom, w.bar().bottom.get(), "lower"}}) {
    const double stands = face->highest() - face->lowest();
    if (!works || stands <= ridge) continue;
    w.warn(a.call().place, fmt::format("metal reaches the root of the {} die: it stands {:.2f} mm ({:.3f} in) over the crests, with ridges "
                                       "{:.2f} mm ({:.3f} in) high. From there the whole face is squeezed, which is not followed: press "
                                       "less deep, or cut the die deeper",
                                       name, stands, stands / inch, ridge, ridge / inch));
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
    a.refuse(a.has("land") ? "land" : "spacing", fmt::format("ridges {:.1f} mm wide do not fit a spacing of {:.1f} mm", profile.land, spacing));
  ToolPair tools;
  if (sides != "bottom") tools.top = ridges(profile, spacing, a.number("phase"), a.number("angle"), depth);
  if (sides != "top") tools.bottom = ridges(profile, spacing, a.number("phase") + (sides == "offset" ? 0.5 : 0), a.number("angle"), depth);
  const double root = profile.rise(spacing / 2);
  if (profile.kind != Profile::Kind::sine && root < depth)
    w.note(fmt::format("neighbouring ridges meet {:.2f} mm below the old face: no untouched face is left between them", depth - root));
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
    "Closes ridge dies on the bar. The die's ridge makes the groove in the bar, and the bar lengthens unless its ends are held. "
    "The flow of the hot metal is solved for one repeat of the pattern (slow flow of a rate-sensitive plastic, with contact; "
    "docs/model.md) and kept for the next time: under ridges set close on a thick bar the skin follows the die and the core "
    "hardly moves. `flow = \"plane\"` takes plane sections instead: each layer keeps its share of the thickness, the limit of "
    "long waves under sliding dies. On a bar that is uneven already the flow is solved where the old pattern and the ridges have a "
    "repeat in common (n old spacings are m new ones, up to four, on either face and at any phase): the ridges then fall in with "
    "the pattern. Where they have none, plane sections stand in, and the step is marked rough. Ground flat afterwards, skin "
    "layers show in the grooves and the humps are cut through.",
    apply};
}  // namespace steps
}  // namespace etchcast
