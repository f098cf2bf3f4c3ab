#pragma once
/// \file transformation.hpp — where steel changes its structure, by formulas that hold for some steels only.

#include "etchcast/steels.hpp"

namespace etchcast {

/// A formula's figure, and whether the steel lies where the formula was fitted. An invalid value tests arithmetic, not
/// nature: it must not be shown.
struct Estimate {
  double value = 0;
  bool valid = false;
};

/// Where austenite begins to form on heating, and where the last ferrite is gone; degrees C.
///   Valid   C up to 0.6 %, alloys together up to 5 %, and only where Ac3 comes out above Ac1.
Estimate ac1_c(const Steel& steel);
Estimate ac3_c(const Steel& steel);

/// The long form of Ac3, with manganese and chromium; P, Al, Cu, As and Ti taken as 0.
Estimate ac3_long_c(const Steel& steel);

/// Where martensite begins on cooling, degrees C; `steel.carbon` is the carbon dissolved in austenite.
///   Valid   C up to 0.6 % (Andrews), 0.5 % (Steven and Haynes), alloys together up to 5 %.
Estimate martensite_start_c(const Steel& steel);
Estimate martensite_start_second_c(const Steel& steel);

/// Share of austenite left when a quench ends at `quench_c`, for a martensite start known to be right; 1 at or above
/// it.
double retained_austenite(double martensite_start, double quench_c);

/// Tempering parameter (T + 273.15)(constant + log10 hours) / 1000 and the tempers that have the same one.
///   Errors  std::domain_error where no such temper exists (time not above 0, or an equal temperature below -273 C).
inline constexpr double kTemperConstant = 20;  ///< depends on the steel: about 19.5 at 0.25-0.4 % C, 15 at 0.9-1.2 % C
double tempering_parameter(double celsius, double hours, double constant = kTemperConstant);
double equal_temper_c(double parameter, double hours, double constant = kTemperConstant);
double equal_temper_hours(double parameter, double celsius, double constant = kTemperConstant);

}  // namespace etchcast
