#pragma once
/// \file svg_file.hpp — a blade's outline from a drawing program's SVG file.
///
/// Read is the one closed line that the drawing shows: a path or a polygon, within groups and layers, with transforms.
/// A straight upright line across it marks the heel; without one the outline begins at the heel. Sizes are those of
/// the page: its width and height in mm, cm, in, pt or pc and its viewBox [SVG 1.1, sections 7 and 8].

#include <string>

#include "blade/polygon.hpp"

namespace etchcast {

/// The outline in the blade's frame: the heel at x = 0, the lowest point of the edge at y = 0, y up.
///   Accuracy  within `tolerance` mm of the curve drawn.
///   Errors    PathFault: no SVG, a page without a size, no or more than one outline, what cannot be followed.
Polygon read_drawing(const std::string& svg, double tolerance);

}  // namespace etchcast
