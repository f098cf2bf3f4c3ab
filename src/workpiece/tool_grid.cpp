// From spacing and bar to a rectangle, from the smallest thing to nodes, within bounds.
#include "workpiece/tool_grid.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "base/fourier.hpp"
#include "etchcast/error.hpp"

namespace etchcast {

namespace {

constexpr double kGrowth = 1.25;  ///< so much longer the bar may be after
constexpr int kLeastTile = 12;  ///< tools each way that a random set is made of at least

/// The rectangle along one direction.
struct Side {
  double from = 0, extent = 0;
  bool open = false;         ///< beyond the room no tools stand
  int first = 0, count = 0;  ///< columns or rows of the set that repeat; 0: those of a regular set
  int even = 1;              ///< rows stagger, so that only even numbers repeat
  double pitch = 1;
  double least = kLeastTile;  ///< extent, in pitches, that it comes down to where tools stand close
};

Side random_side(double pitch, int first, int count, int even) {
  return {first * pitch, count * pitch, false, first, count, even, pitch};
}

Side regular_side(double pitch, double pitches) { return {0, pitches * pitch, false, 0, 0, 1, pitch, pitches}; }

/// The bar with room around it, if that is much less than the repeat.
void open_if_less(Side& side, double from, double to, double far) {
  const double extent = to - from + 4 * far;
  if (extent < 0.75 * side.extent) side = {from - 2 * far, extent, true, 0, 0, 1, side.pitch, side.least};
}

double nodes_of(const Side& x, const Side& y, double step) { return x.extent * y.extent / (step * step); }

/// Fewer columns or rows of a random set.
void shorten(Side& side, double share) {
  if (side.count == 0) return;
  const int tile = std::max(kLeastTile, int(side.count * share) / side.even * side.even);
  side.count = std::min(side.count, tile);
  side.extent = side.count * side.pitch;
}

[[noreturn]] void refuse(const Side& x, const Side& y, const GridNeed& need, double spacing, double step,
                         const Measures& say) {
  const double larger = std::sqrt(nodes_of(x, y, step) / kMostNodes);
  const double closer = std::floor(10 * step * std::sqrt(kMostNodes / (x.least * y.least))) / 10;
  std::string hint = closer >= 1 ? fmt::format("set them at most {} apart, or ", say.length(closer)) : std::string();
  throw Error(Fault::recipe,
              fmt::format("{} so small and {} apart are too many to follow on a bar of {}", need.tools,
                          say.length(spacing), say.lengths({need.length_mm, need.width_mm})),
              hint + fmt::format("make them {:.1f} times as large, or work a shorter bar", std::ceil(10 * larger) / 10));
}

/// The step from node to node within the bounds; random sides are shortened if they must be.
double step_within(Side& x, Side& y, const GridNeed& need, double spacing, const Measures& say) {
  const double coarsest = need.coarsest_mm * (need.preview ? 2 : 1);
  const double soft = need.preview ? kMostPreviewNodes : kMostNodes;
  double step = std::clamp(need.wished_mm * std::sqrt(nodes_of(x, y, need.wished_mm) / soft), need.wished_mm, coarsest);
  if (nodes_of(x, y, step) <= soft * 1.01) return step;
  shorten(y, std::sqrt(soft / nodes_of(x, y, step)));
  shorten(x, soft / nodes_of(x, y, step));
  // A preview is the coarser one, and must not refuse what the full forecast follows.
  if (nodes_of(x, y, step) > kMostNodes * 1.01) refuse(x, y, need, spacing, step, say);
  return step;
}

std::string comes_again(const Side& x, const Side& y, const GridNeed& need, const Measures& say) {
  const bool along = x.count > 0 && x.extent < need.length_mm, across = y.count > 0 && y.extent < need.width_mm;
  if (!along && !across) return {};
  std::string text = "so many are not thrown one by one: the random set comes again after ";
  if (along) text += say.length(x.extent) + " along the bar";
  if (across) text += (along ? " and after " : "") + say.length(y.extent) + " across it";
  return text;
}

ToolGrid laid(Side& x, Side& y, const GridNeed& need, double spacing, const Measures& say) {
  open_if_less(x, 0, kGrowth * need.length_mm, need.far_mm);
  open_if_less(y, -need.width_mm / 2, need.width_mm / 2, need.far_mm);
  const double step = step_within(x, y, need, spacing, say);
  ToolGrid g;
  g.grid.x0 = x.from, g.grid.wide = x.extent, g.grid.y0 = y.from, g.grid.high = y.extent;
  g.grid.columns = smooth_size(std::max(12, int(std::ceil(x.extent / step))));
  g.grid.rows = smooth_size(std::max(12, int(std::ceil(y.extent / step))));
  g.comes_again = comes_again(x, y, need, say);
  return g;
}

/// Tools in the margin half as wide as the far side's stand in the room; the rest of the margin is for what they do.
Room room_of(const Side& x, const Side& y, double far) {
  Room room;
  if (x.open) room.from_x = x.from + far, room.to_x = x.from + x.extent - far;
  if (y.open) room.from_y = y.from + far, room.to_y = y.from + y.extent - far;
  return room;
}

}  // namespace

ToolGrid grid_of(Pattern& pattern, const GridNeed& need, const Measures& say) {
  const double row = pattern.row();
  Side x = regular_side(pattern.spacing, 1), y = regular_side(row, pattern.set == Pattern::Set::square ? 1 : 2);
  if (pattern.set == Pattern::Set::random) {
    x = random_side(pattern.spacing, -1, int(std::ceil(kGrowth * need.length_mm / pattern.spacing)) + 2, 1);
    const int half = int(std::ceil(need.width_mm / row / 2 + 0.3));
    y = random_side(row, -half, 2 * half, 2);
  }
  ToolGrid g = laid(x, y, need, pattern.spacing, say);
  pattern.first_column = x.first, pattern.columns = x.count, pattern.first_row = y.first, pattern.rows = y.count;
  pattern.room = room_of(x, y, need.far_mm);
  return g;
}

ToolGrid grid_of(Blows& blows, const GridNeed& need, const Measures& say) {
  Side x = random_side(blows.spacing, -1, int(std::ceil(kGrowth * need.length_mm / blows.spacing)) + 2, 1);
  const int half = int(std::ceil(need.width_mm / 2 / blows.spacing)) + 1;
  Side y = random_side(blows.spacing, -half, 2 * half, 1);
  ToolGrid g = laid(x, y, need, blows.spacing, say);
  blows.first_column = x.first, blows.columns = x.count, blows.first_row = y.first, blows.rows = y.count;
  blows.room = room_of(x, y, need.far_mm);
  return g;
}

Grid2 coarser(const Grid2& grid, double nodes) {
  Grid2 g = grid;
  const double less = std::min(1.0, std::sqrt(nodes / double(grid.size())));
  g.columns = smooth_size(std::max(12, int(less * grid.columns)));
  g.rows = smooth_size(std::max(12, int(less * grid.rows)));
  return g;
}

}  // namespace etchcast
