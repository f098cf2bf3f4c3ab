#pragma once
/// \file relief.hpp — the heights of etched_height(), in memory that is used again for the next window.

#include <span>

#include "etchcast/picture.hpp"
#include "finish/rows.hpp"

namespace etchcast {

struct Relief {
  std::vector<float> height;  ///< mm, as etched_height() gives it

  void etch(const Field& field, const std::vector<Steel>& steels, const EtchPlan& plan);

  // For the loops behind etch().
  std::vector<float> weight, across;
  Row total;
};

}  // namespace etchcast
