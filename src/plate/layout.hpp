#pragma once
/// \file layout.hpp — what is laid where on the picture, before anything is drawn.

#include <string>
#include <vector>

#include "etchcast/output.hpp"
#include "plate/plate.hpp"

namespace etchcast {

struct Caption {
  double x, y;
  std::string text;
  TextStyle style;
};

/// A plate before it is drawn: sizes in pixels.
struct Layout {
  Image image;
  std::vector<Panel> panels;
  std::vector<Caption> captions;
  double scale_x = 0, scale_y = 0, text_px = 24;
  System units = System::metric;  ///< which the scale bar is round in
};

/// The panels and captions of the view that the options ask for, and an image of their size.
///   Errors  use or recipe, with the recipe's lines, where there is no such view or it would be too large.
Layout lay_out(const Recipe& recipe, const Forging& forging, const RenderOptions& options);

}  // namespace etchcast
