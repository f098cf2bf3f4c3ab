#pragma once
/// \file flow.hpp — the module's door: a pressing in, a table of where the metal went out.
///
/// Reads after: problem.hpp. All lengths in units of the bar's mean thickness before.

#include <memory>

#include "base/flow_table.hpp"
#include "metal/problem.hpp"

namespace etchcast::metal {

struct Flow {
  std::shared_ptr<const FlowTable> table;
  double touch_bottom = 0, touch_top = 0;  ///< share of each face that lies on its die at the end
};

/// Fine enough for layer heights to a few hundredths of the depth (see docs/model.md for what that rests on).
Fineness fineness_for(const Problem& problem);

/// Solves a pressing.
///   Errors  Error(Fault::recipe): dies too deep or meeting, grooves that fill with held ends, flow not found.
///   Cost    0.02 s for forms, 0.1 to 0.5 s for ridges, on one core.
Flow solve(const Problem& problem, const Fineness& fineness);

/// The same at the usual fineness, looked up in the cache on disk first and kept there.
Flow flow_of(const Problem& problem);

}  // namespace etchcast::metal
