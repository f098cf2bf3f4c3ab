#pragma once
/// \file wave.hpp — how deep the wave under a ridge die really reaches, against what plane sections show.

#include <complex>
#include <optional>
#include <vector>

#include "etchcast/forging.hpp"

namespace etchcast {

/// Share of a face's ripple that is left at height sigma of a bar of thickness H: 1 at the face (sigma = 1), 0 at the
/// other face, which stays flat; both faces slip. `kh` = 2 pi H / wavelength. Slow incompressible flow, first order.
///   Source  biharmonic solution of a layer on a symmetry plane, derived here:
///           v = ((1 + kH coth kH) sinh kz - kz cosh kz) / sinh kH.
double layer_share(double kh, double sigma);

/// The same in metal without end, at depth d below the face: (1 + kd) exp(-kd).
///   Source  the field of a harmonic load on a viscous half-space; boundary conditions checked.
double half_space_share(double kd);

/// The ripple of both faces of a pressed bar over one spacing, as harmonics, mm.
class Wave {
 public:
  /// `before` is the bar as it came to the press, `pressed` as it left; looked at about x = `middle`.
  Wave(const Bar& before, const Bar& pressed, double spacing, double angle_rad, double middle);
  /// Crest to trough of the layer at height sigma (0 lower face, 1 upper), by slow flow and by plane sections.
  double flowing(double sigma) const { return swing(sigma, false); }
  double plane(double sigma) const { return swing(sigma, true); }
  /// Height of z among the mean faces of the pressed bar, 0 to 1.
  double height_of(double z) const;
  double thickness_before() const { return before_; }
  /// Thickness of the bar before over the mean one after: what the dies squeezed the layers by.
  double squeeze() const { return before_ / (top_ - bottom_); }

 private:
  double swing(double sigma, bool plane) const;
  double before_, top_ = 0, bottom_ = 0, kh_;
  std::vector<std::complex<double>> upper_, lower_;
};

/// A line over a bar's plan, mm.
struct PlanLine {
  double x0, y0, x1, y1;
};

/// Over `repeats` of ridges, about x = `middle`: along the bar's middle line, or across the bar where they run along it; no
/// longer than the bar is there.
PlanLine line_over(const Bar& bar, double spacing, double angle_rad, double repeats, double middle);

/// How the layers of a bar wave, as its own maps have it since it was even, less the hand's wander.
class DrawnWave {
 public:
  DrawnWave(const Bar& even, const Bar& bar, const PlanLine& line);
  /// Crest to trough of the layers met at height z, in mm of this bar.
  double operator()(double z) const { return range(z) / squeeze(); }
  /// The same, in mm of the even bar: over a layer's thickness there it is the lines of a rung.
  double range(double z) const;
  /// Mean height between the faces.
  double mean_height() const { return mean_; }
  /// Thickness of the even bar over that height.
  double squeeze() const { return even_.thickness_mm / mean_; }

 private:
  const Bar &even_, &bar_;
  PlanLine line_;
  double mean_ = 0;
};

}  // namespace etchcast
