#pragma once
/// \file layout.hpp — what is laid where on the picture, before anything is drawn.

#include <string>
#include <vector>

#include "etchcast/output.hpp"
#include "plate/plate.hpp"
#include "plate/stroke.hpp"

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
  std::vector<Stroke> strokes;
  double scale_x = 0, scale_y = 0, text_px = 24;
  System units = System::metric;  ///< which the scale bar is round in
};

/// A block of text in lines no wider than that. Its first baseline is at y; returns its last one.
double write_block(Layout& l, double x, double y, double width, const std::string& text, const TextStyle& style);
/// Parts one after another, as many on a line as fit; a part is broken only where it is too wide by itself. As
/// write_block().
double write_parts(Layout& l, double x, double y, double width, const std::vector<std::string>& parts,
                   const TextStyle& style);
/// Title and the parts of what stands under it, within the margins; returns where they end.
double write_heading(Layout& l, double margin, double columns, const std::string& title,
                     const std::vector<std::string>& below);
/// Makes the image so large.
///   Errors  Error(Fault::use) above 64 million pixels.
void settle_size(Layout& l, double columns, double rows, double px_per_mm);

/// The panels and captions of the view that the options ask for, and an image of their size.
///   Errors  use or recipe, with the recipe's lines, where there is no such view or it would be too large.
Layout lay_out(const Recipe& recipe, const Forging& forging, const RenderOptions& options);

}  // namespace etchcast
