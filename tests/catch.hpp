#pragma once
/// \file catch.hpp — Catch2 2.13 or 3, whichever the machine has, with Approx by its plain name.

#if __has_include(<catch2/catch_test_macros.hpp>)
#include <catch2/catch_all.hpp>
using Catch::Approx;
#else
#include <catch2/catch.hpp>
#endif
