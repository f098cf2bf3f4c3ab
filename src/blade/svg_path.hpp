#pragma once
/// \file svg_path.hpp — SVG path data to a fine polyline.
///
/// The notation is that of the `d` attribute in SVG 1.1, section 8.3: M L H V C S Q T A Z, capital letters absolute,
/// small letters relative. y is taken as written; etchcast reads it upward, unlike a screen.

#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

#include <Eigen/Core>

namespace etchcast {

/// What is wrong with path data, and where: in the smith's words, for a Diagnostic.
struct PathFault : std::runtime_error {
  PathFault(const std::string& message, std::string new_hint)
      : std::runtime_error(message), hint(std::move(new_hint)) {}
  std::string hint;
};

/// One stroke of a path.
struct Stroke {
  std::vector<Eigen::Vector2d> points;  ///< no two neighbours alike; a closed stroke does not repeat its first point
  bool closed = false;                  ///< ended by Z, or back where it began
};

/// Every stroke of the path, each curve divided finely enough to stay within `tolerance` of it.
///   Units   those of the data, then multiplied by `scale` along x and y; `tolerance` counts after that.
///   Errors  PathFault.
std::vector<Stroke> trace_path(std::string_view data, const Eigen::Vector2d& scale, double tolerance);

}  // namespace etchcast
