// flatten: an uneven bar forged flat.
#include "workpiece/flattening.hpp"

namespace etchcast {
namespace {

constexpr Parameter kParameters[] = {
    {"thickness", Unit::length, 0.2, 500, "", false, "", "Thickness after. Default: that of the thinnest place."},
    {"flow", Unit::word, 0, 0, "metal", false, "metal|plane",
     "How the metal moves: metal, as hot steel flows between flat dies; plane, as if each layer kept its share of the thickness everywhere."},
    {"friction", Unit::number, 0, 1, "1", false, "", "Between metal and die: 0 slides, 1 sticks.", "flow=metal"},
    {"sensitivity", Unit::number, 0.05, 1, "0.17", false, "", "Rate sensitivity of the hot steel: m in stress = (rate of shear)^m.", "flow=metal"},
};
constexpr Example kExamples[] = {
    {R"({ do = "flatten" })", "the humps go down and the floors come up"},
};

void apply(const Arguments& a, Workpiece& w) {
  if (w.bar().even()) a.refuse("do", "the bar is flat already", "make it thinner with 'draw'");
  w.heat(a, false, 1);
  const double thickness = a.has("thickness") ? a.number("thickness") : heights(w.bar()).least;
  forge_between_flat_dies(w, thickness, a.word("flow") == "metal", {a.number("sensitivity"), a.number("friction")}, a);
}

}  // namespace

namespace steps {
extern const Step flatten{
    "flatten", "Forge a grooved, drilled or pressed bar flat.", Kind::bulk, kParameters, kExamples,
    "Forges the bar between flat dies to the stated thickness, by default that of its thinnest place. The dies push the humps down, and "
    "the floors of grooves and holes come up; the metal under a floor is deep metal, and shows in the face now. Floors that do not come "
    "up all the way stay hollow, and a note tells how deep. `draw`, `weld` and `upset` do the same to an uneven bar before anything else, so "
    "this step is only needed before steps that must have flat faces, such as `restack` or `twist`. "
    "For grooves and ridges that repeat the flow of the metal is worked out as in `press`, and for holes drilled into a flat bar about "
    "one hole. Hammered and studded faces, and bars pressed over a part, go by plane sections: each layer keeps its share of the thickness. "
    "A warning tells of grooves so steep that their walls meet before their floor comes up: that leaves a cold shut.",
    apply};
}  // namespace steps
}  // namespace etchcast
