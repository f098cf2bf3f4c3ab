// drill: blind holes in the faces.
#include "workpiece/drilling.hpp"

namespace etchcast {
namespace {

constexpr Parameter kParameters[] = {
    {"diameter", Unit::length, 0.5, 100, "6 mm", false, "", "Diameter of the drill or ball cutter."},
    {"depth", Unit::length, 0.01, 200, "", true, "", "Depth of the deepest point."},
    {"point", Unit::angle, 0.5236, 3.1416, "118 deg", false, "", "Included angle of the drill's point; \"180 deg\" is a flat bottom.",
     "ball=false"},
    {"ball", Unit::flag, 0, 0, "false", false, "", "true for a ball end instead of a point."},
    {"spacing", Unit::length, 1, 500, "", true, "", "From hole to hole."},
    {"set", Unit::word, 0, 0, "hexagonal", false, "hexagonal|square|random", "How the holes stand."},
    {"sides", Unit::word, 0, 0, "offset", false, "top|bottom|aligned|offset", "Offset: the lower holes stand between the upper ones."},
    {"seed", Unit::count, 0, 1e9, "1", false, "", "Another number gives another random set.", "set=random"},
};
constexpr Example kExamples[] = {
    {R"({ do = "drill", diameter = "6 mm", depth = "1.5 mm", spacing = "12 mm" })", "to be forged flat after"},
};

void apply(const Arguments& a, Workpiece& w) {
  if (w.bar().section == Section::round) w.need_even(a);
  const Hole hole{a.number("diameter") / 2, a.number("depth"), a.number("point"), a.flag("ball")};
  const Pattern pattern{set_of(a.word("set")), a.number("spacing"), false, unsigned(a.number("seed"))};
  const std::string sides = a.word("sides");
  drill_holes(w, hole, pattern, sides != "bottom", sides != "top", sides == "offset", a);
}

}  // namespace

namespace steps {
extern const Step drill{
    "drill", "Drill blind holes into the faces.", Kind::cut, kParameters, kExamples,
    "Takes metal out in blind holes; no metal moves. Forge flat next ('flatten'): each hole becomes an eye with deep layers at "
    "its centre, deepest in the skin: grind little after. Shallow, wide holes are best; walls of steep ones fold in as cold shuts. Common practice: drills of 3-8 mm, a "
    "depth of up to a third of the bar, spacing 1.5-2.5 diameters, sides staggered.",
    apply};
}  // namespace steps
}  // namespace etchcast
