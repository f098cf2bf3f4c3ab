#pragma once
/// \file clones.hpp — hot loops compiled for several instruction sets, the right one chosen when the program starts.
///
/// One portable binary: plain x86-64 runs anywhere, AVX2 and AVX-512 are used where they are. Results are the same bit for
/// bit, since contraction is off and a loop over lanes does the same sums in any width. The levels are named, not single
/// features: `arch=haswell` and the like fall back to SSE2 on processors of another maker. Under a sanitizer there are none:
/// its checks in three flattened copies of every loop would never be done compiling.

#if !defined(__SANITIZE_ADDRESS__) && defined(__GNUC__) && !defined(__clang__) && defined(__x86_64__) && defined(__linux__)
#define ETCHCAST_CLONES __attribute__((target_clones("default", "arch=x86-64-v3", "arch=x86-64-v4"), flatten))
#else
#define ETCHCAST_CLONES
#endif
