// Broken edges, from each pixel's distance to the outline.
#include "coverage/rim.hpp"

#include <algorithm>
#include <cmath>

namespace etchcast {

namespace {

using Eigen::Vector2d;

constexpr double kWidth =
    0.2;  // mm; a stroke of fine stone along the spine (common practice: sharp corners are broken)
constexpr float kFall = 0.08f;  // slope at the very edge; it eases off to none kWidth inside
constexpr float kFar = 1e9f;

double cross(const Vector2d& a, const Vector2d& b) { return a.x() * b.y() - a.y() * b.x(); }

/// Mean fall between two depths under the outline, px, of an edge that eases off over `width`.
float mean_fall(float from, float to, float width) {
  const auto fallen = [width](float depth) { return depth < width ? depth - depth * depth / (2 * width) : width / 2; };
  return kFall * (fallen(to) - fallen(from)) / (to - from);
}

/// A side of the outline in a window's pixels, y down, with its unit vectors right and down.
struct Stretch {
  Vector2d a, along, out, out_a, out_b;
};

/// Notes the side at pixels of a row that lie nearer to it than to any before.
void measure_row(const Stretch& side, int row, int from, int to, size_t start, Rim::Desk& desk) {
  const double length2 = side.along.squaredNorm();
  for (int c = from; c < to; ++c) {
    const Vector2d from_a = Vector2d(c + 0.5, row + 0.5) - side.a;
    const double t = from_a.dot(side.along) / length2;
    const Vector2d off = from_a - std::clamp(t, 0.0, 1.0) * side.along;
    const double distance = off.norm();
    const size_t at = start + size_t(c);
    if (distance >= std::abs(desk.depth[at])) continue;
    // Beyond an end the mean of both sides' directions tells inside from outside, and the end itself the way out.
    const Vector2d& lot = t <= 0 ? side.out_a : t >= 1 ? side.out_b : side.out;
    const bool outside = off.dot(lot) > 0, end = (t <= 0 || t >= 1) && distance > 1e-3;
    const Vector2d out = end ? Vector2d(off / (outside ? distance : -distance)) : lot;
    desk.depth[at] = float(outside ? -distance : distance);
    desk.out_right[at] = float(out.x()), desk.out_up[at] = float(-out.y());
  }
}

/// Whether a side between two points of the window's pixels may come within `reach` pixels of one.
bool near(const Vector2d& a, const Vector2d& b, double reach, const Field& field) {
  return std::max(a.y(), b.y()) + reach > 0 && std::min(a.y(), b.y()) - reach < field.rows &&
         std::max(a.x(), b.x()) + reach > 0 && std::min(a.x(), b.x()) - reach < field.columns;
}

/// Notes the side at all pixels of the window within `reach` pixels of it.
void measure(const Stretch& side, double reach, const Field& field, Rim::Desk& desk) {
  const double end_y = side.a.y() + side.along.y(), low = std::min(side.a.y(), end_y) - reach,
               high = std::max(side.a.y(), end_y) + reach;
  for (int r = std::max(0, int(low - 0.5)); r < field.rows && r + 0.5 <= high; ++r) {
    // The part of the side within reach of the row lies between these shares of its length.
    double first = 0, last = 1;
    if (std::abs(side.along.y()) > 1e-9) {
      const double p = (r + 0.5 - reach - side.a.y()) / side.along.y(),
                   q = (r + 0.5 + reach - side.a.y()) / side.along.y();
      first = std::clamp(std::min(p, q), 0.0, 1.0), last = std::clamp(std::max(p, q), 0.0, 1.0);
    }
    const auto [left, right] = std::minmax({side.a.x() + first * side.along.x(), side.a.x() + last * side.along.x()});
    const int from = std::max(0, int(std::floor(left - reach - 0.5))),
              to = std::min(field.columns, int(std::ceil(right + reach + 0.5)));
    measure_row(side, r, from, to, field.index(r, 0), desk);
  }
}

}  // namespace

Rim::Rim(const std::vector<Vector2d>& outline) {
  const size_t n = outline.size();
  double area = 0;
  for (size_t i = 0; i < n; ++i) area += cross(outline[i], outline[(i + 1) % n]);
  for (size_t i = 0; i < n; ++i) {
    const Vector2d &a = outline[i], &b = outline[(i + 1) % n], along = b - a;
    if (along.norm() < 1e-9) continue;
    const Vector2d right = Vector2d(along.y(), -along.x()) / along.norm(), out = area > 0 ? right : Vector2d(-right);
    sides_.push_back({a, b, out, out, out});
  }
  for (size_t i = 0; i < sides_.size(); ++i) {
    Side &side = sides_[i], &next = sides_[(i + 1) % sides_.size()];
    const Vector2d both = side.out + next.out;
    side.out_b = next.out_a = both.norm() > 1e-9 ? Vector2d(both.normalized()) : side.out;
  }
}

void Rim::tilt(Field& field, Desk& desk) const {
  const double px = field.mm_per_px, width = kWidth / px, reach = width + 1;
  const auto place = [&](const Vector2d& p) {
    return Vector2d((p.x() - field.left_mm) / px, (field.top_mm - p.y()) / px);
  };
  const auto down = [](const Vector2d& way) { return Vector2d(way.x(), -way.y()); };
  const size_t pixels = field.mask.size();
  bool any = false;
  for (const Side& side : sides_) {
    const Vector2d a = place(side.a), b = place(side.b);
    if (!near(a, b, reach, field)) continue;
    if (!any) desk.depth.assign(pixels, kFar), desk.out_right.resize(pixels), desk.out_up.resize(pixels);
    any = true;
    measure({a, b - a, down(side.out), down(side.out_a), down(side.out_b)}, reach, field, desk);
  }
  if (!any) return;
  for (size_t i = 0; i < pixels; ++i) {
    if (field.mask[i] <= 0 || desk.depth[i] >= float(reach)) continue;
    const float from = std::max(desk.depth[i] - 0.5f, 0.0f), to = std::max(desk.depth[i] + 0.5f, from + 1e-3f);
    const float fall = (1 - field.bare[i]) * mean_fall(from, to, float(width));
    field.slope_right[i] -= fall * desk.out_right[i];
    field.slope_up[i] -= fall * desk.out_up[i];
  }
}

}  // namespace etchcast
