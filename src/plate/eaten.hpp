#pragma once
/// \file eaten.hpp — the metal that stands at the surface once the acid has been there.

#include "coverage/view.hpp"
#include "etchcast/picture.hpp"

namespace etchcast {

/// How steeply the stack runs into the metal under a view: mean of ds/dn, split by its sign, n mm below the ground
/// face. One entry a leaf. 1 and 0 for layers that lie flat under the face and were not thinned since the list was laid
/// down.
struct Lean {
  double rising = 0, falling = 0;
};
std::vector<Lean> lean_under(const View& view, const Bar& bar);

/// The bar with band lists as an eye finds them under that view after the etch (see etched_bands()).
Bar eaten(const Bar& bar, const View& view, const std::vector<Steel>& steels, const EtchPlan& etch);

}  // namespace etchcast
