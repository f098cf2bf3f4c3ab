#pragma once
/// \file view.hpp — what the picture looks at: a surface in the bar, as seen by an eye in front of it.
///
/// A view has its own frame, mm: u to the right and v up as the picture is seen, depth toward the eye. It tells which
/// metal lies at (u, v) and how the surface slopes there.

#include <algorithm>
#include <memory>
#include <string>
#include <vector>

#include <Eigen/Core>

#include "etchcast/blade.hpp"
#include "etchcast/forging.hpp"

namespace etchcast {

class View {
 public:
  virtual ~View() = default;
  /// Extent of what is seen: 0 .. width, 0 .. height, mm.
  double width() const { return width_; }
  double height() const { return height_; }
  /// Outline in the view's frame, counter-clockwise or not; metal is inside.
  const std::vector<Eigen::Vector2d>& outline() const { return outline_; }
  /// Points of the bar under n places (u_i, v_i); derivatives per mm of u (p) and v (q).
  virtual void points(const double* u, const double* v, int n, Batch<double>& batch, float* slope_right, float* slope_up) const = 0;
  /// Shares of n pixels of size `pixel` (mm) about (u_i, v), u rising, that were ground bright after the etch; none lies above
  /// bare_top().
  virtual double bare_top() const { return -1; }
  virtual void bare(const double*, double, double, int n, float* shares) const { std::fill(shares, shares + n, 0.0f); }

 protected:
  double width_ = 0, height_ = 0;
  std::vector<Eigen::Vector2d> outline_;
};

/// Where the blade lies in its bar.
struct Place3 {
  double x = 0, y = 0, z = 0;  ///< bar frame of the blade's heel on the edge line, and its mid-plane
  bool flip = false;           ///< the bar rolled half over about its length: its top is the blade's left side
};
/// The plan's place, or the middle of the bar.
Place3 place_in(const Bar& bar, const Blade& blade, const BladePlan& plan);

/// Views hold on to the bar by reference: it must outlive them.
/// Sides of the finished blade, edge down; right side tip right, left side tip left.
/// `edge_angle`: of the sharpened edge per side, radians; its bevel is (edge / 2) / tan(angle) high.
std::unique_ptr<View> blade_view(const Bar& bar, std::shared_ptr<const Blade> blade, const Place3& place, Side side,
                                 double edge_angle);
/// Section across the bar at x, seen from the tip end: edge side left, top up.
std::unique_ptr<View> end_view(const Bar& bar, double x);
/// Top face, heel left, spine up.
std::unique_ptr<View> top_view(const Bar& bar);
/// The bar ground down to the plane at that z, as far as it has metal there; of its length and width only those parts (from,
/// to), mm of the bar.
std::unique_ptr<View> plane_view(const Bar& bar, double z, std::pair<double, double> along, std::pair<double, double> across);
/// The edge side of the bar, heel left, top up.
std::unique_ptr<View> side_view(const Bar& bar);

}  // namespace etchcast
