// The ground blade: sizes settled, outline drawn, and the height of its faces for many points at once.
#include "etchcast/blade.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "base/clones.hpp"
#include "base/words.hpp"
#include "blade/grind.hpp"
#include "blade/lines.hpp"
#include "blade/outline.hpp"
#include "blade/sizes.hpp"

namespace etchcast {
namespace {

constexpr double kHair = 5e-10;        // mm; more than rounding, and nothing to anybody
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
  lines_ = std::make_shared<const GrindLines>(outline_, length_, tang_, sizes.spine_mm, edge_);
  if (grind_ == Grind::hollow) check_hollow(plan);
}

void Blade::check_hollow(const BladePlan& plan) const {
  // Behind the edge a hollow may thin the blade, but not to less than half of the edge.
  const auto cuts_at = [&](double radius) {
    for (const GrindLines::Stretch& s : lines_->stretches()) {
      const double top = bevel_ * s.c[0][GrindLines::spine], rise = (s.c[0][GrindLines::thickness] - edge_) / 2;
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

double Blade::ground_edge_y(double x) const {
  GrindLines::At at;
  lines_->at(1, &x, at);
  return at.value[0][GrindLines::edge];
}

double Blade::spine_thickness(double x) const {
  GrindLines::At at;
  lines_->at(1, &x, at);
  return at.value[0][GrindLines::thickness];
}

namespace {

/// What all points of a face share. A face that is ground alone takes the whole thickness, otherwise each takes half.
struct Face {
  double share, edge, bevel, plunge_radius, softness, back, sign;
};

template <class Profile>
ETCHCAST_CLONES void grind_points(const Profile profile, const Face face, const GrindLines::At& at, int n,
                                  const double* x, const double* y, double* z, double* dz_dx, double* dz_dy) {
  const double base = face.share * face.edge;
#pragma GCC ivdep
  for (int i = 0; i < n; ++i) {
    const double edge = at.value[i][GrindLines::edge], edge_slope = at.slope[i][GrindLines::edge];
    const double spine = at.value[i][GrindLines::spine], spine_slope = at.slope[i][GrindLines::spine];
    const double crest = at.value[i][GrindLines::crest], thickness = at.value[i][GrindLines::thickness];
    // Selections, not std::max: of an element of an array that is a reference, and the loop would stay scalar.
    const double top = face.bevel * (spine > kLeastHeight ? spine : kLeastHeight);
    const double rise = face.share * (thickness - face.edge), full = base + rise;
    const double rise_slope = face.share * at.slope[i][GrindLines::thickness];
    const double above = y[i] - edge > 0 ? y[i] - edge : 0.0, most = crest > kLeastHeight ? crest : kLeastHeight;
    const double u = above < most ? above : most;
    const bool flat = u > top;
    const Height h = profile(flat ? top : u, top, base, rise);
    const double h_z = flat ? full : h.z, h_u = flat ? 0 : h.by_u;
    const double sloped = h.by_top * face.bevel * spine_slope - h.by_u * edge_slope + h.by_rise * rise_slope;
    const double h_x = flat ? rise_slope : sloped;
    const Lift lift = plunge_lift(x[i], face.plunge_radius);
    // At the crest the face has come up to the full thickness, and is still ground.
    const Blend blend = smooth_least(h_z + lift.mm, full + kHair, std::max(face.softness * lift.mm, kHair));
    z[i] = face.sign * (blend.z - face.back);
    dz_dx[i] = face.sign * (blend.first * (h_x + lift.slope) + (1 - blend.first) * rise_slope +
                            blend.by_reach * face.softness * lift.slope);
    dz_dy[i] = face.sign * (blend.first * h_u);
  }
}

}  // namespace

void Blade::surface(Side side, int n, const double* x, const double* y, double* z, double* dz_dx, double* dz_dy) const {
  if (grind_ == Grind::single && side == Side::left) {
    std::fill_n(z, n, -back_);
    std::fill_n(dz_dx, n, 0.0);
    std::fill_n(dz_dy, n, 0.0);
    return;
  }
  const Face face{grind_ == Grind::single ? 1.0 : 0.5, edge_, bevel_, plunge_radius_, plunge_softness_, back_,
                  side == Side::right ? 1.0 : -1.0};
  const auto grind = [&](const auto& profile) {
    GrindLines::At at;
    for (int i = 0; i < n; i += kLanes) {
      const int some = std::min(kLanes, n - i);
      lines_->at(some, x + i, at);
      grind_points(profile, face, at, some, x + i, y + i, z + i, dz_dx + i, dz_dy + i);
    }
  };
  if (grind_ == Grind::hollow) {
    grind(HollowProfile{radius_});
  } else if (grind_ == Grind::convex) {
    grind(ConvexProfile{fullness_});
  } else {
    grind(FlatProfile{});
  }
}

double Blade::half_thickness(Side side, double x, double y) const {
  double z, dz_dx, dz_dy;
  surface(side, 1, &x, &y, &z, &dz_dx, &dz_dy);
  return side == Side::right ? z : -z;
}

}  // namespace etchcast
