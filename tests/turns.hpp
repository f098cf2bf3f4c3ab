#pragma once
/// \file turns.hpp — how often a curve turns round, small trembling left out.

#include <algorithm>
#include <vector>

/// Places where a curve turns round and goes back by more than `least`.
inline int turns(const std::vector<double>& v, double least) {
  int count = -1, way = 0;  // the first way taken is no turn
  double low = v[0], high = v[0];
  for (const double x : v) {
    low = std::min(low, x), high = std::max(high, x);
    if (way >= 0 && x < high - least) ++count, way = -1, low = x;
    if (way <= 0 && x > low + least) ++count, way = 1, high = x;
  }
  return count;
}
