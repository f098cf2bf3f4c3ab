#pragma once
/// \file hand_kernel.hpp — workload W written out by hand: what a program for this one plate can do.

namespace etchcast::bench {

/// Share of the first steel in each of W's 3840 x 1000 pixels, row by row. One thread.
///   Method  The steps fall together into one function. The squaring map takes a ring of the section to a circle and,
///   after
///           the twist, back to the same ring: metal moves along its ring, and no circle need be seen. The point's ring
///           and its place on it depend on the ridges only, which repeat every 240 pixels in mirrored halves: they are
///           found for 120 pixels of a row. What follows is a polynomial a pixel. Slopes are differences between
///           neighbouring pixels; the layers are integrated over the footprint in closed form, since mirrored pieces of
///           a stack that is its own mirror image repeat. Pixels near the plate's long edges, where the section's
///           corners crease the layers, are divided in 4 x 4 parts.
///   Valid   for W's recipe, plane and size of pixel, and for nothing else.
void hand_kernel(float* shares);

}  // namespace etchcast::bench
