#pragma once
/// \file layering.hpp — bars whose layers have moved every way at once: from heights of layers over a repeating rectangle
/// to map, faces and books.

#include "tape/layer_fit.hpp"
#include "workpiece/workpiece.hpp"

namespace etchcast {

/// A field that repeats over a grid, between its nodes.
class RepeatingField {
 public:
  RepeatingField(const Grid2& grid, const std::vector<double>& values);
  double operator()(double x, double y) const;

 private:
  Grid2 grid_;
  Spline2 spline_;
};

/// Heights of layers after, in thicknesses of the even bar before, measured from its lower face: `rise` of the target is
/// filled with z - c first, means and all.
struct Layering {
  LayerTarget target;
  double thickness = 1;  ///< of the even bar before, mm
  bool held = false;     ///< the bar keeps its length
};

/// The even bar of that thickness, length and width takes those layers.
///   Errors  Error(Fault::recipe) if layers would cross.
void lay_layers(Workpiece& w, const Layering& layering);

}  // namespace etchcast
