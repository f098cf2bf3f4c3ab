#pragma once
/// \file history.hpp — how layers thinned from step to step, and the heats that lay between.

#include <vector>

#include "etchcast/metallurgy.hpp"

namespace etchcast {

/// Layer thickness before step k over that after it, for every row of the ledger.
std::vector<double> thinning_by_step(const BilletStory& story);

/// The last step after which the band list was still the bar's own thickness; 0 if bars were laid in as they are.
size_t last_flat(const BilletStory& story);

/// Layer thickness after step `step` over that in the finished bar.
double thinning_after(const BilletStory& story, size_t step);

/// The same heats seen from a bar that was later worked on: layers thinned further by `thinning`, then `later` came.
HeatHistory then(HeatHistory first, double thinning, const HeatHistory& later);

}  // namespace etchcast
