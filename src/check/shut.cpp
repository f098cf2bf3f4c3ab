// Grooves that are forged shut: walls that meet take scale in with them and leave a seam.
#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "check/scene.hpp"
#include "workpiece/relief.hpp"

namespace etchcast {
namespace {

constexpr double kInch = 25.4;  // mm, exactly
// Hollows deeper than this share of their opening close by their walls, not by their floor. By the metal's flow floors of 45
// degree vees come up as fast as their walls close, and slots stay open as slits; the share between is an estimate.
constexpr double kSteep = 0.8;

struct Hollow {
  double deep = 0, wide = 0;  ///< mm below the face; across the opening
};

/// The hollow of the face that is deepest for its opening. `sign` 1: upper face.
Hollow steepest_hollow(const Relief& face, double length, int sign) {
  constexpr double kStep = 0.02;
  const double level = sign > 0 ? face.highest() : -face.lowest();
  Hollow worst, now;
  for (double x = 0; x <= length; x += kStep) {
    const double below = level - sign * face(x, 0);
    if (below > 0.03) {  // mm: less is no hollow
      now.deep = std::max(now.deep, below), now.wide += kStep;
      continue;
    }
    if (now.deep * worst.wide > worst.deep * now.wide || worst.wide == 0) worst = now;
    now = {};
  }
  return worst;
}

void check_face(const LedgerRow& row, const Relief& face, double length, int sign, Findings& findings) {
  if (face.form() != Relief::Form::ridged || std::abs(face.angle()) > 1.1) return;
  const Hollow h = steepest_hollow(face, length, sign);
  const double wide = h.wide * std::cos(face.angle());
  if (h.deep < 0.1 || h.deep < kSteep * wide) return;
  findings.warn(row.place, about_step(row),
                fmt::format("a groove of the {} is still {:.2f} mm ({:.3f} in) deep and only {:.2f} mm ({:.3f} in) wide: its walls "
                            "will meet before its floor comes up, a cold shut. Grind it out now, or cut it with flatter walls "
                            "(a vee of 90 deg or more)",
                            sign > 0 ? "top" : "bottom", h.deep, h.deep / kInch, wide, wide / kInch));
}

}  // namespace

void check_shut(const Scene& scene, Findings& findings) {
  for (const BilletStory& story : scene.forging.billets)
    for (size_t step = 1; step < story.rows.size(); ++step) {
      if (story.rows[step].step != "flatten") continue;
      // Plane sections close every hollow, however steep: there the groove as it was cut tells.
      const Bar &after = *story.bars[step], &bar = after.even() ? *story.bars[step - 1] : after;
      check_face(story.rows[step], *bar.top, bar.length_mm, 1, findings);
      check_face(story.rows[step], *bar.bottom, bar.length_mm, -1, findings);
    }
}

}  // namespace etchcast
