// A smith's own outline: every notation of a path, and what is refused.
#include "catch.hpp"

#include <cmath>
#include <string>

#include "blade/polygon.hpp"
#include "blade_helpers.hpp"
#include "etchcast/blade.hpp"

using namespace etchcast;

TEST_CASE("outline: the same shape in every notation of a path", "[blade][path]") {
  const std::string same[] = {
      "M0 0H100L120,10V30H0z",
      "m0,0 h100 l20,10 v20 h-120 z",
      "M 0 0 L 100 0 120 10 120 30 0 30 0 0",
      "m 0 0 100 0 20 10 0 20 -120 0 z",
      "M0 0C30 0 70 0 100 0 l20 10 0 20-60,0S20 30 0 30Z",
      "M+0 0.0Q50 0 100 0L1.2e2 10V30L.0 30Z",
  };
  for (const std::string& path : same) {
    CAPTURE(path);
    const Blade blade(own(path));
    CHECK(blade.length() == Approx(120));
    CHECK(blade.height() == Approx(30));
    CHECK(signed_area(blade.outline()) == Approx(3500));
    CHECK(blade.tang() == 0);
  }
}

TEST_CASE("outline: curves of a path are where they should be", "[blade][path]") {
  // A half disc of radius 30 at the tip, drawn as arcs in four ways, with flags run together in one.
  for (const char* path : {"M0 0H100A30 30 0 0 1 100 60H0Z", "M0 0H100a30,30 0 01 0,60H0Z",
                           "M0 60H100A30 30 0 0 0 100 0H0Z", "M0 0H100A30 30 45 0 1 130 30A30 30 0 0 1 100 60H0Z"}) {
    CAPTURE(path);
    const Blade blade(own(path));
    CHECK(blade.length() == Approx(130).margin(2e-3));
    CHECK(signed_area(blade.outline()) == Approx(6000 + 450 * std::acos(-1.0)).epsilon(1e-4));
  }
  // T mirrors Q: a wave whose second half hangs as far above the line as the first went below it.
  const Blade wave(own("M0 0Q30 0 60 6T120 12L120 30H0Z"));
  CHECK(wave.edge_y(60) == Approx(6).margin(0.01));
  CHECK(wave.edge_y(90) == Approx(9 + 1.5).margin(0.01));
  // S mirrors C.
  const Blade smooth(own("M0 0C20 0 40 0 60 6S100 12 120 20L120 30H0Z"));
  const double before = smooth.edge_y(60) - smooth.edge_y(59.5), after = smooth.edge_y(60.5) - smooth.edge_y(60);
  CHECK(before == Approx(after).epsilon(0.1));
}

TEST_CASE("outline: a path that is no blade is refused in plain words", "[blade][path][error]") {
  const std::pair<const char*, const char*> bad[] = {
      {"", "empty"},
      {"L 3 4", "does not begin with M"},
      {"M 0 0 L 100", "in command 2, \"L 100\": at character 12, a number is expected, but the path ends"},
      {"M 0 0 L 100 x 5", "in command 2, \"L 100\": at character 13, a number is expected, but it says \"x 5\""},
      {"M 0 0 K 3 3", "at character 7, a command"},
      {"M 0 0 A 5 5 0 2 1 9 9", "0 or 1"},
      {"M 0 0 L 100 0 L 100 30 L 0 30", "is open"},
      {"M 0 0 L 100 0 L 0 30 L 100 30 Z", "crosses itself near x = 50.0, y = 15.0"},
      {"M 0 0 H 100 V 30 H 0 Z M 10 5 H 20 V 9 Z", "2 separate lines"},
      {"M 0 0 H 3 V 1 H 0 Z", "reaches 3 mm"},
      {"M 0 0 H 9000 V 30 H 0 Z", "reaches 9000 mm"},
      {"M 0 0 H 100 V -30 H 0 Z", "edge lies at y = -30"},
      {"M 0 0 H 100 V 2 H 0 Z", "2 mm high"},
      {"M 0 0 H 100 V 40 H 0 V 36 H 90 V 4 H 0 Z", "folds back over itself"},
      {"M 1e999 0 L 2 2 Z", "a number of mm is expected"},
      {"M 3 3", "no lines"},
      {"M 0 0 H 100 V 30 H 0 A 1e-300 3 0 0 1 0 0 Z M", "a number is expected"},
  };
  for (const auto& [path, words] : bad) {
    CAPTURE(path);
    const Diagnostic d = fault_of(own(path));
    CAPTURE(d.message);
    CHECK(d.key == "blade.path");
    // Where the hint shows an example, it is one that works.
    const size_t quote = d.hint.find('"'), example = d.hint.find("path = \"");
    if (example != std::string::npos) {
      const size_t end = d.hint.find('"', quote + 1);
      CHECK(faults_of(own(d.hint.substr(quote + 1, end - quote - 1))).empty());
    }
    CHECK(says(d, words));
  }
}

TEST_CASE("outline: sizes beside a path must not contradict it", "[blade][path][error]") {
  BladePlan plan = own();
  plan.length_mm = 190;
  CHECK(faults_of(plan).empty());
  plan.length_mm = 150;
  CHECK(says(fault_of(plan), "190.0 mm long as drawn"));
}
