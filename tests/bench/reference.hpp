#pragma once
/// \file reference.hpp — shares of steel by counting many points a pixel, in double: what pictures are held against.

#include <functional>
#include <vector>

#include "etchcast/forging.hpp"

namespace etchcast::bench {

/// A cut of a picture, in its pixels.
struct Crop {
  int left = 0, top = 0, columns = 0, rows = 0;
  size_t size() const { return size_t(columns) * rows; }
};

/// Points of the bar under one pixel's places: pixels from the picture's upper left corner, rightward and down.
using PointsUnder = std::function<void(int n, const double* right, const double* down, Point<double>* points)>;

/// Shares of every steel over a crop, planes one after another. `count` points a pixel lie on a golden-ratio lattice:
/// in even columns, each as far down as the golden ratio leads, so that both directions are filled evenly.
std::vector<float> counted_shares(const Bar& bar, int steels, const Crop& crop, int count, const PointsUnder& under);

/// Differences in levels of 255, over pixels and steels; a pixel counts with its worst steel. NaN in `a` leaves one
/// out.
struct Difference {
  double sum_of_squares = 0, worst = 0;
  size_t pixels = 0;
  double rms() const;
  void add(const std::vector<float>& a, const std::vector<float>& b, int steels);
};

}  // namespace etchcast::bench
