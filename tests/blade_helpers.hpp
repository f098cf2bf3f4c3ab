#pragma once
/// \file blade_helpers.hpp — blades of a smith's own outline, and the faults they are refused for.

#include <string>
#include <vector>

#include "catch.hpp"
#include "etchcast/blade.hpp"

namespace etchcast {

// 30 mm high and straight to x = 160.
inline constexpr const char* kStraight = "M 0 0 H 160 L 190 12 C 180 22 170 30 160 30 H -20 V 14 H 0 Z";

inline BladePlan own(const std::string& path = kStraight) {
  BladePlan plan;
  plan.shape = "path";
  plan.path = path;
  plan.length_mm = 0;
  plan.spine_mm = {3.0, 3.0, 3.0};
  plan.edge_mm = 0.4;
  plan.place = {"own.toml", 7, 3};
  return plan;
}

inline std::vector<Diagnostic> faults_of(const BladePlan& plan) {
  try {
    Blade blade(plan);
  } catch (const Error& error) {
    CHECK(error.fault() == Fault::recipe);
    return error.diagnostics();
  }
  return {};
}

/// The one fault a plan is refused for.
inline Diagnostic fault_of(const BladePlan& plan) {
  const auto faults = faults_of(plan);
  REQUIRE(faults.size() == 1);
  CHECK(faults[0].place.line == plan.place.line);
  CHECK_FALSE(faults[0].hint.empty());
  return faults[0];
}

inline bool says(const Diagnostic& d, const std::string& words) { return d.message.find(words) != std::string::npos; }

}  // namespace etchcast
