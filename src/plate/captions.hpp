#pragma once
/// \file captions.hpp — what is written beside the metal, in the smith's own measures.

#include <string>
#include <vector>

#include "etchcast/render.hpp"

namespace etchcast {

/// "1084 + 75Ni8", "141 layers before step 9 (press), 80 to 84 through the thickness of the finished bar", …
std::vector<std::string> subtitle(const Recipe& recipe, const Forging& forging, const Moment& moment);

/// "bar: after step 4, restack".
std::string moment_text(const Forging& forging, const Moment& moment);

/// "15 mm × …", as Measures::lengths() says it, with the signs of print.
std::string sizes_text(const Recipe& recipe, std::initializer_list<double> mm);

/// How many layers there are, "80 to 84 layers" where they are not the same everywhere.
std::string count_text(const LedgerRow& row);

/// A length for a scale bar, and what is written beside it.
struct ScaleLength {
  double mm;
  std::string text;
};
/// The longest round length not much above `wanted_mm`, round in the first of the smith's systems.
ScaleLength scale_length(double wanted_mm, System first);

}  // namespace etchcast
