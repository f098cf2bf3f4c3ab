#pragma once
/// \file figures.hpp — quantities as they stand on the sheet: metric and inch, C and F, side by side.

#include <string>

#include "etchcast/step.hpp"

namespace etchcast {

/// With a capital first; and with a full stop last.
std::string capitalised(std::string text);
std::string sentence(std::string text);

/// Nearest sixteenth of an inch, or a dash for what is thinner than that.
std::string sixteenths(double mm);
/// "27.2", with as many decimals as a calliper reads at that size.
std::string mm_figure(double mm);
/// "1.071", in inch, thousandths.
std::string inch_figure(double mm);
/// "27.2 mm (1.071 in)", without idle noughts: "8 mm (0.315 in)".
std::string both_lengths(double mm);
/// "1260 °C (2300 °F)", whole degrees.
std::string both_heats(double celsius);
/// "800–815 °C (1472–1499 °F)".
std::string both_heats(double low_c, double high_c);
/// "1.281 kg (2.82 lb)", below 100 g "36 g (1.3 oz)".
std::string both_masses(double grams);
/// Any quantity; lengths and temperatures in both systems.
std::string both(double value, Unit unit);

}  // namespace etchcast
