// drill: blind holes in the faces.
#include <cmath>

#include <fmt/format.h>

#include "workpiece/tools.hpp"

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
  const double r = a.number("diameter") / 2, depth = a.number("depth");
  Profile p;
  if (a.flag("ball")) {
    p.radius = r;
    p.flank_rad = 1.5;
  } else {
    // A cone with its very tip rounded, then the hole's wall.
    p.kind = Profile::Kind::nose;
    p.radius = 0.3;
    p.flank_rad = 1.5707963267948966 - a.number("point") / 2;
  }
  Pattern pattern{set_of(a.word("set")), a.number("spacing"), false, unsigned(a.number("seed"))};
  // Beyond the drill's own radius its wall stands upright; a table takes it at 85 degrees.
  const auto reach = [=](double d) { return depth - (d > r ? p.rise(r) + (d - r) * std::tan(1.48) : p.rise(d)); };
  const auto face = [&](bool between) {
    Pattern own = pattern;
    own.between = between;
    ToolFace tool = studs(p, own, depth);
    tool.feature_mm = std::max(0.6, r / 3);
    tool.over = [=](double x, double y) { return reach(own.nearest(x, y)); };
    return tool;
  };
  const std::string sides = a.word("sides");
  ToolPair tools;
  if (sides != "bottom") tools.top = face(false);
  if (sides != "top") tools.bottom = face(sides == "offset");
  const bool even = w.bar().even();
  cut_faces(w, tools, a, "depth");
  if (even) w.set_holes(std::make_shared<Holes>(Holes{pattern, sides != "bottom", sides != "top", sides == "offset", r, depth, reach}));
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
