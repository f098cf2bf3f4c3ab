#pragma once
/// \file summary.hpp — the last lines of the books: steel in, steel out, heats, layers in the blade.

#include <string>
#include <vector>

#include "etchcast/check.hpp"

namespace etchcast {

struct Summary {
  double piled_g = 0;     ///< plates of all billets, as laid; bars made earlier are not counted twice
  double finished_g = 0;  ///< of the bar the blade is ground from, else the last
  std::string finished;   ///< that bar's name
  int heats = 0;          ///< in all billets
  bool has_blade = false;
  std::string blade_fault;  ///< why the blade cannot be laid in its bar; empty: it can
  double layers_heel = 0, layers_middle = 0, layers_tip = 0;  ///< through the spine at heel, middle, 10 mm from the tip
};

Summary summed_up(const Recipe& recipe, const Forging& forging);

}  // namespace etchcast
