// The steepest hollow of a face, and whether it folds.
#include "workpiece/shut.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace etchcast {
namespace {

// Hollows deeper than this share of their opening close by their walls, not by their floor. By the metal's flow floors of 45
// degree vees come up as fast as their walls close, and slots stay open as slits; the share between is an estimate.
constexpr double kSteep = 0.8;

struct Hollow {
  double deep = 0, wide = 0;  ///< mm below the face; across the opening
};

/// The hollow of the face that is deepest for its opening, along the bar's middle line, or across the bar where the grooves
/// run along it. `sign` 1: upper face.
Hollow steepest_hollow(const Relief& face, const Bar& bar, int sign) {
  constexpr double kStep = 0.02;
  const bool along = std::abs(face.angle()) < 0.785;
  const double level = sign > 0 ? face.highest() : -face.lowest(), from = along ? 0 : -bar.width_mm / 2;
  const double to = along ? bar.length_mm : bar.width_mm / 2;
  const double slant = along ? std::cos(face.angle()) : std::abs(std::sin(face.angle()));
  Hollow worst, now;
  for (double place = from; place <= to; place += kStep) {
    const double below = level - sign * (along ? face(place, 0) : face(bar.length_mm / 2, place));
    if (below > 0.03) {  // mm: less is no hollow
      now.deep = std::max(now.deep, below), now.wide += kStep * slant;
      continue;
    }
    if (now.deep * worst.wide > worst.deep * now.wide || worst.wide == 0) worst = now;
    now = {};
  }
  return worst;
}

void warn_of_face(Workpiece& w, const Bar& bar, const Relief& face, int sign, const Place& place) {
  if (face.form() != Relief::Form::ridged) return;
  const Hollow h = steepest_hollow(face, bar, sign);
  if (h.deep < 0.1 || h.deep < kSteep * h.wide) return;
  w.warn(place,
         fmt::format("a groove in the {} face is {} deep and only {} wide. Its walls will meet before its floor comes up, and leave "
                     "a cold shut in the bar. Grind the groove out first, or cut it with flatter walls: a vee of 90 deg or wider.",
                     sign > 0 ? "top" : "bottom", w.say().length(h.deep), w.say().length(h.wide)));
}

}  // namespace

void warn_of_shuts(Workpiece& w, const Bar& bar, const Place& place) {
  warn_of_face(w, bar, *bar.top, 1, place);
  warn_of_face(w, bar, *bar.bottom, -1, place);
}

}  // namespace etchcast
