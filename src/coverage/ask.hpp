#pragma once
/// \file ask.hpp — the bar asked for the metal under places of a view.

#include "coverage/view.hpp"

namespace etchcast {

/// Answers for a batch of places.
struct Answers {
  alignas(64) double s[kLanes];                  ///< stack coordinate, mm
  alignas(64) float sp[kLanes], sq[kLanes];      ///< its slopes, per mm right and up
  alignas(64) float right[kLanes], up[kLanes];   ///< slopes of the ground surface
  alignas(64) int leaf[kLanes];
};

/// Asks for a batch of places of the view. `precise`: in double all the way, about three times as long.
void ask(const Bar& bar, const View& view, const double* u, const double* v, bool precise, Answers& answers);

/// Whether float is too coarse for this bar: it strays from double by more than a hundredth of a band at one point in ten.
bool needs_double(const Bar& bar);

}  // namespace etchcast
