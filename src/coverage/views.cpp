// Surfaces to look at.
#include <algorithm>
#include <cmath>

#include "base/clones.hpp"
#include "coverage/view.hpp"
#include "workpiece/relief.hpp"

namespace etchcast {

namespace {

void set_lane(Batch<double>& b, int i, const double (&p)[3], const double (&du)[3], const double (&dv)[3]) {
  b.x[i] = p[0], b.y[i] = p[1], b.z[i] = p[2];
  b.xp[i] = du[0], b.yp[i] = du[1], b.zp[i] = du[2];
  b.xq[i] = dv[0], b.yq[i] = dv[1], b.zq[i] = dv[2];
}

std::vector<Eigen::Vector2d> box(double width, double height) { return {{0, 0}, {width, 0}, {width, height}, {0, height}}; }

/// How a side of a blade lies in its bar and is seen: signs of u over x, of the bar's y and z over the blade's, and of the
/// eye's side over the bar's z.
struct Facing {
  double way, roll, toward;
};

/// From the blade's frame to the bar's; slopes of z over x and y lie in zp and zq.
ETCHCAST_CLONES void put_in_bar(const Place3 place, double roll, int n, Batch<double>& b) {
#pragma GCC ivdep
  for (int i = 0; i < n; ++i) {
    b.x[i] += place.x;
    b.y[i] = place.y + roll * b.y[i];
    b.z[i] = place.z + roll * b.z[i];
    b.zp[i] *= roll;
  }
}

/// Lowers points to the bar's face: a floor left below the ground plane, or the skin of a round bar. There is no metal above
/// it, so the blade's face is it. Few points stand higher than the face's deepest place, and only they are asked for.
void lower_to_metal(const Bar& bar, bool upper, int n, Batch<double>& b) {
  const double deepest = bar.section == Section::round ? 0 : upper ? bar.top->lowest() : -bar.bottom->highest();
  for (int i = 0; i < n; ++i) {
    if ((upper ? b.z[i] : -b.z[i]) <= deepest) continue;
    double sx, sy;
    const double face = upper ? bar.top_at(b.x[i], b.y[i], &sx, &sy) : bar.bottom_at(b.x[i], b.y[i], &sx, &sy);
    if (upper ? b.z[i] > face : b.z[i] < face) b.z[i] = face, b.zp[i] = sx, b.zq[i] = sy;
  }
}

/// From slopes over the bar's x and y to derivatives over u and v, and to slopes as they are seen.
ETCHCAST_CLONES void look(const Facing facing, int n, Batch<double>& b, float* slope_right, float* slope_up) {
#pragma GCC ivdep
  for (int i = 0; i < n; ++i) {
    b.xp[i] = facing.way, b.yp[i] = 0, b.zp[i] *= facing.way;
    b.xq[i] = 0, b.yq[i] = facing.roll, b.zq[i] *= facing.roll;
    slope_right[i] = float(facing.toward * b.zp[i]);
    slope_up[i] = float(facing.toward * b.zq[i]);
  }
}

class BladeView final : public View {
 public:
  BladeView(const Bar& bar, std::shared_ptr<const Blade> own_blade, const Place3& place, Side side, double edge_angle)
      : bar_(bar), blade_(std::move(own_blade)), place_(place), side_(side), plain_(bar.even() && bar.section == Section::rect) {
    const double sign = side == Side::right ? 1 : -1, roll = place.flip ? -1 : 1;
    facing_ = {sign, roll, sign * roll};
    const Blade& blade = *blade_;
    double low = 1e9, high = -1e9, left = 1e9, right = -1e9;
    for (const auto& p : blade.outline()) {
      low = std::min(low, p.y()), high = std::max(high, p.y());
      left = std::min(left, p.x()), right = std::max(right, p.x());
    }
    base_ = low, start_ = side == Side::right ? left : right;
    width_ = right - left, height_ = high - low;
    for (const auto& p : blade.outline())
      outline_.push_back({sign * (p.x() - start_), p.y() - base_});
    lay_edge(edge_angle);
  }

