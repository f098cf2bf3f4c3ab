#pragma once
/// \file units.hpp — quantities as a smith writes them ("3/8 in", "2300 F", "60 %") and as the program counts them.

#include <optional>
#include <string>
#include <string_view>

#include "etchcast/step.hpp"

namespace etchcast {

/// The quantity in inside units: mm, degrees C, s, fraction, radians, turns, radians per mm; plain for count and
/// number; 1 or 0 for a flag ("true", "false").
///   Range   any finite number; bounds are the caller's business.
///   Errors  nothing returned, and `why` holds a sentence that goes on from the key's name, e.g.
///           `needs a unit: write "1.5 mm" or "1/16 in"`. Words (Unit::word) are never a quantity.
///   Source  [NIST SP 811, App. B] 1 in = 25.4 mm and 1 ft = 0.3048 m exactly; t/C = (t/F - 32)/1.8.
std::optional<double> parse_quantity(std::string_view text, Unit unit, std::string& why);

/// For hints: `a length such as "9.5 mm" or "3/8 in"`.
std::string unit_examples(Unit unit);

/// A value in inside units with its unit, e.g. "9.5 mm", "1260 C", "60 %", "1.25 turns/in".
std::string quantity_text(double value, Unit unit);

/// Nearest sixteenth of an inch, "3/8" or "1 1/2", with a leading "~" when that is off by more than 0.1 mm.
std::string inch_fraction(double mm);

}  // namespace etchcast
