// Compiled with -ffp-contract=off, as the program is.
#include "machine.hpp"
#include "peak_loop.hpp"

double etchcast::bench::plain_operations(long rounds, float* out) { return operations(rounds, out); }
