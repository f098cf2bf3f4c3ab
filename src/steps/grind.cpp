// grind: the faces ground to planes.
#include <algorithm>

#include <fmt/format.h>

#include "workpiece/forming.hpp"

namespace etchcast {
namespace {

constexpr Parameter kParameters[] = {
    {"thickness", Unit::length, 0.2, 500, "", false, "", "Thickness after grinding."},
    {"depth", Unit::length, 0, 200, "", false, "", "Instead of the thickness: how much comes off each named face, from its highest place."},
    {"faces", Unit::word, 0, 0, "both", false, "both|top|bottom", "Which faces are ground."},
};
constexpr Example kExamples[] = {
    {R"({ do = "grind", thickness = "8 mm" })", "the same off each face"},
    {R"({ do = "grind", depth = "0.5 mm", faces = "top" })", "the skin of one face goes"},
};

struct Planes {
  double bottom, top;
};

/// From both faces: the new mid-plane lies midway between the deepest floors, so that humps go first.
Planes planes_of(const Arguments& a, const Bar& bar) {
  const Relief &top = *bar.top, &bottom = *bar.bottom;
  const std::string faces = a.word("faces");
  if (a.has("depth")) {
    const double d = a.number("depth");
    return {bottom.lowest() + (faces != "top" ? d : 0), top.highest() - (faces != "bottom" ? d : 0)};
  }
  const double t = a.number("thickness");
  if (faces == "top") return {bottom.lowest(), bottom.lowest() + t};
  if (faces == "bottom") return {top.highest() - t, top.highest()};
  const double middle = (top.lowest() + bottom.highest()) / 2;
  return {middle - t / 2, middle + t / 2};
}

Relief planed(const Bar& bar, const Relief& face, double plane, double shift, bool upper) {
  const bool clean = upper ? face.lowest() >= plane - 1e-6 : face.highest() <= plane + 1e-6;
  if (clean || face.form() == Relief::Form::flat)
    return Relief::flat((upper ? std::min(face.highest(), plane) : std::max(face.lowest(), plane)) - shift);
  if (face.form() == Relief::Form::free) return face.planed(plane, upper).raised(-shift);
  const auto level = [&](double z) { return (upper ? std::min(z, plane) : std::max(z, plane)) - shift; };
  const double c = std::cos(face.angle()), s = std::sin(face.angle());
  const double low = std::min(0.0, bar.length_mm * c) - std::abs(s) * bar.width_mm / 2;
  const double high = std::max(0.0, bar.length_mm * c) + std::abs(s) * bar.width_mm / 2;
  return Relief::ridged(face.angle(), low, high, 0.02, [&](double u) { return level(face(u * c, u * s)); });
}

void apply(const Arguments& a, Workpiece& w) {
  w.need_even(a, true, true);
  if (a.has("thickness") == a.has("depth"))
    a.refuse("do", "a grind needs either 'thickness' or 'depth'", "e.g. thickness = \"3.2 mm\"");
  const Bar old = w.bar();
  const auto repeat = w.repeat();
  const Planes p = planes_of(a, old);
  const double t = p.top - p.bottom, stands = old.top->highest() - old.bottom->lowest();
  if (t < 0.1)
    a.refuse(a.has("depth") ? "depth" : "thickness", fmt::format("nothing would be left of {}", w.say().length(stands)), "grind less");
  if (t > stands + 1e-9)
    a.refuse("thickness",
             fmt::format("the bar is {} thick here, thinner than the {} asked for", w.say().length(stands), w.say().length(t)),
             fmt::format("ask for less than {}; each heat before it takes its scale", w.say().length(stands)));
  if (old.even()) return w.cut(std::max(0.0, p.bottom - old.bottom->lowest()), std::max(0.0, old.top->highest() - p.top), 0, 0, 0);
  const double mean = heights(old).mean, middle = (p.top + p.bottom) / 2;
  const double low_floor = p.top - old.top->lowest(), high_floor = old.bottom->highest() - p.bottom;
  for (const auto& [floor, name] : {std::pair{low_floor, "top"}, std::pair{high_floor, "bottom"}})
    if (floor > 0.005)
      w.warn(a.call().place,
             fmt::format("floors on the {} face stay {} below the ground face. Grind to {}, or press less deep", name,
                         w.say().length(floor), w.say().length(t - 2 * std::max(low_floor, high_floor))));
  w.note(fmt::format("the grinder takes {} off the humps of the top and {} off those of the bottom",
                     w.say().length(std::max(0.0, old.top->highest() - p.top)),
                     w.say().length(std::max(0.0, p.bottom - old.bottom->lowest()))));
  w.grind_off(std::max(0.0, p.bottom - old.bottom->highest()), std::max(0.0, old.top->lowest() - p.top));
  w.recentre(middle);
  w.set_faces(planed(old, *old.bottom, p.bottom, middle, false), planed(old, *old.top, p.top, middle, true));
  w.set_size(old.length_mm, old.width_mm, w.bar().top->highest() - w.bar().bottom->lowest());
  w.settle_volume(old.volume_mm3 * heights(w.bar()).mean / mean);
  if (!w.bar().even()) w.set_repeat(repeat);
}

}  // namespace

namespace steps {
extern const Step grind{
    "grind", "Grind the faces flat.", Kind::cut, kParameters, kExamples,
    "Takes metal off in planes; no metal moves. After pressing, what is ground from both faces ends at planes midway between the "
    "deepest floors, so that the humps go first. Floors below the plane stay as forged, and a warning tells how deep they are.",
    apply};
}  // namespace steps
}  // namespace etchcast
