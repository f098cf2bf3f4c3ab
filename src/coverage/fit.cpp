// Does the blade lie inside its bar?
#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "coverage/view.hpp"
#include "etchcast/render.hpp"
#include "workpiece/relief.hpp"

namespace etchcast {

namespace {

constexpr double kSlack = 0.01;  // mm; a blade exactly as thick as its bar fits

void check_plan(const Bar& bar, const Blade& blade, const Place3& place, Fit& fit) {
  double heel = 0, tip = 0, low = 0, high = 0;
  const double roll = place.flip ? -1 : 1;
  for (const auto& p : blade.outline()) {
    const double x = place.x + p.x(), y = place.y + roll * p.y();
    heel = std::max(heel, -x), tip = std::max(tip, x - bar.length_mm);
    low = std::max(low, -bar.width_mm / 2 - y), high = std::max(high, y - bar.width_mm / 2);
  }
  const double over = place.flip ? low : high, under = place.flip ? high : low;
  if (tip > kSlack)
    fit.problems.push_back(fmt::format("the tip runs out of the bar by {:.1f} mm: heel at {:.1f} mm, blade {:.1f} mm, bar {:.1f} mm", tip, place.x, blade.length(), bar.length_mm));
  if (heel > kSlack) fit.problems.push_back(fmt::format("the tang runs out of the bar's heel end by {:.1f} mm", heel));
  if (under > kSlack) fit.problems.push_back(fmt::format("the edge runs out of the bar by {:.1f} mm: the bar is {:.1f} mm wide, the blade {:.1f} mm high", under, bar.width_mm, blade.height()));
  if (over > kSlack) fit.problems.push_back(fmt::format("the spine runs out of the bar by {:.1f} mm: the bar is {:.1f} mm wide, the blade {:.1f} mm high", over, bar.width_mm, blade.height()));
}

void check_thickness(const Bar& bar, const Blade& blade, const Place3& place, Fit& fit) {
  double worst = 0, at_x = 0, at_y = 0;
  const double roll = place.flip ? -1 : 1;
  // Floors below the ground plane are not a misfit (the picture shows them, check() warns): measure by the highest metal.
  const bool round = bar.section == Section::round;
  const double top = round ? 0 : bar.top->highest(), bottom = round ? 0 : bar.bottom->lowest();
  for (const auto& p : blade.outline()) {
    for (const Side side : {Side::right, Side::left}) {
      const double z = place.z + roll * (side == Side::right ? 1 : -1) * blade.half_thickness(side, p.x(), p.y());
      const double x = place.x + p.x(), y = place.y + roll * p.y();
      const double out = round ? std::max(z - bar.top_at(x, y), bar.bottom_at(x, y) - z) : std::max(z - top, bottom - z);
      if (out > worst) worst = out, at_x = p.x(), at_y = p.y();
    }
  }
  if (worst > kSlack)
    fit.problems.push_back(fmt::format("the bar is too thin by {:.2f} mm a side, {:.0f} mm from the heel and {:.0f} mm up: bar {:.2f} mm, blade {:.2f} mm at the spine there",
                                       worst, at_x, at_y, bar.thickness_mm, blade.spine_thickness(at_x)));
}

}  // namespace

Fit fit_blade(const Bar& bar, const Blade& blade, const BladePlan& plan) {
  const Place3 place = place_in(bar, blade, plan);
  Fit fit{place.x, place.y, place.z, {}};
  check_plan(bar, blade, place, fit);
  check_thickness(bar, blade, place, fit);
  return fit;
}

std::vector<Point<double>> bar_from_blade(const Bar& bar, const Blade& blade, const BladePlan& plan, Side side,
                                          const std::vector<Eigen::Vector2d>& points) {
  const Place3 place = place_in(bar, blade, plan);
  const double roll = place.flip ? -1 : 1;
  std::vector<Point<double>> out;
  for (const auto& p : points) {
    double z, zx, zy;
    const double x = p.x(), y = p.y();
    blade.surface(side, 1, &x, &y, &z, &zx, &zy);
    Point<double> q{place.x + x, place.y + roll * y, place.z + roll * z};
    // Where a floor lies below the blade's face, the skin of the floor is the face.
    q.z = std::clamp(q.z, bar.bottom_at(q.x, q.y), bar.top_at(q.x, q.y));
    out.push_back(q);
  }
  return out;
}

}  // namespace etchcast