  double bare_top() const override { return highest_edge_top_ - base_; }
  void bare(const double* u, double v, double pixel, int n, float* shares) const override {
    const auto [from, to] = std::minmax({edge_cell(x_of(u[0])), edge_cell(x_of(u[n - 1]))});
    const double level = base_ + v - pixel / 2;  // of the pixels' lower rims: few windows reach down to the bevel
    if (std::none_of(&edge_top_[size_t(from)], &edge_top_[size_t(to) + 1] + 1, [=](double top) { return top > level; })) {
      std::fill_n(shares, n, 0.0f);
      return;
    }
    for (int i = 0; i < n; ++i) {
      const double x = x_of(u[i]), r = edge_cell(x);
      const size_t cell = size_t(r);
      const double top = edge_top_[cell] + (r - double(cell)) * (edge_top_[cell + 1] - edge_top_[cell]);
      shares[i] = x < 0 ? 0.0f : float(std::clamp((top - base_ - v) / pixel + 0.5, 0.0, 1.0));
    }
  }

  void points(const double* u, const double* v, int n, Batch<double>& batch, float* slope_right, float* slope_up) const override {
    for (int i = 0; i < n; ++i) batch.x[i] = x_of(u[i]), batch.y[i] = base_ + v[i];
    blade_->surface(side_, n, batch.x, batch.y, batch.z, batch.zp, batch.zq);
    put_in_bar(place_, facing_.roll, n, batch);
    if (!plain_) lower_to_metal(bar_, facing_.toward > 0, n, batch);
    look(facing_, n, batch, slope_right, slope_up);
  }

 private:
  static constexpr double kEdgeStep = 0.25;  // mm

  /// Upper end of the sharpened bevel over x. It is as high as the edge is thick, less toward the tip where the edge
  /// climbs: measured along y a slope of the edge line makes it longer.
  void lay_edge(double angle) {
    const int n = int(blade_->length() / kEdgeStep) + 2;
    const double high = angle > 0 ? blade_->edge_thickness() / 2 / std::tan(angle) : -1;
    std::vector<double> edge(n);
    for (int i = 0; i < n; ++i) edge[i] = blade_->ground_edge_y(std::min(i * kEdgeStep, blade_->length()));
    for (int i = 0; i < n; ++i) {
      const double rise = (edge[std::min(n - 1, i + 1)] - edge[std::max(0, i - 1)]) / (2 * kEdgeStep);
      edge_top_.push_back(edge[i] + high * std::min(4.0, std::sqrt(1 + rise * rise)));
    }
    highest_edge_top_ = *std::max_element(edge_top_.begin(), edge_top_.end());
  }
  double x_of(double u) const { return start_ + facing_.way * u; }
  /// The place in the table of the bevel's tops, with the way into the cell.
  double edge_cell(double x) const { return std::clamp(x / kEdgeStep, 0.0, double(edge_top_.size() - 1) - 1e-6); }

  std::vector<double> edge_top_;
  double highest_edge_top_ = 0;

  const Bar& bar_;
  std::shared_ptr<const Blade> blade_;
  Place3 place_;
  Side side_;
  bool plain_;
  Facing facing_;
  double base_, start_;  ///< blade's y and x where v and u are 0
};

class EndView final : public View {
 public:
  EndView(const Bar& bar, double x) : x_(x) {
    width_ = bar.width_mm;
    half_width_ = width_ / 2;
    double low = 1e9, high = -1e9;
    const int n = bar.section == Section::round ? 256 : 128;
    for (int i = 0; i <= n; ++i) {
      const double y = -half_width_ + width_ * i / n;
      const double z = bar.section == Section::round ? -std::sqrt(std::max(0.0, half_width_ * half_width_ - y * y)) : bar.bottom_at(x, y);
      low = std::min(low, z);
      outline_.push_back({y + half_width_, z});
    }
    for (int i = n; i >= 0; --i) {
      const double y = -half_width_ + width_ * i / n;
      const double z = bar.section == Section::round ? std::sqrt(std::max(0.0, half_width_ * half_width_ - y * y)) : bar.top_at(x, y);
      high = std::max(high, z);
      outline_.push_back({y + half_width_, z});
    }
    base_ = low, height_ = high - low;
    for (auto& p : outline_) p.y() -= base_;
  }
  void points(const double* u, const double* v, int n, Batch<double>& batch, float* slope_right, float* slope_up) const override {
    for (int i = 0; i < n; ++i) {
      set_lane(batch, i, {x_, u[i] - half_width_, base_ + v[i]}, {0, 1, 0}, {0, 0, 1});
      slope_right[i] = slope_up[i] = 0;
    }
  }

