// A smith's own outline: read, then asked whether a blade could be cut to it.
#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "base/words.hpp"
#include "blade/outline.hpp"
#include "blade/svg_file.hpp"
#include "blade/svg_path.hpp"

namespace etchcast {
namespace {

using Eigen::Vector2d;

constexpr double kFineness = 0.001;   // mm from the true curve, as for the built-in shapes
constexpr Plunge kPlunge = {6, 0.4};  // between a ricasso's and a neck's: the path does not say which it has

constexpr const char* kExample =
    R"(e.g. path = "M 0 0 C 60 0 125 4 150 12 C 130 24 90 28 0 29 L -30 25 L -30 16 L 0 14 Z")";

std::string at(const Vector2d& p) { return fmt::format("x = {:.1f}, y = {:.1f} mm", p.x(), p.y()); }

/// A fault of the outline on its way to the Diagnostic.
[[noreturn]] void refuse(const std::string& message, const std::string& hint) { throw PathFault(message, hint); }

Polygon single_loop(const std::string& path) {
  if (path.find_first_not_of(" \t\r\n") == std::string::npos) refuse("the blade's own outline is empty", kExample);
  std::vector<Stroke> strokes = trace_path(path, Vector2d(1, 1), kFineness);
  std::erase_if(strokes, [](const Stroke& s) { return s.points.size() < 2; });
  if (strokes.empty()) refuse("the blade's own outline has no lines", kExample);
  if (strokes.size() > 1) {
    refuse(fmt::format("the path draws {} separate lines; an outline is one closed line", strokes.size()),
           "one M at the beginning, one Z at the end; holes are left out");
  }
  const Stroke& stroke = strokes.front();
  if (!stroke.closed) {
    refuse(fmt::format("the outline is open: it begins at {} and ends at {}", at(stroke.points.front()),
                       at(stroke.points.back())),
           "end the path with Z");
  }
  return stroke.points;
}

void check_size(const Polygon& polygon, double length) {
  if (!(length >= 40 && length <= 1200)) {
    refuse(fmt::format("the outline reaches {:.4g} mm from the heel (x = 0) to the tip", length),
           "a path counts in mm, x from the heel to the tip: 40 to 1200 mm");
  }
  double lowest = 1e9, highest = -1e9;
  for (const Vector2d& p : clipped_left(polygon, 0)) {
    lowest = std::min(lowest, p.y());
    highest = std::max(highest, p.y());
  }
  if (std::abs(lowest) > 0.5) {
    refuse(fmt::format("the outline's edge lies at y = {:.4g} mm, not at 0", lowest),
           "y counts up from the lowest point of the edge to the spine; a screen's y counts down and must be mirrored");
  }
  if (highest - lowest < 6 || highest - lowest > 250) {
    refuse(fmt::format("the outline is {:.4g} mm high", highest - lowest), "give 6 to 250 mm from edge to spine");
  }
}

/// Metal must stand in one piece between edge and spine; a notch or an overhanging heel may hide a little.
void check_columns(const Polygon& polygon, double length) {
  for (int i = 1; i < 100; ++i) {
    const double x = length * i / 100;
    const Column column = column_at(polygon, x);
    if (column.void_mm <= 0.4 * (column.high - column.low)) continue;
    refuse(fmt::format("the outline folds back over itself: at x = {:.1f} mm there is air between edge and spine", x),
           "a blade is one piece of metal from edge to spine");
  }
}

Outline checked_outline(const BladePlan& plan) {
  Polygon polygon = plan.drawing ? read_drawing(*plan.drawing, kFineness) : single_loop(plan.path);
  if (const auto point = crossing(polygon)) {
    refuse(fmt::format("the outline crosses itself near {}", at(*point)), "an outline goes round the blade once");
  }
  double length = 0, lowest = 1e9;
  for (const Vector2d& p : polygon) length = std::max(length, p.x());
  check_size(polygon, length);
  if (plan.heel_mm || (plan.length_mm != 0 && std::abs(plan.length_mm - length) > 0.5)) {
    refuse(fmt::format("the outline is {:.1f} mm long as drawn, and sizes beside it would contradict it", length),
           "a path is used in its own mm: leave out length and heel, or use a built-in shape");
  }
  check_columns(polygon, length);
  if (signed_area(polygon) < 0) std::ranges::reverse(polygon);
  for (const Vector2d& p : clipped_left(polygon, 0)) lowest = std::min(lowest, p.y());
  for (Vector2d& p : polygon) p.y() -= lowest;
  polygon = clipped_left(polygon, -plan.tang_mm);
  double tang = 0;
  for (const Vector2d& p : polygon) tang = std::max(tang, -p.x());
  return {std::move(polygon), length, tang, kPlunge};
}

}  // namespace

Outline read_outline(const BladePlan& plan, std::vector<Diagnostic>& faults) {
  try {
    return checked_outline(plan);
  } catch (const PathFault& fault) {
    const Place& place = plan.path_place.file.empty() ? plan.place : plan.path_place;
    const std::string in = plan.drawing ? in_quotes(plan.path) + ": " : "";
    faults.push_back({place, "blade.path", in + fault.what(), fault.hint, {}});
    return {};
  }
}

}  // namespace etchcast
