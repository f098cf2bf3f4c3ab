#pragma once
/// \file srgb.hpp — light to bytes and back, for rows of whole pixels.

#include <cstdint>

#include "finish/rows.hpp"

namespace etchcast {

/// Linear light of an sRGB byte.
float linear_of(std::uint8_t byte);

/// A row of pixels as bytes.
struct Pixels {
  RowOf<std::uint32_t> packed;  ///< red in the lowest byte, then green, then blue
  void pack(const Row (&rgb)[3], Stretch in);

  RowOf<std::uint32_t> entries[3];  // for the loops behind pack()
};

}  // namespace etchcast
