// draw: longer and thinner under hammer, press or rolls.
#include <cmath>

#include <fmt/format.h>

#include "tape/section_map.hpp"
#include "tape/squaring.hpp"
#include "workpiece/flattening.hpp"

namespace etchcast {
namespace {

constexpr Parameter kParameters[] = {
    {"thickness", Unit::length, 0.2, 500, "", true, "", "Thickness after drawing; of a round bar its diameter."},
    {"width", Unit::length, 0.5, 1000, "", false, "", "Width after drawing. Left out, the bar spreads by itself."},
    {"bite", Unit::length, 1, 500, "", false, "",
     "Length of the die that touches the bar at each blow. It sets the spread when the width is left out.",
     "section=rect&!width"},
    {"section", Unit::word, 0, 0, "rect", false, "rect|round", "Forged flat-sided, or forged round from a square bar."},
};
constexpr Example kExamples[] = {
    {R"({ do = "draw", thickness = "10 mm", width = "40 mm" })", "the length follows from the volume"},
    {R"({ do = "draw", thickness = "5 mm" })", "the width grows by (thickness before / after) to the power 0.3"},
};

/// Spread exponent of open-die forging; Tomlinson and Stringer 1959, value from memory: docs/references.md [TS59].
double spread_of(double bite, double width) {
  const double r = bite / width;
  return 0.14 + 0.36 * r - 0.054 * r * r;
}

void make_square(Workpiece& w) {
  const double side = w.thickness() * std::sqrt(squaring::kPi) / 2;
  w.bend(section_map({false, side / 2, side / 2}, {true, side / 2, side / 2}));
  w.set_section(Section::rect);
  w.set_size(w.length(), side, side);
  w.set_faces(Relief::flat(-side / 2), Relief::flat(side / 2));
}

void make_round(const Arguments& a, Workpiece& w, double diameter) {
  const double side = diameter * std::sqrt(squaring::kPi) / 2;
  if (a.has("width")) a.refuse("width", "a round bar has one size, its diameter", "leave the width out");
  const double across = side / w.width(), through = side / w.thickness();
  w.stretch(1 / (across * through), across, through);
  w.bend(section_map({true, side / 2, side / 2}, {false, side / 2, side / 2}));
  w.set_section(Section::round);
  w.set_size(w.length(), diameter, diameter);
}

/// What the bar's sides become, of a round bar those of the square of its area.
Sides sides_to(const Arguments& a, const Workpiece& w, double to) {
  const bool from_round = w.bar().section == Section::round, to_round = a.word("section") == "round";
  const double square = std::sqrt(squaring::kPi) / 2;
  const double width = w.width() * (from_round ? square : 1), thickness = w.thickness() * (from_round ? square : 1);
  if (to_round) return {to * square / width, to * square / thickness};
  const double through = to / thickness;
  const double spread = a.has("bite") ? spread_of(a.number("bite"), width) : 0.3;
  return {a.has("width") ? a.number("width") / width : std::pow(1 / through, spread), through};
}

[[noreturn]] void refuse_thicker(const Arguments& a, const Workpiece& w, double to) {
  const std::string there = w.say().length(w.thickness());
  std::string advice = "drawing only makes a bar thinner: 'upset' makes it thicker and shorter, 'restack' higher";
  if (to < 1.15 * w.thickness())
    advice = fmt::format("ask for {} or less; the scale of the heats comes off first. Or squeeze the weld before it less", there);
  else if (w.width() >= to)
    advice = fmt::format("the bar is {} wide: stand it on edge first, {{ do = \"turn\" }}, and draw it from there",
                         w.say().length(w.width()));
  a.refuse("thickness",
           fmt::format("the bar is {} thick here, thinner than the {} asked for", there, w.say().length(to)), advice);
}

void apply(const Arguments& a, Workpiece& w) {
  w.need_even(a, false, true);
  const double to = a.number("thickness");
  const Sides sides = sides_to(a, w, to);
  w.heat_down(a, false, sides, squeezed(sides));
  if (w.bar().section == Section::round && a.word("section") != "round") make_square(w);
  if (a.word("section") == "round") {
    if (w.bar().section == Section::round) return w.stretch(std::pow(w.thickness() / to, 2), to / w.thickness(), to / w.thickness());
    flatten_first(w, to / 2, a);
    w.need_even(a);
    return make_round(a, w, to);
  }
  if (to > w.thickness() * (1 + 1e-9)) refuse_thicker(a, w, to);
  flatten_first(w, to, a);
  const Sides left = sides_to(a, w, to);  // the fire has taken its scale, and humps are down
  w.stretch(left.along(), left.across, left.through);
  if (w.length() < 1)
    a.refuse("do", fmt::format("the bar would be {} long", w.say().length(w.length())), "check thickness and width");
}

}  // namespace

namespace steps {
extern const Step draw{
    "draw", "Draw the bar out: thinner, longer.", Kind::bulk, kParameters, kExamples,
    "Stretches the bar along its axes; the third side follows from volume. With the width left out it grows by (thickness before / "
    "after) to the power 0.3, or to the power that the bite gives (Tomlinson and Stringer). Heats are counted from how far the "
    "thickness and the edges go down, how long the bar stays above forging heat at that thickness, and the shop's tool: an "
    "estimate ([model.md](model.md#heats)), or say `heats`. Each heat costs its scale. A bar is drawn on its big faces: to make a slab "
    "square, `turn` it on edge and draw it there; a bar more than two and a half times as high as it is wide leans over and buckles "
    "(common practice). `section = \"round\"` forges a square bar round, or back, by a map that keeps area and does not crease.",
    apply};
}  // namespace steps
}  // namespace etchcast
