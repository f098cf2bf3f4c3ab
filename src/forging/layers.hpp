#pragma once
/// \file layers.hpp — counting layers in a bar.

#include <optional>

#include "etchcast/forging.hpp"

namespace etchcast {

/// Layers met along a line from lower to upper face: how many, and how thick along the line.
struct LayerCount {
  int least = 0, most = 0;                                 ///< over the lines taken
  double thinnest_mm = 0, mean_mm = 0, thickest_mm = 0;
};

/// Exact for flat layers; otherwise counted along 15 lines spread over the bar, finely enough for its thinnest band.
LayerCount count_layers(const Bar& bar);

/// Runs of one steel along a straight line inside the bar, from `a` to `b`, found with n samples.
std::vector<double> runs_along(const Bar& bar, const Point<double>& a, const Point<double>& b, int n);

/// Where the metal at a point of `last` lay when the bar was `then`, an earlier moment of the same billet; nothing if a
/// later press has redrawn that moment.
std::optional<Point<double>> traced_back(const Bar& last, const Bar& then, const Point<double>& point);

}  // namespace etchcast
