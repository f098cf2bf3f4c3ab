#pragma once
/// \file pressing.hpp — what the rules of ridge dies tell a smith: how deep to grind, how the rungs lie on the blade.

#include "check/wave.hpp"

namespace etchcast {

/// Ridges as they lie on a bar.
struct Rungs {
  double spacing = 0, angle = 0;  ///< along their normal, mm; rad
};

/// Of ridges pressed in `step`, on the last bar of the story. They are lines: what stretches the bar along or across turns
/// them and moves them apart.
Rungs rungs_at_last(const BilletStory& story, size_t step, double spacing, double angle);

/// How far below the floors half of the wave is left, and how much of the bar moves by less than a layer of `layer_mm` (0:
/// layers do not lie flat); empty if there is nothing to tell.
std::string depth_text(const Bar& pressed, const DrawnWave& drawn, const std::string& sides, double layer_mm);

}  // namespace etchcast
