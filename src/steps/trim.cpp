// trim: ends and sides cut off.
#include <fmt/format.h>

#include "workpiece/workpiece.hpp"

namespace etchcast {
namespace {

constexpr Parameter kParameters[] = {
    {"ends", Unit::length, 0, 5000, "0 mm", false, "", "Cut off each end."},
    {"heel", Unit::length, 0, 20000, "0 mm", false, "", "Cut off the heel end, besides `ends`."},
    {"tip", Unit::length, 0, 20000, "0 mm", false, "", "Cut off the tip end, besides `ends`."},
    {"sides", Unit::length, 0, 500, "0 mm", false, "", "Cut off each side."},
};
constexpr Example kExamples[] = {
    {R"({ do = "trim", ends = "10 mm", sides = "2 mm" })", "20 mm shorter, 4 mm narrower"},
};

void apply(const Arguments& a, Workpiece& w) {
  w.need_even(a, true, true);
  if (w.holes()) a.refuse("do", "the holes are still open here", "forge them shut first ('flatten'), then trim");
  const double heel = a.number("ends") + a.number("heel"), tip = a.number("ends") + a.number("tip");
  if (heel + tip >= w.length() - 1)
    a.refuse(a.has("ends") ? "ends" : "do",
             fmt::format("nothing would be left of a bar {} long", w.say().length(w.length())), "cut less off the ends");
  if (2 * a.number("sides") >= w.width() - 1)
    a.refuse("sides", fmt::format("nothing would be left of a bar {} wide", w.say().length(w.width())),
             "cut less off the sides");
  w.cut(0, 0, a.number("sides"), heel, tip);
  if (heel > 0) w.cut_handle("with the heel end");
}

}  // namespace

namespace steps {
extern const Step trim{
    "trim", "Cut ends and sides off.", Kind::cut, kParameters, kExamples,
    "Takes metal off the ends and sides. Common practice: a weld leaves fish-mouthed ends that cost 6 to 13 mm (1/4 to 1/2 in) "
    "each, and pinched edges that cost 3 to 5 mm (1/8 to 3/16 in) a side.",
    apply};
}  // namespace steps
}  // namespace etchcast
