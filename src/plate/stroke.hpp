#pragma once
/// \file stroke.hpp — straight strokes of a drawing: axes, curves, marks.

#include "etchcast/picture.hpp"

namespace etchcast {

/// From one place to another, in pixels from the upper left corner.
struct Stroke {
  double x0, y0, x1, y1;
  double width = 2;
  float grey = 0.1f;  ///< linear light
  double dash = 0;    ///< length of dashes and of the gaps between them, pixels; 0: none
};

/// Draws it with smooth edges; what lies beyond the image is left out.
void draw_stroke(Image& image, const Stroke& stroke);

}  // namespace etchcast
