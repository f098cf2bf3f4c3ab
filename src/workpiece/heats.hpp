#pragma once
/// \file heats.hpp — how many heats a step takes: how long a bar stays hot, and what a tool does to it in that time.

#include "etchcast/recipe.hpp"

namespace etchcast {

/// How a step changes a bar's sides: after over before. The length follows from the volume.
struct Sides {
  double across = 1, through = 1;
  double along() const { return 1 / (across * through); }
};

/// Seconds until a long bar with those sides has cooled from one heat to another in still air.
///   Method  It radiates from all four sides and is as hot inside as outside: seconds = (rho c / 3 e s) (section /
///           girth) (1/T^3 - 1/T0^3), in kelvin. So a bar half as thick cools twice as fast.
///   Source  radiation: Stefan and Boltzmann; density 7850 kg/m3, specific heat 650 J/(kg K): EN 1993-1-2; emissivity
///           of scaled steel 0.8 (0.7 to 0.9): value from memory.
double hot_seconds(double width_mm, double thickness_mm, double from_c, double to_c);

/// One step of work on a bar.
struct HeatWork {
  double length_mm = 0, width_mm = 0, thickness_mm = 0;  ///< before
  Sides sides;
  double strain = 0;                 ///< ln(height before / after), added up over all that is squeezed; see squeezed()
  double from_c = 1090, to_c = 900;  ///< it leaves the fire at the one and goes back at the other
  ShopTool tool = ShopTool::press;
};

/// Heats from the first blow to the last, 1 or more. An estimate (docs/model.md): good to half as many or twice as
/// many.
int heats_for(const HeatWork& work);

/// What drawing squeezes: the height; and the edges, where the bar ends up narrower than it would spread by itself.
double squeezed(const Sides& sides);

/// How much thicker, wider and longer the bar was before the step than it is in each of its heats, on average. A skin
/// lost in a late heat was as much more of the bar it came from. The work goes on evenly from heat to heat.
struct Thinning {
  double through = 1, across = 1, along = 1;
};
Thinning mean_thinning(const Sides& sides, int heats, int before_work);

}  // namespace etchcast
