#pragma once
/// \file files.hpp — what other programs left in files.

#include <string>
#include <vector>

namespace etchcast::bench {

/// Raw floats; empty if there are none.
std::vector<float> floats_of(const std::string& path);
/// First channel of an 8-bit picture, 0 .. 1; empty if it cannot be read.
std::vector<float> grey_of(const std::string& path);
/// Columns times rows.
double pixels_of(const std::string& path);

}  // namespace etchcast::bench
