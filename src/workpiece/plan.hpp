#pragma once
/// \file plan.hpp — the nodes of a bar's plan, the heights of its faces over them, and the plane-section map from an even
/// bar to those.

#include <cstddef>
#include <vector>

#include "tape/map.hpp"
#include "workpiece/relief.hpp"

namespace etchcast {

/// Nodes of a bar's plan: along u where everything is ridged the same way, else a grid; with the share of plan each
/// holds.
struct Plan {
  bool ridged;
  double angle, length, width;
  double start = 0, step_u = 0;
  int count = 0;
  double dx = 0, dy = 0;
  int columns = 0, rows = 0;
  bool fine = true;  ///< nodes lie near enough for the smallest thing; else the plan is too large for it

  /// More than that are never laid: all that is made of them takes some 300 MB.
  static constexpr double kMostNodes = 2e6;
  /// `feature`: smallest thing on the faces, mm; nodes lie `coarseness` times further apart than that asks, and further
  /// where there would be too many.
  Plan(bool ridged, double angle, double length, double width, double feature, double coarseness);
  size_t size() const { return ridged ? size_t(count) : size_t(columns) * rows; }
  void place(size_t i, double& x, double& y) const;
  /// Share of the rectangle's area around a node, of the greatest.
  double weight(size_t i) const;
};

/// Heights over the nodes of a plan, mm.
struct Faces {
  std::vector<double> bottom, top;
};

double mean_height(const Plan& plan, const Faces& f);
double least_height(const Faces& f);
Relief as_relief(const Plan& plan, const std::vector<double>& values);

/// The motion that takes an even bar, so thick and long, to these faces by plane sections.
MapPtr face_map(const Plan& plan, const Faces& f, double thickness_before, double length_before);

}  // namespace etchcast
