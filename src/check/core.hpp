#pragma once
/// \file core.hpp — the core of a clad blade, as it comes out on the blade's two sides.

#include <array>
#include <optional>

#include "check/scene.hpp"

namespace etchcast {

/// One layer of one steel that is no layer among others: the blade's mid-plane runs in it and its steel lies nowhere
/// else in the section, or it is at least twice as thick as the mean of the rest.
struct Core {
  int steel = 0;
  double thickness_mm = 0;  ///< in the middle of the blade
};
std::optional<Core> core_of(const Scene& scene);

/// Height of the core's line over the edge at x on the right and the left side, mm. 0: the edge itself is no core; the
/// blade's height there: nothing but core.
std::array<double, 2> core_line(const Scene& scene, const Core& core, double x);

}  // namespace etchcast
