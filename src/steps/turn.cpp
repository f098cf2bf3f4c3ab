// turn: roll the bar about its length.
#include <cmath>

#include <fmt/format.h>

#include "workpiece/workpiece.hpp"

namespace etchcast {
namespace {

constexpr double kRight = 1.5707963267948966;
constexpr Parameter kParameters[] = {
    {"by", Unit::angle, -6.2832, 6.2832, "90 deg", false, "", "90, 180 or 270 degrees. A positive angle brings the spine side up."},
};
constexpr Example kExamples[] = {
    {R"({ do = "turn", by = "90 deg" })", "the layers stand on edge"},
};

void apply(const Arguments& a, Workpiece& w) {
  const double quarters = a.number("by") / kRight;
  if (std::abs(quarters - std::round(quarters)) > 1e-3)
    a.refuse("by", "a flat-sided bar lies on one of its four sides", "write 90, 180 or 270 deg");
  const int turns = ((int(std::lround(quarters)) % 4) + 4) % 4;
  if (turns == 0) return;
  if (turns % 2) w.need_even(a);
  w.turn(turns);
}

}  // namespace

namespace steps {
extern const Step turn{
    "turn", "Roll the bar onto its side or over.", Kind::bulk, kParameters, kExamples,
    "No metal moves: the bar only lies on another side under the hammer. After a quarter turn width and thickness have changed "
    "places and the layers stand on edge. So a slab is made square: turn it, draw it down on its edge, and turn it back if the layers "
    "are to lie flat.",
    apply};
}  // namespace steps
}  // namespace etchcast
