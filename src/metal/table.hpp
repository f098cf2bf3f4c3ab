#pragma once
/// \file table.hpp — heights of layer lines made into a table that is one to one.

#include <memory>
#include <vector>

#include "base/flow_table.hpp"
#include "metal/problem.hpp"

namespace etchcast::metal {

/// See FlowTable. Beside a corner of a die skin layers may be drawn out finer than the table can follow: there their spacing
/// is evened out until the map is one to one with room to spare.
///   Errors  NotFound if that does not come about.
std::shared_ptr<const FlowTable> one_to_one(double half_before, double half_after, const Fineness& fine,
                                            std::vector<double> heights, const std::vector<double>& origins, bool axis = false);

/// Takes waves as long as two `cell`s (columns) out of values at the middles of columns, mirrored about both ends or
/// repeating: all of these, a quarter of those twice as long, a fiftieth of those four times.
///   Source  R. Shapiro, Smoothing, filtering, and boundary effects, Reviews of Geophysics 8 (1970): of second order here.
void take_out_ripples(std::vector<double>& values, int cell, bool mirrored);

}  // namespace etchcast::metal
