#pragma once
/// \file render.hpp — a recipe's bar or blade as a finished plate: both sides, true to scale, with title and scale bar.
/// Reads after: picture.hpp. Read next: output.hpp.

#include <optional>
#include <string>
#include <vector>

#include "etchcast/blade.hpp"
#include "etchcast/forging.hpp"
#include "etchcast/picture.hpp"

namespace etchcast {

enum class Looking { blade, end, top, side, stages, depths };

struct RenderOptions {
  std::optional<Looking> view;        ///< none: the blade, or the top face where the recipe has no blade; the section for an earlier step
  bool right = true, left = true;     ///< sides of the blade to show
  std::string at;                     ///< step after which to look; empty: the last (see find_moment)
  std::optional<double> px_per_mm;    ///< none: about 3000 pixels across
  bool plain = false;                 ///< tones without light
  bool bare = false;                  ///< metal on white and no word: for a page that tells the rest; not for stages
};

/// A moment of the work: a billet and the number of steps done.
struct Moment {
  size_t billet = 0, step = 0;
};

/// Finds a step by "bar:3", "3" (last billet), an id, "bar:ladder", or a step's name where it occurs once.
///   Errors  Error(Fault::use) that lists what there is.
Moment find_moment(const Forging& forging, const std::string& at);

/// How the time was spent, seconds, added up over threads.
struct RenderTimes {
  double sample = 0, shade = 0;
  long long pixels = 0, divided = 0;  ///< pixels of metal, and those divided into parts
  long long asked = 0;                ///< points for which the bar was asked where their metal came from
};

/// Renders the plate.
///   Errors  Error(Fault::recipe) where the blade does not fit its bar, with the place it runs out;
///           Error(Fault::use) for views that the recipe cannot give, or pictures above 64 million pixels.
Image render(const Recipe& recipe, const Forging& forging, const RenderOptions& options, RenderTimes* times = nullptr);

/// Letters of that picture's words that no built-in typeface has, each once: it shows '?' in their place.
std::vector<std::string> letters_without_shape(const Recipe& recipe, const Forging& forging,
                                               const RenderOptions& options);

/// The numbers behind the picture of the same options, pixel by pixel: row and column are those of the picture.
/// Of each pixel first the share of each steel that shows once the acid has been there, in the order of the recipe, adding
/// up to 1; then the stack coordinate (mm) and the etched height (mm, 0 = not attacked) at its middle; the share of it that
/// is metal; and the share of its metal that was ground bright after the etch, the sharpened edge.
struct DataArray {
  std::vector<size_t> shape;  ///< rows, columns, steels + 4
  std::vector<float> values;  ///< without metal: NaN for stack coordinate and height, 0 for the rest
};
DataArray render_data(const Recipe& recipe, const Forging& forging, const RenderOptions& options);

/// Where the blade lies in a bar and whether it fits.
struct Fit {
  double x_mm = 0, y_mm = 0, z_mm = 0;   ///< heel on the edge line, bar frame
  std::vector<std::string> problems;     ///< empty: it fits
};
Fit fit_blade(const Bar& bar, const Blade& blade, const BladePlan& plan);

/// Points on a side of the blade in the bar's frame.
///   Shape   n points in the blade's frame in, n out.
std::vector<Point<double>> bar_from_blade(const Bar& bar, const Blade& blade, const BladePlan& plan, Side side,
                                          const std::vector<Eigen::Vector2d>& points);

}  // namespace etchcast
