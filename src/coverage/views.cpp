// Surfaces to look at.
#include <algorithm>
#include <cmath>

#include "coverage/view.hpp"

namespace etchcast {

namespace {

void set_lane(Batch<double>& b, int i, const double (&p)[3], const double (&du)[3], const double (&dv)[3]) {
  b.x[i] = p[0], b.y[i] = p[1], b.z[i] = p[2];
  b.xp[i] = du[0], b.yp[i] = du[1], b.zp[i] = du[2];
  b.xq[i] = dv[0], b.yq[i] = dv[1], b.zq[i] = dv[2];
}

std::vector<Eigen::Vector2d> box(double width, double height) { return {{0, 0}, {width, 0}, {width, height}, {0, height}}; }

/// A floor left below the ground plane, or the skin of a round bar: there is no metal above it, so the blade's face is it.
bool lower_to_metal(const Bar& bar, const double (&p)[3], bool upper, double& z, double& slope_x, double& slope_y) {
  double sx, sy;
  const double face = upper ? bar.top_at(p[0], p[1], &sx, &sy) : bar.bottom_at(p[0], p[1], &sx, &sy);
  if (upper ? z <= face : z >= face) return false;
  z = face, slope_x = sx, slope_y = sy;
  return true;
}

class BladeView final : public View {
 public:
  BladeView(const Bar& bar, std::shared_ptr<const Blade> own_blade, const Place3& place, Side side, double edge_angle)
      : bar_(bar), blade_(std::move(own_blade)), place_(place), side_(side), plain_(bar.even() && bar.section == Section::rect) {
    const Blade& blade = *blade_;
    double low = 1e9, high = -1e9, left = 1e9, right = -1e9;
    for (const auto& p : blade.outline()) {
      low = std::min(low, p.y()), high = std::max(high, p.y());
      left = std::min(left, p.x()), right = std::max(right, p.x());
    }
    base_ = low, heel_ = left, tip_ = right;
    width_ = right - left, height_ = high - low;
    for (const auto& p : blade.outline())
      outline_.push_back({side == Side::right ? p.x() - heel_ : tip_ - p.x(), p.y() - base_});
    lay_edge(edge_angle);
  }

  double bare_top() const override { return *std::max_element(edge_top_.begin(), edge_top_.end()) - base_; }
  void bare(const double* u, double v, double pixel, int n, float* shares) const override {
    for (int i = 0; i < n; ++i) {
      const double x = side_ == Side::right ? heel_ + u[i] : tip_ - u[i];
      const double r = std::clamp(x / kEdgeStep, 0.0, double(edge_top_.size() - 1) - 1e-6);
      const size_t cell = size_t(r);
      const double top = edge_top_[cell] + (r - double(cell)) * (edge_top_[cell + 1] - edge_top_[cell]);
      shares[i] = x < 0 ? 0.0f : float(std::clamp((top - base_ - v) / pixel + 0.5, 0.0, 1.0));
    }
  }

  void points(const double* u, const double* v, int n, Batch<double>& batch, float* slope_right, float* slope_up) const override {
    double x[kLanes] = {}, y[kLanes] = {}, z[kLanes], zx[kLanes], zy[kLanes];
    const double way = side_ == Side::right ? 1 : -1;
    for (int i = 0; i < n; ++i) {
      x[i] = way > 0 ? heel_ + u[i] : tip_ - u[i];
      y[i] = base_ + v[i];
    }
    blade_->surface(side_, n, x, y, z, zx, zy);
    const double roll = place_.flip ? -1 : 1;
    for (int i = 0; i < n; ++i) {
      double p[3] = {place_.x + x[i], place_.y + roll * y[i], place_.z + roll * z[i]};
      double sx = roll * zx[i], sy = zy[i];  // slopes of bar z over bar x and y
      if (!plain_) lower_to_metal(bar_, p, (side_ == Side::right) == (roll > 0), p[2], sx, sy);
      set_lane(batch, i, p, {way, 0, way * sx}, {0, roll, roll * sy});
      const double toward = (side_ == Side::right ? 1 : -1) * roll;
      slope_right[i] = float(toward * way * sx);
      slope_up[i] = float(toward * roll * sy);
    }
  }

 private:
  static constexpr double kEdgeStep = 0.25;  // mm

  /// Upper end of the sharpened bevel over x. It is as high as the edge is thick, less toward the tip where the edge
  /// climbs: measured along y a slope of the edge line makes it longer.
  void lay_edge(double angle) {
    const int n = int(blade_->length() / kEdgeStep) + 2;
    const double high = angle > 0 ? blade_->edge_thickness() / 2 / std::tan(angle) : -1;
    std::vector<double> edge(n);
    for (int i = 0; i < n; ++i) edge[i] = blade_->edge_y(std::min(i * kEdgeStep, blade_->length()));
    for (int i = 0; i < n; ++i) {
      const double rise = (edge[std::min(n - 1, i + 1)] - edge[std::max(0, i - 1)]) / (2 * kEdgeStep);
      edge_top_.push_back(edge[i] + high * std::min(4.0, std::sqrt(1 + rise * rise)));
    }
  }
  std::vector<double> edge_top_;

  const Bar& bar_;
  std::shared_ptr<const Blade> blade_;
  Place3 place_;
  Side side_;
  bool plain_;
  double base_, heel_, tip_;
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
std::unique_ptr<View> side_view(const Bar& bar) { return std::make_unique<SideView>(bar); }

}  // namespace etchcast