 private:
  double x_, half_width_, base_;
};

class TopView final : public View {
 public:
  explicit TopView(const Bar& bar) : bar_(bar) {
    width_ = bar.length_mm, height_ = bar.width_mm;
    outline_ = box(width_, height_);
  }
  void points(const double* u, const double* v, int n, Batch<double>& batch, float* slope_right, float* slope_up) const override {
    for (int i = 0; i < n; ++i) {
      double sx, sy;
      const double y = v[i] - height_ / 2, z = bar_.top_at(u[i], y, &sx, &sy);
      set_lane(batch, i, {u[i], y, z}, {1, 0, sx}, {0, 1, sy});
      slope_right[i] = float(sx), slope_up[i] = float(sy);
    }
  }

 private:
  const Bar& bar_;
};

class PlaneView final : public View {
 public:
  PlaneView(const Bar& bar, double z, std::pair<double, double> along, std::pair<double, double> across)
      : bar_(bar), z_(z), x_(along.first), y_(across.first), whole_(bar.section != Section::round && z <= bar.top->lowest()) {
    width_ = along.second - along.first, height_ = across.second - across.first;
    outline_ = box(width_, height_);
  }
  void points(const double* u, const double* v, int n, Batch<double>& batch, float* slope_right, float* slope_up) const override {
    for (int i = 0; i < n; ++i) {
      double sx = 0, sy = 0;
      const double x = x_ + u[i], y = y_ + v[i];
      double z = z_;
      if (!whole_) {
        const double top = bar_.top_at(x, y, &sx, &sy);
        if (top < z_) z = top;
        if (top >= z_) sx = sy = 0;
      }
      set_lane(batch, i, {x, y, z}, {1, 0, sx}, {0, 1, sy});
      slope_right[i] = float(sx), slope_up[i] = float(sy);
    }
  }

 private:
  const Bar& bar_;
  double z_, x_, y_;
  bool whole_;
};

class SideView final : public View {
 public:
  explicit SideView(const Bar& bar) : bar_(bar) {
    y_ = bar.section == Section::round ? 0 : -bar.width_mm / 2;  // a round bar is seen cut through its axis
    width_ = bar.length_mm;
    const int n = std::max(2, int(width_ / 0.1));
    double low = 1e9, high = -1e9;
    for (int i = 0; i <= n; ++i) outline_.push_back({width_ * i / n, bar.bottom_at(width_ * i / n, y_)});
    for (int i = n; i >= 0; --i) outline_.push_back({width_ * i / n, bar.top_at(width_ * i / n, y_)});
    for (const auto& p : outline_) low = std::min(low, p.y()), high = std::max(high, p.y());
    base_ = low, height_ = high - low;
    for (auto& p : outline_) p.y() -= base_;
  }
  void points(const double* u, const double* v, int n, Batch<double>& batch, float* slope_right, float* slope_up) const override {
    for (int i = 0; i < n; ++i) {
      set_lane(batch, i, {u[i], y_, base_ + v[i]}, {1, 0, 0}, {0, 0, 1});
      slope_right[i] = slope_up[i] = 0;
    }
  }

 private:
  const Bar& bar_;
  double y_, base_;
};

}  // namespace

Place3 place_in(const Bar& bar, const Blade& blade, const BladePlan& plan) {
  Place3 place;
  place.flip = plan.flip;
  place.x = plan.x_mm.value_or(std::max(0.0, (bar.length_mm - blade.length() - plan.tang_mm) / 2) + plan.tang_mm);
  const double side = plan.y_mm.value_or((bar.width_mm - blade.height()) / 2);
  place.y = plan.flip ? bar.width_mm / 2 - side : -bar.width_mm / 2 + side;
  place.z = plan.z_mm;
  return place;
}

std::unique_ptr<View> blade_view(const Bar& bar, std::shared_ptr<const Blade> blade, const Place3& place, Side side, double edge_angle) {
  return std::make_unique<BladeView>(bar, std::move(blade), place, side, edge_angle);
}
std::unique_ptr<View> end_view(const Bar& bar, double x) { return std::make_unique<EndView>(bar, x); }
std::unique_ptr<View> top_view(const Bar& bar) { return std::make_unique<TopView>(bar); }
std::unique_ptr<View> plane_view(const Bar& bar, double z, std::pair<double, double> along, std::pair<double, double> across) {
  return std::make_unique<PlaneView>(bar, z, along, across);
}
std::unique_ptr<View> side_view(const Bar& bar) { return std::make_unique<SideView>(bar); }

}  // namespace etchcast
