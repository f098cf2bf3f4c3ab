#pragma once
/// \file coverage_helpers.hpp — windows of a view, sampled, for tests.

#include "coverage/sampler.hpp"

namespace etchcast {

/// A window of a view of a bar of two steels.
inline Field field_of(const Bar& bar, const View& view, double left, double top, int columns, int rows, double mm_per_px) {
  Field f;
  f.resize(columns, rows, 2);
  f.left_mm = left, f.top_mm = top, f.mm_per_px = mm_per_px;
  Sampler(bar, 2).sample(view, f);
  return f;
}

}  // namespace etchcast
