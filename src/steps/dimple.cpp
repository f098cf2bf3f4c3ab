// dimple: studs pressed into the faces.
#include <fmt/format.h>

#include "workpiece/studding.hpp"

namespace etchcast {
namespace {

constexpr Parameter kParameters[] = {
    {"radius", Unit::length, 0.2, 100, "4 mm", false, "", "Radius of the ball end of a stud."},
    {"depth", Unit::length, 0.01, 100, "", true, "", "How far a stud goes below the untouched face."},
    {"spacing", Unit::length, 1, 500, "", true, "", "From stud to stud."},
    {"set", Unit::word, 0, 0, "hexagonal", false, "hexagonal|square|random", "How the studs stand."},
    {"sides", Unit::word, 0, 0, "offset", false, "top|bottom|aligned|offset", "Offset: the lower studs stand in the gaps of the upper ones."},
    {"seed", Unit::count, 0, 1e9, "1", false, "", "Another number gives another random set.", "set=random"},
    {"ends", Unit::word, 0, 0, "free", false, "free|held", "Free: the bar lengthens. Held: it may not."},
    {"flow", Unit::word, 0, 0, "metal", false, "metal|plane",
     "How the metal is taken to move: as hot steel flows about the studs, or by plane sections."},
    {"friction", Unit::number, 0, 1, "1", false, "", "Between metal and studs: 0 slides, 1 sticks.", "flow=metal"},
    {"sensitivity", Unit::number, 0.05, 1, "0.17", false, "",
     "Rate sensitivity of the hot steel, m in stress = (rate of shear)^m.", "flow=metal"},
};
constexpr Example kExamples[] = {
    {R"({ do = "dimple", radius = "4 mm", depth = "1 mm", spacing = "10 mm" })", "raindrops"},
};

void apply(const Arguments& a, Workpiece& w) {
  if (w.bar().section == Section::round) w.need_even(a);
  w.heat(a, false, 1);
  Profile ball;
  ball.radius = a.number("radius");
  ball.flank_rad = 1.5;  // a ball end runs out into a shank
  Pattern pattern{set_of(a.word("set")), a.number("spacing"), false, unsigned(a.number("seed"))};
  const double depth = a.number("depth");
  const std::string sides = a.word("sides");
  if (a.word("flow") == "metal" && w.bar().even())
    return dimple_by_flow(w, {ball, pattern, depth, sides != "bottom", sides != "top", sides == "offset", a.word("ends") == "held",
                              {a.number("sensitivity"), a.number("friction")}}, a, "depth");
  if (a.word("flow") == "metal") w.row().rough = "studs on an uneven bar; followed by plane sections";
  ToolPair tools;
  if (sides != "bottom") tools.top = studs(ball, pattern, depth);
  pattern.between = sides == "offset";
  if (sides != "top") tools.bottom = studs(ball, pattern, depth);
  press_faces(w, tools, a.word("ends") == "held", a, "depth");
}

}  // namespace

namespace steps {
extern const Step dimple{
    "dimple", "Press round studs into the faces (raindrop).", Kind::bulk, kParameters, kExamples,
    "Presses ball-ended studs into one or both faces. Ground flat, each dimple shows closed rings; skin layers sit in its middle. "
    "The flow of the hot metal about one stud is solved in a round cell and kept for the next time; cells are laid side by side, and "
    "staggered studs bend the bar between them, to first order (docs/model.md). Layers sink with a stud in the skin and hardly in "
    "the depth: grind little, or press deeper. `flow = \"plane\"` takes plane sections instead, where a layer at depth d under a "
    "ball of radius R pressed to depth h makes a ring of radius sqrt(2R(h-d) - (h-d)^2) at the face. On an uneven bar studs always "
    "go by plane sections. The bar grows in length alone.",
    apply};
}  // namespace steps
}  // namespace etchcast
