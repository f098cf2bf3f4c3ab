#pragma once
/// \file edge.hpp — which steel of a bar comes to lie at the edge.

#include <vector>

#include "etchcast/metallurgy.hpp"

namespace etchcast {

inline constexpr double kTrace = 0.02;  ///< of the edge: less is a streak, not what cuts

inline bool is_nickel(const Steel& steel) { return steel.nickel > 50; }
inline bool is_copper(const Steel& steel) { return steel.copper > 50; }
inline bool is_stainless(const Steel& steel) { return steel.chromium > 10; }

struct Edge {
  std::vector<double> shares;  ///< of the metal at the edge, by the recipe's steels
  int cutting = -1;            ///< the one steel that cuts; -1: the mix
  bool core = false;           ///< it is a core: one layer that stands out among the bar's others
  bool strayed = false;        ///< it is one layer, a core, and leaves the edge in places
  int leaf = 0, layer = 0;     ///< that layer, as in Pick; layer 0: more than one
};

/// The metal of a blade's edge, from heel to tip and a millimetre up, on both faces and between them. Without a blade,
/// or where it does not fit its bar, that about the bar's mid-plane.
Edge edge_of(const Recipe& recipe, const Bar& bar);

}  // namespace etchcast
