#pragma once
/// \file srgb.hpp — light to bytes and back, for rows of whole pixels.

#include <cstdint>

#include "finish/rows.hpp"

namespace etchcast {

/// Linear light of an sRGB byte.
float linear_of(std::uint8_t byte);

/// A row of pixels as bytes: red, green, blue.
struct Pixels {
  void begin(const Row (&rgb)[3], Stretch in);
  void write(Stretch in, std::uint8_t* to) const;

  RowOf<std::uint16_t> bin[3], rest[3];  // for the loops behind these
};

}  // namespace etchcast
