// hammer: random blows of a crowned hammer.
#include <fmt/format.h>

#include "workpiece/hammering.hpp"

namespace etchcast {
namespace {

constexpr Parameter kParameters[] = {
    {"crown", Unit::length, 2, 2000, "60 mm", false, "", "Radius of the hammer's face: 10-20 mm a ball peen, 50-150 mm a crowned face or die."},
    {"depth", Unit::length, 0.01, 50, "0.6 mm", false, "", "Depth of the hardest blow; others reach 0.4 of it and up."},
    {"spacing", Unit::length, 1, 500, "12 mm", false, "", "Mean distance from blow to blow."},
    {"sides", Unit::word, 0, 0, "both", false, "top|bottom|both", "Faces that are worked."},
    {"seed", Unit::count, 0, 1e9, "1", false, "", "Another number gives other blows."},
    {"flow", Unit::word, 0, 0, "metal", false, "metal|plane",
     "How the metal is taken to move: each wave of the dented face dying out with depth as in slow flow, or by plane sections."},
    {"friction", Unit::number, 0, 1, "1", false, "", "Between metal, hammer and anvil: 0 slides, 1 sticks.",
     "flow=metal"},
};
constexpr Example kExamples[] = {
    {R"({ do = "hammer", crown = "20 mm", depth = "0.5 mm", spacing = "9 mm" })", "a lively random pattern"},
};

void apply(const Arguments& a, Workpiece& w) {
  if (w.bar().section == Section::round) w.need_even(a);
  w.heat(a, false, 1);
  const unsigned seed = unsigned(a.number("seed"));
  const auto face = [&](unsigned own) { return Blows{a.number("crown"), a.number("spacing"), a.number("depth"), own}; };
  const bool top = a.word("sides") != "bottom", bottom = a.word("sides") != "top";
  if (a.word("flow") == "metal" && w.bar().even())
    return hammer_by_flow(w, face(2 * seed), top, face(2 * seed + 1), bottom, a.number("friction"), a, "depth");
  if (a.word("flow") == "metal") w.row().rough = "blows on an uneven bar; followed by plane sections";
  refuse_crowding(w, face(0), a);
  ToolPair tools;
  if (top) tools.top = blows(face(2 * seed));
  if (bottom) tools.bottom = blows(face(2 * seed + 1));
  press_faces(w, tools, false, a, "depth");
}

}  // namespace

namespace steps {
extern const Step hammer{
    "hammer", "Work the faces with random blows.", Kind::bulk, kParameters, kExamples,
    "Dents the faces at random: an irregular, low ladder. Ground flat it gives the 'random' pattern; a ball peen used at twice "
    "the final thickness makes it livelier (common practice). Each wave of the dented face dies out with depth as in slow flow: wide "
    "dents reach through the bar, narrow ones stay in the skin (docs/model.md). Which dent falls where is a throw of dice, set by "
    "`seed`. On an uneven bar blows go by plane sections.",
    apply};
}  // namespace steps
}  // namespace etchcast
