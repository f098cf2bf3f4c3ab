#pragma once
/// \file etching.hpp — baths, how fast they eat, and the grey of an etched coupon.
/// Reads after: steels.hpp.

#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "etchcast/recipe.hpp"

namespace etchcast {

/// A bath smiths etch in. Mixtures are common practice; rates are guesses, since no source gave a measured one.
struct Bath {
  std::string_view word;  ///< as in a recipe
  std::string_view mix;   ///< how it is usually made up and used
  double usual_um_min;    ///< relief gained a minute between a steel it eats and one it does not; 0: not known
  double slow_um_min, fast_um_min;
  FinishKind finish;  ///< what it leaves if the recipe names no finish
};

std::span<const Bath> baths();

/// The bath of that word; there must be one.
const Bath& bath_of(std::string_view word);

/// What a white sheet of office paper throws back of the light that falls on it: 0.80 to 0.90, value from memory.
inline constexpr double kPaper = 0.85;

/// Share of light a surface throws back, from its grey in a photograph (0-255) and that of white paper beside it.
///   Range   paper above the grey, neither clipped at 0 or 255.
///   Method  both greys through the sRGB curve of IEC 61966-2-1, their ratio times kPaper. A telephone bends that curve
///   to
///           please: good to about a tenth of the value (guess).
double reflectance_of_grey(double grey, double paper);

/// "25 um of relief, as told" …: where the relief comes from, for the sheet and the ledger.
std::string relief_text(const EtchPlan& etch);

}  // namespace etchcast
