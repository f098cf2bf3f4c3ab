// flatten: an uneven bar forged flat.
#include "workpiece/flattening.hpp"

namespace etchcast {
namespace {

constexpr Parameter kParameters[] = {
    {"thickness", Unit::length, 0.2, 500, "", false, "", "Thickness after. Default: the thinnest section there is."},
    {"flow", Unit::word, 0, 0, "metal", false, "metal|plane",
     "How the metal is taken to move: as it flows (faces that repeat, holes in an even bar), or by plane sections (always after other steps)."},
    {"friction", Unit::number, 0, 1, "1", false, "", "Between metal and die: 0 slides, 1 sticks.", "flow=metal"},
    {"sensitivity", Unit::number, 0.05, 1, "0.17", false, "", "Rate sensitivity of the hot steel.", "flow=metal"},
};
constexpr Example kExamples[] = {
    {R"({ do = "flatten" })", "floors come up to the faces"},
};

void apply(const Arguments& a, Workpiece& w) {
  if (w.bar().even()) a.refuse("do", "the bar is flat already", "use 'draw' to make it thinner");
  w.heat(a, false, 1);
  const double thickness = a.has("thickness") ? a.number("thickness") : heights(w.bar()).least;
  forge_between_flat_dies(w, thickness, a.word("flow") == "metal", {a.number("sensitivity"), a.number("friction")}, a);
}

}  // namespace

namespace steps {
extern const Step flatten{
    "flatten", "Forge a grooved, drilled or pressed bar flat.", Kind::bulk, kParameters, kExamples,
    "Brings uneven faces to one level at the stated thickness, by default the thinnest section. Grooved and pressed bars whose faces "
    "repeat are closed by the metal's own flow, solved for one repeat as in 'press'; floors that the dies do not reach stay hollow "
    "and are told. Holes drilled into an even bar close by the flow solved about one of them in a round cell. Hammered and studded "
    "faces, and bars pressed over a part, go by plane sections: the bar lengthens by mean thickness / thickness. Metal under the floor "
    "of a groove or hole stays deep metal, now at the face.",
    apply};
}  // namespace steps
}  // namespace etchcast
