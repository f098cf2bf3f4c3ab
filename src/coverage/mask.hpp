#pragma once
/// \file mask.hpp — the share of each pixel inside an outline, by exact area.

#include <vector>

#include <Eigen/Core>

namespace etchcast {

/// A grid of square pixels in a view: the outer corner of pixel (row 0, column 0) lies at (left, top), rows go down.
struct Grid {
  double left = 0, top = 0, mm_per_px = 0.05;
  int columns = 0, rows = 0;
};

/// Whether a point that lies on no edge is inside the outline.
bool inside(const std::vector<Eigen::Vector2d>& outline, double x, double y);

/// Whether no edge of the outline passes through the window and all of it lies inside.
bool covers(const std::vector<Eigen::Vector2d>& outline, const Grid& grid);

/// Shares of the pixels covered by a closed polygon (even or odd winding of +-1; no self-crossings).
/// Reuses `mask`; true if no edge passes through the window, all its pixels alike.
bool polygon_mask(const std::vector<Eigen::Vector2d>& outline, const Grid& grid, std::vector<float>& mask);
inline std::vector<float> polygon_mask(const std::vector<Eigen::Vector2d>& outline, const Grid& grid) {
  std::vector<float> mask;
  polygon_mask(outline, grid, mask);
  return mask;
}

}  // namespace etchcast
