#pragma once
/// \file level.hpp — which clone of the hot loops runs here: 4 AVX-512, 3 AVX2, 1 plain x86-64 or another processor.

#include "base/clones.hpp"

#if defined(__GNUC__) && !defined(__clang__) && defined(__x86_64__) && defined(__linux__)
__attribute__((target("default"))) inline int running_level() { return 1; }
__attribute__((target("arch=x86-64-v3"))) inline int running_level() { return 3; }
__attribute__((target("arch=x86-64-v4"))) inline int running_level() { return 4; }
#else
inline int running_level() { return 1; }
#endif
