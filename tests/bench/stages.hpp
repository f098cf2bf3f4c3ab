#pragma once
/// \file stages.hpp — workload W taken apart in stages, each timed alone.

#include "bench.hpp"
#include "workload.hpp"

namespace etchcast::bench {

struct Stages {
  Spent maps;      ///< one evaluation of all maps a pixel, with derivatives; no coverage
  Spent coverage;  ///< the picture's shares of steel: what Sampler does, evaluation included
  Spent light;     ///< relief, light, sRGB bytes
  Spent png;
  double pixels = 0;
};

/// Measures with so many threads, at W's size of pixel.
Stages stages_of(const Job& job, int threads, int runs);

/// Map and coverage alone.
Spent coverage_of(const Job& job, double mm_per_px, int threads, int runs);

/// Float operations of one evaluation of W's maps with both derivatives, a division or a root as one, counted in the compiled
/// loops for AVX-512: twist from square to square by rings 751, ridges 116, stretch 12.
inline constexpr double kOperationsPerEvaluation = 879;

}  // namespace etchcast::bench
