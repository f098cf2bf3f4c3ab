#pragma once
/// \file sheet.hpp — the sheet by the forge: all that is needed at the anvil, on paper or on a telephone.
/// Reads after: check.hpp.

#include <string>

#include "etchcast/forging.hpp"
#include "etchcast/recipe.hpp"

namespace etchcast {

/// One HTML page that needs nothing but itself: no network, no scripts, pictures within. Title, blade at true scale
/// where a page holds it, cut list, every step with sizes in inch and metric, heats in F and C, its end-crop, a box to
/// tick, what can go wrong and the customary cautions, then hardening and etch. Prints on A4 and Letter.
///   Accuracy  Pictures carry their width in mm: 1:1 on paper if printed at 100 %. Where a page is too small the scale
///   is
///             told beside the picture.
///   Errors    Error(Fault::recipe) where the blade does not fit its bar.
///   Cost      about two seconds, most of it for pictures; 1 to 4 MB.
std::string sheet_html(const Recipe& recipe, const Forging& forging);

}  // namespace etchcast
