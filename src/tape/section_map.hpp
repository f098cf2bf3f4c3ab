#pragma once
/// \file section_map.hpp — a bar's section between square and round, and the bar turned about its length on the way.
///
/// Rings (squaring.hpp) turn as wholes: from square to square the way leads over no round section.

#include "tape/map.hpp"
#include "tape/turning.hpp"

namespace etchcast {

/// A square section by its half sides, which may differ a little, or a round one by those of the square of its area.
struct RingedSection {
  bool square;
  double half_width, half_thickness;
};

/// From one section to another of the same area.
MapPtr section_map(RingedSection before, RingedSection after);

/// And turned between them.
MapPtr twist_map(RingedSection before, RingedSection after, Turning turning);

}  // namespace etchcast
