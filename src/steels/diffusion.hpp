#pragma once
/// \file diffusion.hpp — diffusion through a stack of bands, exactly, and how fast elements move in hot iron.

#include <optional>
#include <vector>

#include "etchcast/steels.hpp"

namespace etchcast {

/// D in austenite, mm2/s.
///   Range   750 to 1450 C; nothing outside, and nothing for Si, Mo, V, W, whose figures nobody here could vouch for.
///   Accuracy  a factor of 3 either way: textbook sets do not agree better.
std::optional<double> diffusivity_mm2_s(Element element, double celsius);

/// Concentration through a bar: band i lies between edges[i] and edges[i + 1] and holds level[i].
struct BandProfile {
  std::vector<double> edges;  ///< mm, rising, edges[0] = 0
  std::vector<double> level;
};

/// The profile after diffusion by Dt (mm2) with no flux through either face: the exact solution.
///   Shape   by cosines of the thickness for long times, by error functions of every edge and its mirror images for
///           short ones, whichever needs fewer terms; both to rounding.
///   Cost    about n to the power 1.5 for n bands at worst.
///   Source  [Crank, The Mathematics of Diffusion, 2nd ed. 1975, ch. 2 and 4], value from memory.
class Softened {
 public:
  Softened(BandProfile start, double dt_mm2);
  double at(double z_mm) const;
  std::vector<double> centres() const;  ///< at the middle of each band
  std::vector<double> means() const;    ///< over each band; the total is kept to rounding
  double mean() const { return mean_; }

 private:
  double by_images(double z) const;
  double by_cosines(double z) const;
  /// Amount that has moved down through z since the start, mm times concentration.
  double moved_to(double z) const;
  double start_at(double z) const;
  template <class Term>
  double over_images(double z, const Term& term) const;

  BandProfile start_;
  double thickness_, dt_, mean_;
  std::vector<double> modes_;      ///< of the cosine series, decayed; empty: images are used
  std::vector<double> start_sum_;  ///< amount below each edge at the start
};

/// Contrast at the middle of a layer in an endless pile of equal layers, 1 at the start.
///   `dt_over_pitch2`: D t over the square of the pitch (two layers).
double square_wave_contrast(double dt_over_pitch2);

/// Thickness of layers, one like another, that keep `contrast` of their difference, mm.
double layer_keeping_mm(double contrast, double dt_mm2);

// --- Thick pieces: one face, or two pieces welded ---

/// Argument of erf that gives `value`, |value| < 1.
double inverse_erf(double value);

/// Seconds until `depth_mm` under a face held at `surface` reaches `wanted`, in metal that began at `start`.
double seconds_to_reach(double surface, double start, double wanted, double depth_mm, double d_mm2_s);

/// Depth at which metal that began at `start`, its face held at `surface`, has reached `wanted` after Dt, mm.
double depth_reached_mm(double surface, double start, double wanted, double dt_mm2);

/// Concentration at x mm from the weld of two thick pieces, `right` on the side x > 0.
double across_weld(double left, double right, double x_mm, double dt_mm2);

}  // namespace etchcast
