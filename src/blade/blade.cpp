// The ground blade: sizes settled, outline drawn, and the height of its faces for many points at once.
#include "etchcast/blade.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "base/words.hpp"
#include "blade/grind.hpp"
#include "blade/outline.hpp"
#include "blade/sizes.hpp"

namespace etchcast {
namespace {

constexpr double kLeastHeight = 0.01;  // mm, of the blade at the very tip, so that nothing is divided by 0

[[noreturn]] void refuse(const BladePlan& plan, const char* key, std::string message, std::string hint) {
  throw Error(Fault::recipe, std::vector<Diagnostic>{{plan.place, key, std::move(message), std::move(hint), {}}});
}

[[noreturn]] void refuse_shape(const BladePlan& plan) {
  std::vector<std::string_view> names;
  for (const Shape& shape : shapes()) names.push_back(shape.name);
  names.push_back("path");
  refuse(plan, "blade.shape", fmt::format("no blade shape is called \"{}\"", plan.shape),
         hint_for_unknown(plan.shape, names));
}

const Shape& nearest_in_length(double length) {
  return *std::ranges::min_element(shapes(), {},
                                   [&](const Shape& shape) { return std::abs(shape.length_mm - length); });
}

}  // namespace

Blade::Blade(const BladePlan& plan) : grind_(plan.grind) {
  const bool own = plan.shape == "path" || !plan.path.empty();
  const Shape* shape = own ? nullptr : find_shape(plan.shape);
  if (!own && !shape) refuse_shape(plan);
  std::vector<Diagnostic> faults;
  Outline outline;
  if (own) {
    outline = read_outline(plan, faults);
    shape = &nearest_in_length(outline.length);
  }
  const Sizes sizes = settle_sizes(plan, *shape, outline.length, faults);
  if (!faults.empty()) throw Error(Fault::recipe, faults);
  if (!own) outline = draw_shape(*shape, sizes.length_mm, sizes.heel_mm, plan.tang_mm);

  length_ = outline.length;
  tang_ = outline.tang;
  outline_ = std::move(outline.polygon);
  for (const Eigen::Vector2d& p : outline_) height_ = std::max(height_, p.x() >= 0 ? p.y() : 0.0);
  edge_ = sizes.edge_mm;
  plunge_radius_ = outline.plunge.radius_mm;
  plunge_softness_ = outline.plunge.softness;
  if (grind_ == Grind::sabre || grind_ == Grind::hollow || grind_ == Grind::single) bevel_ = plan.bevel;
  radius_ = plan.wheel_mm / 2;
  fullness_ = 8 * plan.bow_mm / (sizes.spine_mm[0] - edge_);
  if (grind_ == Grind::single) back_ = *std::ranges::max_element(sizes.spine_mm) / 2;
  lay_stations(sizes.spine_mm);
  if (grind_ == Grind::hollow) check_hollow(plan);
}

void Blade::check_hollow(const BladePlan& plan) const {
  // Behind the edge a hollow may thin the blade, but not to less than half of the edge.
  const auto cuts_at = [&](double radius) {
    for (const Station& s : stations_) {
      const double top = bevel_ * (s.spine - s.edge), rise = (s.thickness - edge_) / 2;
      if (top < kLeastHeight) continue;
      if (std::hypot(top, rise) >= 2 * radius || HollowProfile{radius}.lowest(top, rise) < -edge_ / 4) return true;
    }
    return false;
  };
  if (!cuts_at(radius_)) return;
  double small = radius_, large = 2 * radius_;
  while (cuts_at(large)) large *= 2;
  while (large - small > 1) (cuts_at((small + large) / 2) ? small : large) = (small + large) / 2;
  refuse(plan, "blade.wheel",
         fmt::format("a hollow from a {:.4g} mm wheel would cut through this blade behind the edge", plan.wheel_mm),
         fmt::format("take a wheel of {:.0f} mm or more, a lower bevel, or a thicker spine",
                     std::ceil(2 * large / 5) * 5));
}

double Blade::edge_y(double x) const { return column_at(outline_, std::clamp(x, -tang_, length_)).low; }
double Blade::spine_y(double x) const { return column_at(outline_, std::clamp(x, -tang_, length_)).high; }

template <class Profile>
void Blade::ground(const Profile& profile, int n, const double* x, const double* y, double* z, double* dz_dx,
                   double* dz_dy) const {
  // A face that is ground alone takes the whole thickness, otherwise each takes half.
  const double share = grind_ == Grind::single ? 1 : 0.5, base = share * edge_;
  for (int i = 0; i < n; ++i) {
    const Station s = station(x[i]);
    const double height = std::max(s.spine - s.edge, kLeastHeight), top = bevel_ * height;
    const double rise = share * (s.thickness - edge_), rise_slope = share * s.thickness_slope, full = base + rise;
    const double u = std::clamp(y[i] - s.edge, 0.0, std::max(s.crest - s.edge, kLeastHeight));
    Height h = profile(std::min(u, top), top, base, rise);
    if (u > top) h = {full, 0, 0, 1};
    const double h_x =
        h.by_top * bevel_ * (s.spine_slope - s.edge_slope) - h.by_u * s.edge_slope + h.by_rise * rise_slope;
    const Lift lift = plunge_lift(x[i], plunge_radius_);
    const double reach = std::max(plunge_softness_ * lift.mm, 1e-9);
    const Blend blend = smooth_least(h.z + lift.mm, full, reach);
    z[i] = blend.z - back_;
    dz_dx[i] = blend.first * (h_x + lift.slope) + (1 - blend.first) * rise_slope +
               blend.by_reach * plunge_softness_ * lift.slope;
    dz_dy[i] = blend.first * h.by_u;
  }
}

void Blade::surface(Side side, int n, const double* x, const double* y, double* z, double* dz_dx, double* dz_dy) const {
  if (grind_ == Grind::single && side == Side::left) {
    std::fill_n(z, n, -back_);
    std::fill_n(dz_dx, n, 0.0);
    std::fill_n(dz_dy, n, 0.0);
    return;
  }
  if (grind_ == Grind::hollow) {
    ground(HollowProfile{radius_}, n, x, y, z, dz_dx, dz_dy);
  } else if (grind_ == Grind::convex) {
    ground(ConvexProfile{fullness_}, n, x, y, z, dz_dx, dz_dy);
  } else {
    ground(FlatProfile{}, n, x, y, z, dz_dx, dz_dy);
  }
  if (side == Side::right) return;
  for (int i = 0; i < n; ++i) {
    z[i] = -z[i];
    dz_dx[i] = -dz_dx[i];
    dz_dy[i] = -dz_dy[i];
  }
}

double Blade::half_thickness(Side side, double x, double y) const {
  double z, dz_dx, dz_dy;
  surface(side, 1, &x, &y, &z, &dz_dx, &dz_dy);
  return side == Side::right ? z : -z;
}

}  // namespace etchcast
