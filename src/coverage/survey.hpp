#pragma once
/// \file survey.hpp — where the metal of every pixel of a window came from, with few questions to the bar.
///
/// The way back through the forge is smooth nearly everywhere, and far smoother than the picture: hundreds of bands lie
/// in it, but they are laid on afterwards. So the bar is asked at the corners of squares of pixels; between them stands a
/// polynomial, tried against the bar at five more points. Squares that fail are quartered, and where a seam, a crease or
/// a rim keeps failing every pixel is asked. The cost of a picture then hardly depends on how many steps the bar has seen.

#include <vector>

#include "coverage/patch.hpp"
#include "coverage/view.hpp"
#include "etchcast/picture.hpp"

namespace etchcast {

class Survey {
 public:
  /// How a pixel became known.
  enum class State : unsigned char {
    unknown,  ///< nobody wants it
    smooth,   ///< from a polynomial
    bent,     ///< from a polynomial that bends more within a pixel than one footprint allows
    asked     ///< asked of the bar, pixel by pixel
  };

  struct Fit {
    double band_mm;       ///< mean thickness of the bands, the measure of what matters
    double bend;          ///< how far a footprint may stray, in bands or, if it is larger, in footprints
    bool precise;         ///< ask in double: bands so fine, or maps so steep, that float would show
  };

  /// Insets of other bars in list 0, from, to, from, to …; squares that meet one are asked pixel by pixel.
  Survey(const Bar& bar, Fit fit, std::vector<double> inset_edges) : bar_(bar), fit_(fit), inset_edges_(std::move(inset_edges)) {}

  /// Surveys the pixels of `field`'s window that are `wanted`. Rows of all arrays are `stride` apart; pixel (row, column)
  /// stands at index(row, column). Reuses its memory.
  void run(const View& view, const Field& field, const std::vector<char>& wanted);

  size_t index(int row, int column) const { return size_t(row + above_) * stride_ + column + before_; }
  std::vector<float> s;           ///< stack coordinate at the pixel's middle, mm
  std::vector<float> sp, sq;      ///< its slopes, mm per pixel, right and down
  std::vector<float> right, up;   ///< slopes of the ground surface
  std::vector<short> leaf;        ///< band list, -1 where nothing is known
  std::vector<State> state;
  size_t stride() const { return size_t(stride_); }
  long long asked() const { return asked_; }  ///< points asked of the bar so far

  /// How far a square's polynomial is off, each as a share of what may pass.
  struct Strain {
    double bulge = 0;  ///< of the value: where the map is smooth a quarter of the square is 16 times as good
    double kink = 0;   ///< what a kink would do that turns the slope by as much as was seen along a line of corners: halves
    double slope = 0;  ///< of the footprint: a quarter is 8 times as good
    double light = 0;  ///< of the ground's slope, taken as linear: a quarter is 4 times as good
    bool passes() const { return std::max(std::max(bulge, kink), std::max(slope, light)) <= 1; }
    /// Whether its quarters would pass, whose corners are known already.
    bool passes_halved() const { return bulge <= 8 && kink <= 2 && slope <= 4 && light <= 2; }
  };

 private:
  struct Square {
    int row, column, side;  ///< place in the padded arrays
  };
  void lay_out(const View& view, const Field& field);
  void want(int row, int column);
  void want_square(const Square& square, bool corners);
  void ask_all(const View& view);
  void ask_batch(const View& view, size_t first, size_t n);
  Corner corner(int row, int column) const;
  Corners corners(const Square& square) const;
  Strain strain(const Square& square) const;
  double strain_of_light(const Square& square) const;
  bool meets_inset(double low, double high, double reach) const;
  void fill(const Square& square);
  bool wanted_in(const Square& square) const;
  const Bar& bar_;
  Fit fit_;
  std::vector<double> inset_edges_;
  const Field* field_ = nullptr;
  const std::vector<char>* wanted_ = nullptr;
  int stride_ = 0, height_ = 0, before_ = 0, above_ = 0;
  std::vector<double> exact_;  ///< s where it was asked
  std::vector<size_t> list_;   ///< points to ask
  std::vector<char> known_;    ///< asked or about to be
  long long asked_ = 0;
};

}  // namespace etchcast
