// draw: longer and thinner under hammer, press or rolls.
#include <cmath>

#include <fmt/format.h>

#include "tape/section_map.hpp"
#include "tape/squaring.hpp"
#include "workpiece/flattening.hpp"

namespace etchcast {
namespace {

constexpr Parameter kParameters[] = {
    {"thickness", Unit::length, 0.2, 500, "", true, "", "Thickness after drawing; of a round bar, its diameter."},
    {"width", Unit::length, 0.5, 1000, "", false, "", "Width after drawing. Default: spreads by itself."},
    {"bite", Unit::length, 1, 500, "", false, "",
     "Length of die in contact at each blow; sets the spread when width is left open.", "section=rect&!width"},
    {"section", Unit::word, 0, 0, "rect", false, "rect|round", "Forged flat-sided, or round from a square bar."},
};
constexpr Example kExamples[] = {
    {R"({ do = "draw", thickness = "10 mm", width = "40 mm" })", "length follows from the volume"},
    {R"({ do = "draw", thickness = "5 mm" })", "width grows by (before / after) to the power 0.3"},
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
  if (a.has("width")) a.refuse("width", "a round bar has one size, its diameter", "leave width out");
  const double across = side / w.width(), through = side / w.thickness();
  w.stretch(1 / (across * through), across, through);
  w.bend(section_map({true, side / 2, side / 2}, {false, side / 2, side / 2}));
  w.set_section(Section::round);
  w.set_size(w.length(), diameter, diameter);
}

void apply(const Arguments& a, Workpiece& w) {
  w.need_even(a, false, true);
  const double to = a.number("thickness");
  const double area = w.bar().volume_mm3 / w.length();
  const double width = a.has("width") ? a.number("width") : w.width();
  const double area_to = a.word("section") == "round" ? to * to * squaring::kPi / 4 : to * width;
  // Common practice: a heat draws a bar down by some 40 % of its section.
  const int heats = std::max(1, int(std::ceil(std::log(std::max(1.0, area / area_to)) / -std::log(0.6) - 1e-9)));
  w.heat(a, false, heats);
  if (w.bar().section == Section::round && a.word("section") != "round") make_square(w);
  if (a.word("section") == "round") {
    if (w.bar().section == Section::round) return w.stretch(std::pow(w.thickness() / to, 2), to / w.thickness(), to / w.thickness());
    flatten_first(w, to / 2, a);
    w.need_even(a);
    return make_round(a, w, to);
  }
  if (to > w.thickness() * (1 + 1e-9))
    a.refuse("thickness", fmt::format("the bar is {:.2f} mm thick here, thinner than the {:.2f} mm asked for", w.thickness(), to),
             "drawing makes a bar thinner; 'upset' makes it thicker and shorter");
  flatten_first(w, to, a);
  const double through = to / w.thickness();
  const double spread = a.has("bite") ? spread_of(a.number("bite"), w.width()) : 0.3;
  const double across = a.has("width") ? a.number("width") / w.width() : std::pow(1 / through, spread);
  w.stretch(1 / (across * through), across, through);
  if (w.length() < 1) a.refuse("do", fmt::format("the bar would be {:.2f} mm long", w.length()), "check thickness and width");
}

}  // namespace

namespace steps {
extern const Step draw{
    "draw", "Draw the bar out: thinner, longer.", Kind::bulk, kParameters, kExamples,
    "Stretches the bar along its axes; the third side follows from volume. With the width left open it grows by "
    "(thickness before / after) to the power 0.3, or to the power that the bite gives (Tomlinson and Stringer). A heat is "
    "booked for every 40 % of section taken off, and its scale is lost. `section = \"round\"` forges a square bar round, or "
    "back, by a map that keeps area and does not crease.",
    apply};
}  // namespace steps
}  // namespace etchcast
