// flatten: an uneven bar forged flat.
#include <fmt/format.h>

#include "workpiece/forming.hpp"

namespace etchcast {
namespace {

constexpr Parameter kParameters[] = {
    {"thickness", Unit::length, 0.2, 500, "", false, "", "Thickness after. Default: the thinnest section there is."},
    {"flow", Unit::word, 0, 0, "plane", false, "plane", "How the metal is taken to move: plane sections."},
};
constexpr Example kExamples[] = {
    {R"({ do = "flatten" })", "floors come up to the faces"},
};

void apply(const Arguments& a, Workpiece& w) {
  if (w.bar().even()) a.refuse("do", "the bar is flat already", "use 'draw' to make it thinner");
  w.heat(a, false, 1);
  forge_flat(w, a.has("thickness") ? a.number("thickness") : heights(w.bar()).least, a);
}

}  // namespace

namespace steps {
extern const Step flatten{
    "flatten", "Forge a grooved, drilled or pressed bar flat.", Kind::bulk, kParameters, kExamples,
    "Brings uneven faces to one level at the stated thickness, at most the thinnest section. The bar lengthens by mean "
    "thickness / thickness. Metal under a groove's floor stays deep metal, now at the face.",
    apply};
}  // namespace steps
}  // namespace etchcast
