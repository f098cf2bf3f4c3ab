#pragma once
/// \file survey.hpp — where the metal of every pixel of a window came from, with few questions to the bar.
///
/// The way back through the forge is smooth nearly everywhere, and far smoother than the picture: hundreds of bands lie
/// in it, but they are laid on afterwards. So the bar is asked at the corners of squares of pixels; between them stands a
/// polynomial, tried against the bar at five more points. Squares that fail are quartered, and where a seam, a crease or
/// a rim keeps failing every pixel is asked. The cost of a picture then hardly depends on how many steps the bar has seen.

#include <array>
#include <vector>

#include "coverage/squares.hpp"
#include "coverage/view.hpp"

namespace etchcast {

class Survey {
 public:
  struct Fit {
    double band_mm;       ///< mean thickness of the bands of the finest list, the measure of what matters
    float stray;          ///< how far s may stray from a footprint, as a share of its width
    float narrow_mm;      ///< what is told of narrower footprints must be as good as of those: soft seams, or a small part of a band
    bool precise;         ///< ask in double: bands so fine, or maps so steep, that float would show
    /// How far s may stray from a footprint so wide, mm; twice as far within a square, where all it does is bend evenly.
    float may_stray(float footprint_mm) const { return stray * std::max(footprint_mm, narrow_mm); }
    float may_bend(float footprint_mm) const { return 2 * may_stray(footprint_mm); }
  };
  /// A pixel of the window, or the upper left one of a square.
  struct Spot {
    int row, column;
  };
  struct Square {
    int row, column, side;
  };

  /// Insets of other bars in every band list, from, to, from, to …; squares that meet one are asked pixel by pixel.
  using Insets = std::vector<std::vector<double>>;
  Survey(const Bar& bar, Fit fit, Insets insets) : bar_(bar), fit_(fit), insets_(std::move(insets)) {}

  /// Surveys the pixels of `field`'s window that are `wanted`: s and the ground's slopes go into the field, the rest stands
  /// here, in arrays of the field's shape. Reuses its memory.
  void run(const View& view, Field& field, const std::vector<char>& wanted);

  std::vector<float> sp, sq;      ///< slopes of s, mm per pixel, right and down
  std::vector<short> leaf;        ///< band list, -1 where nothing is known
  std::vector<Spot> asked;        ///< pixels asked of the bar one by one
  struct Bent {
    Square square;
    float bend_mm;                ///< within a pixel, at most
  };
  std::vector<Bent> bent;         ///< squares that bend more than one footprint allows; they may reach beyond the window
  long long questions() const { return questions_; }  ///< points asked of the bar so far

 private:
  void lay_out(Field& field);
  /// Where a square's points stand in places_, from its upper left corner's on.
  using Steps = std::array<int, Squares::kPoints>;
  Steps steps_of(int side) const;
  int place(int row, int column) const { return row / 2 * places_across_ + column / 2; }
  int place(const Square& square) const { return place(square.row, square.column); }
  const Told& told(int place) const { return told_[size_t(places_[size_t(place)])]; }
  void want_squares(int side, bool corners);
  void ask_spots(const View& view);
  void ask_pixels(const View& view);
  void try_all(int side);
  bool alike(int place, const Steps& steps) const;
  bool meets_inset(int place, const Steps& steps) const;
  void fill_all(const std::vector<Square>& ready);
  std::vector<Square>& ready(int side) { return ready_[side == 16 ? 0 : side == 8 ? 1 : side == 4 ? 2 : 3]; }
  bool wanted_in(const Square& square) const;
  void leave_to_pixels(const Square& square);
  const Bar& bar_;
  Fit fit_;
  Insets insets_;
  const std::vector<char>* wanted_ = nullptr;
  Planes planes_{};
  bool all_wanted_ = false;
  double left_mm_ = 0, top_mm_ = 0, mm_per_px_ = 1;
  std::vector<int> places_;      ///< of every other pixel both ways: index into told_, or -1
  int places_across_ = 0;
  std::vector<Told> told_;       ///< at corners and between
  std::vector<Spot> spots_;      ///< of told_
  std::vector<Spot> pixels_;     ///< to be asked one by one
  std::vector<Square> open_, harder_;
  std::array<std::vector<Square>, 4> ready_;  ///< to be filled, by size: 16, 8, 4, 2
  long long questions_ = 0;
};

}  // namespace etchcast
