#pragma once
/// \file stand.hpp — the places where a smith looks at a blade: edge, half way up, spine.

#include <array>
#include <vector>

#include "check/scene.hpp"

namespace etchcast {

struct Stand {
  const char* where;
  Point<double> right, left;  ///< bar frame, on both sides of the blade
};

/// Edge, half way up and spine in the middle of the blade; of a billet without a blade, its two faces and its middle.
std::vector<Stand> stands(const Scene& scene, size_t billet);

/// Where a blade is measured: at the heel, clear of its corner; in the middle; 10 mm from the tip. mm from the heel.
std::array<double, 3> stations(const Blade& blade);

/// Distinct layers met across the whole blade just under the spine at x, mean over a few lines close by.
double layers_across(const Scene& scene, double x);

}  // namespace etchcast
