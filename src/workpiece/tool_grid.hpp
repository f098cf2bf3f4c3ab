#pragma once
/// \file tool_grid.hpp — the rectangle over which single tools are told: as little as the bar asks for.
///
/// A regular set repeats, and one repeat is enough. A random one is made to repeat beyond the bar. Where tools stand so
/// far apart that even one repeat is larger than the bar, the rectangle is the bar with room around it, and tools that
/// do not reach the bar are left out.

#include <string>

#include "base/layer_table.hpp"
#include "base/measures.hpp"
#include "workpiece/tools.hpp"

namespace etchcast {

/// What the rectangle has to hold.
struct GridNeed {
  double length_mm = 0, width_mm = 0;  ///< of the bar before; it may grow by a quarter
  double far_mm = 0;                   ///< how far from its middle a tool moves metal
  double wished_mm = 0;                ///< from node to node
  double coarsest_mm = 0;              ///< where there would be too many of them
  bool preview = false;                ///< may be twice as coarse again
  const char* tools = "tools";         ///< what a message calls them
};

/// More nodes are never laid: the layers' table takes some 100 MB while it is made, and half a second.
inline constexpr double kMostNodes = 3e5;
inline constexpr double kMostPreviewNodes = 4e4;

struct ToolGrid {
  Grid2 grid;
  /// A random set had to be made to repeat within the bar; what to say of it.
  std::string comes_again;
};

/// Lays the rectangle and makes the set repeat over it.
///   Errors  Error(Fault::recipe): tools so small and so far apart that nodes would be too many.
ToolGrid grid_of(Pattern& pattern, const GridNeed& need, const Measures& say);
/// The same rectangle for blows; the other face's must have the same spacing, crown and depth.
ToolGrid grid_of(Blows& blows, const GridNeed& need, const Measures& say);

/// A grid over the same rectangle of at most so many nodes.
Grid2 coarser(const Grid2& grid, double nodes);

}  // namespace etchcast
