// What the mesh must not leave in the metal: ripples as long as its cells.
#include <algorithm>
#include <cmath>
#include <vector>

#include <fmt/format.h>

#include "catch.hpp"
#include "metal/table.hpp"
#include "metal_helpers.hpp"
#include "turns.hpp"

using namespace metal_test;

namespace {

/// Slopes of the layers along the plane at height z, from a crest above to the middle between two.
std::vector<double> slopes_along(const FlowTable& table, double z) {
  std::vector<double> slopes;
  for (int i = 0; i <= 600; ++i) {
    const double x = table.half_after() * i / 600;
    const auto w = table.jet(x, line_at(table, x, z));
    slopes.push_back(-w.xx / w.xc);
  }
  return slopes;
}

/// A wave of `length` columns in 240, even about both ends.
std::vector<double> wave(double length) {
  std::vector<double> values;
  for (int i = 0; i < 240; ++i) values.push_back(std::cos(2 * kPi * (i + 0.5) / length));
  return values;
}

}  // namespace

TEST_CASE("metal: layers under ridges in a rate-sensitive metal steepen once and level once", "[metal]") {
  // Layers go down under a crest and up beside it: level at both mirrors, steepest once between. Where contacts end bands of
  // shear begin, which move on with them; nothing makes them stop on their way. Left out: the middle third between staggered
  // ridges, where slopes are a twentieth of those at the faces and some ripples are left.
  struct Case {
    const char* name;
    double repeat, depth;
    std::vector<double> heights;
  };
  for (const Case& c :
       {Case{"E", 1, 0.118, {0.2, 0.3, 0.7, 0.8}}, Case{"E", 0.8, 0.1, {0.2, 0.3, 0.7, 0.8}},
        Case{"D", 1, 0.118, {0.55, 0.6, 0.65, 0.7, 0.8}}}) {
    Problem p = pressing(c.name, c.repeat, c.depth, true, 0.17);
    p.top.rise = round_nose(0.33);
    if (p.bottom.rise) p.bottom.rise = p.top.rise;
    const auto table = solve(p, fineness_for(p)).table;
    for (const double z : c.heights) {
      const auto slopes = slopes_along(*table, z);
      const auto [low, high] = std::minmax_element(slopes.begin(), slopes.end());
      INFO(fmt::format("{} repeat {} depth {}, plane at {}", c.name, c.repeat, c.depth, z));
      CHECK(*high - *low > 0.04);
      CHECK(turns(slopes, 0.08 * (*high - *low)) == 1);
    }
  }
}

TEST_CASE("metal: taking out ripples leaves of a wave what its closed form says", "[metal]") {
  // 1 - sin(pi cell / length)^4; identity.
  for (const int cell : {2, 3, 5})
    for (const double cells : {2.0, 4.0, 8.0, 16.0}) {
      const double length = cells * cell, left = 1 - std::pow(std::sin(kPi / cells), 4);
      if (std::fmod(240, length) != 0) continue;  // not even about the right end, nor repeating
      for (const bool mirrored : {true, false}) {
        auto values = wave(length);
        take_out_ripples(values, cell, mirrored);
        const auto before = wave(length);
        for (size_t i = 0; i < values.size(); ++i) CHECK(values[i] == Approx(left * before[i]).margin(1e-12));
      }
    }
}
