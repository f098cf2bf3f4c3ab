// Compiled with -ffp-contract=fast.
#include "machine.hpp"
#include "peak_loop.hpp"

double etchcast::bench::fused_operations(long rounds, float* out) { return operations(rounds, out); }
