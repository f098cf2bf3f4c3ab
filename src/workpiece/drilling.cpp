// Shape of a hole, and faces told over one repeat of the set.
#include "workpiece/drilling.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "workpiece/layering.hpp"

namespace etchcast {

namespace {

/// Nodes to either side over which an upright wall is spread: fewer, and the table rings beside it.
constexpr double kWallNodes = 1.5;

double cone_slope(double point_rad) { return std::tan(std::max(0.0, 1.5707963267948966 - point_rad / 2)); }

/// Height of the floor over the deepest point that the drill's key tells.
double floor_rise(const Hole& h, double away) {
  if (h.ball) return h.radius - std::sqrt(std::max(0.0, h.radius * h.radius - away * away));
  const double slope = cone_slope(h.point_rad), secant = std::hypot(1, slope);
  if (away >= Hole::kTip * slope / secant) return slope * away;
  return Hole::kTip * secant - std::sqrt(Hole::kTip * Hole::kTip - away * away);
}

void refuse_misfits(const Workpiece& w, const Hole& hole, const Pattern& pattern, const Arguments& arguments) {
  const Measures& say = w.say();
  const double wide = 2 * hole.rim();
  if (wide > 0.98 * pattern.spacing)
    arguments.refuse("spacing",
                     fmt::format("holes {} apart are {} wide at the face: they overlap, and nothing is left between them",
                                 say.length(pattern.spacing), say.length(wide)),
                     fmt::format("set them at least {} apart{}", say.length(1.05 * wide),
                                 hole.wall_height() > 0 ? ", or take a smaller drill" : ", or drill less deep"));
}

/// A wall's spread as a cutter's table on an uneven bar has it.
ToolFace face_of(const Hole& hole, const Pattern& pattern) {
  ToolFace face;
  face.ridged = false;
  face.feature_mm = std::max(0.3, hole.radius / 3);
  face.over = [=, wall = kWallNodes * std::min(0.15, face.feature_mm / 4)](double x, double y) {
    return hole.reach(pattern.nearest(x, y), wall);
  };
  return face;
}

/// Heights of both faces over the holes' grid.
struct Drilled {
  std::vector<double> bottom, top;
};

Drilled faces_of(const Holes& holes, double thickness) {
  Drilled f;
  const double wall = kWallNodes * std::max(holes.grid.dx(), holes.grid.dy());
  for (size_t i = 0; i < holes.grid.size(); ++i) {
    const auto depth = [&, x = holes.grid.x(i), y = holes.grid.y(i)](bool drilled, const Pattern& set) {
      return drilled ? std::max(0.0, holes.hole.reach(set.nearest(x, y), wall)) : 0;
    };
    f.top.push_back(thickness / 2 - depth(holes.top, holes.top_set));
    f.bottom.push_back(-thickness / 2 + depth(holes.bottom, holes.bottom_set));
  }
  return f;
}

void drill_even(Workpiece& w, const std::shared_ptr<Holes>& holes, const Arguments& arguments) {
  const double thickness = w.thickness(), length = w.length(), width = w.width();
  const Drilled f = faces_of(*holes, thickness);
  double least = thickness;
  for (size_t i = 0; i < f.top.size(); ++i) least = std::min(least, f.top[i] - f.bottom[i]);
  need_metal(least, thickness, w.say(), arguments, "depth");
  const double volume = w.bar().volume_mm3;
  const auto relief = [&](const std::vector<double>& heights, bool drilled, double level) {
    return drilled ? Relief::repeating(holes->grid, heights, length, width) : Relief::flat(level);
  };
  w.set_faces(relief(f.bottom, holes->bottom, -thickness / 2), relief(f.top, holes->top, thickness / 2));
  w.settle_volume(volume * heights(w.bar()).mean / thickness);
  w.set_holes(holes);
  if (!holes->comes_again.empty()) w.note(holes->comes_again);
}

}  // namespace

double Hole::rim() const {
  if (ball) return depth >= radius ? radius : std::sqrt(depth * (2 * radius - depth));
  const double slope = cone_slope(point_rad);
  return slope * radius <= depth ? radius : depth / slope;
}

double Hole::wall_height() const { return std::max(0.0, depth - floor_rise(*this, radius)); }

double Hole::reach(double away, double wall) const {
  const double floor = depth - floor_rise(*this, std::min(away, radius));
  if (floor <= 0 || away <= radius - wall) return away > radius + wall ? -1 : floor;
  if (away >= radius + wall) return -1;
  const double t = (away - radius) / wall;
  return floor * (0.5 - 0.75 * t + 0.25 * t * t * t);
}

EvenedHole::EvenedHole(const Hole& hole, double length) {
  // A bell, by sums over a square of points about each place.
  constexpr int kHalf = 20, kSteps = 200;
  constexpr double kReach = 3.5;
  const double step = (hole.radius + kReach * length) / kSteps, apart = kReach * length / kHalf;
  std::vector<double> bell, depths;
  double total = 0;
  for (int a = -kHalf; a <= kHalf; ++a) bell.push_back(std::exp(-0.5 * std::pow(a * apart / length, 2))), total += bell.back();
  for (int i = 0; i <= kSteps; ++i) {
    double sum = 0;
    for (int a = -kHalf; a <= kHalf; ++a)
      for (int b = -kHalf; b <= kHalf; ++b)
        sum += bell[size_t(a + kHalf)] * bell[size_t(b + kHalf)] *
               std::max(0.0, hole.reach(std::hypot(i * step + a * apart, b * apart), apart));
    depths.push_back(sum / (total * total));
  }
  over_r_ = Spline1(0, step, depths);
}

void drill_holes(Workpiece& w, const Hole& hole, Pattern pattern, bool top, bool bottom, bool offset,
                 const Arguments& arguments) {
  refuse_misfits(w, hole, pattern, arguments);
  keep_apart(pattern, 2.05 * hole.rim());
  Pattern under = pattern;
  under.between = top && offset;
  if (!w.bar().even()) {
    ToolPair tools;
    if (top) tools.top = face_of(hole, pattern);
    if (bottom) tools.bottom = face_of(hole, under);
    return cut_faces(w, tools, arguments, "depth");
  }
  const auto holes = std::make_shared<Holes>();
  holes->hole = hole, holes->top = top, holes->bottom = bottom, holes->offset = offset;
  // Cells that close such holes reach further; this is their grid too.
  const double far = std::max(3.2 * hole.radius, 1.25 * w.thickness());
  const double least = std::min(hole.radius, w.thickness());
  const GridNeed need{w.length(), w.width(), far, least / 16, least / 8, w.preview(), "holes"};
  const ToolGrid laid = or_refuse(arguments, "spacing", [&] { return grid_of(pattern, need, w.say()); });
  holes->grid = laid.grid, holes->comes_again = laid.comes_again;
  holes->top_set = holes->bottom_set = pattern;
  holes->bottom_set.between = under.between;
  drill_even(w, holes, arguments);
}

}  // namespace etchcast
