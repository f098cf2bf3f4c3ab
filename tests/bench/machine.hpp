#pragma once
/// \file machine.hpp — what this processor can do at most, measured.

namespace etchcast::bench {

/// Run so many rounds and tell how many operations they were; `out` keeps them from being left out.
double fused_operations(long rounds, float* out);
double plain_operations(long rounds, float* out);

/// Float operations a second of one thread, in this run; fused counts a multiply-add as two.
struct Peak {
  double fused = 0, plain = 0;
};
const Peak& peak();

}  // namespace etchcast::bench
