#pragma once
/// \file measure.hpp — figures read off a picture of layers: how far apart its rungs or rings stand and which way they
/// run, how many lines there are in a centimetre, how much of it is bright.
/// Reads after: render.hpp.

#include <optional>
#include <string>
#include <vector>

#include "etchcast/render.hpp"

namespace etchcast {

/// A picture of dark and bright steel, true to scale: what there is to measure.
struct Tones {
  int columns = 0, rows = 0;
  double px_per_mm = 10;
  std::vector<float> bright;  ///< rows x columns, the top row first; 0 the darkest steel, 1 the brightest
  std::vector<float> metal;   ///< share of the pixel that is metal, 0 .. 1; what is not metal is not measured
};

/// A row of something that comes again and again at one distance: rungs, stripes, a row of rings.
struct Repeat {
  double spacing_mm = 0;  ///< from one to the next, straight across them
  double lean_rad = 0;    ///< how far they lean from upright toward the picture's right, -pi/2 .. pi/2
  double share = 0;       ///< of all that varies in the picture over 1.5 mm and more, 0 .. 1
};

/// What a picture shows.
struct Figures {
  double bright = 0;         ///< share of the metal that is bright
  double bright_spread = 0;  ///< standard deviation of that share between squares of 10 mm
  double lines_along = 0;    ///< dark lines in a mm, counted along rows
  double lines_across = 0;   ///< and along columns
  /// What repeats, the strongest first: none, one (a ladder, a twist), or two that cross (raindrops in a net).
  std::vector<Repeat> repeats;
  /// Of a net: how far a ring's nearest neighbours stand from it, mm, the nearest first; three of them in a net of
  /// triangles, the third the shorter diagonal of the two others.
  std::vector<double> neighbours_mm;
};

/// Measures a picture.
///   Method    Lines: alternations between dark and bright, with a dead band so that noise is no line. Repeats: the
///             structure tensor of the tones (which way the lines run, how close they stand), its power spectrum, and
///             the comb of harmonics with the most power. See docs/model.md.
///   Accuracy  spacing within 2 % where six repeats or more are seen (tests/test_measure.cpp).
///   Errors    Error(Fault::use): no metal, or too little of it (under 3 mm either way).
Figures measure(const Tones& tones);

/// A part of a picture, mm: its lower left corner from the picture's lower left one, its width and height.
struct Part {
  double x = 0, y = 0, width = 0, height = 0;
};
/// Errors  Error(Fault::use) where nothing of the picture lies in the part.
Tones part_of(const Tones& tones, const Part& part);

/// The etched metal of one side of the recipe's blade, without its tang and its sharpened edge, before any light falls
/// on it. `part` counts on the blade, as probes do: x from the heel, y from the edge line; none: the whole blade.
///   Errors  Error(Fault::use): no blade, or nothing of it in the part; Error(Fault::recipe): it does not fit its bar.
Tones blade_tones(const Recipe& recipe, const Forging& forging, Side side, double px_per_mm,
                  const std::optional<Part>& part = {});

/// What was measured, in sentences; sizes in both systems, `first` first.
std::string figures_text(const Figures& figures, System first);

/// A picture of one's own: PNG or JPEG, turned as its camera says. Tones run from the darkest to the brightest
/// twentieth.
///   Errors  Error(Fault::use): no such file, no picture, or more than 64 million pixels.
Tones read_picture(const std::string& path, double px_per_mm);

}  // namespace etchcast
