// Grooves forged flat: what their edges leave in the metal below.
#include <algorithm>
#include <cmath>
#include <vector>

#include <fmt/format.h>

#include "catch.hpp"
#include "forge_helpers.hpp"
#include "turns.hpp"
#include "workpiece/relief.hpp"

using namespace etchcast;

namespace {

constexpr double kSpacing = 13;  // mm, before
constexpr double kStep = 0.02;   // mm, along a plane

/// Points along the middle of the bar at a share of its thickness, back on the flat bar; p is x, q is z.
std::vector<Batch<double>> followed(const Bar& bar, double from, double to, double share) {
  std::vector<Batch<double>> batches;
  for (double x = from; x < to; x += kStep * kLanes) {
    Batch<double> b{};
    for (int i = 0; i < kLanes; ++i) b.x[i] = x + kStep * i, b.z[i] = share * bar.thickness_mm, b.xp[i] = 1, b.zq[i] = 1;
    to_flat(bar, b);
    batches.push_back(b);
  }
  return batches;
}

Forging flattened(const char* groove) {
  const std::string steps = R"({{ do = "groove", {}, depth = "1.8 mm", spacing = "{} mm" }}, {{ do = "flatten" }},)";
  return forged(exact_recipe(kFivePlates, fmt::format(fmt::runtime(steps), groove, kSpacing)));
}

constexpr const char* kGrooves[] = {R"(profile = "vee", flank = "30 deg", radius = "2 mm")", R"(profile = "round", radius = "4 mm")"};

}  // namespace

TEST_CASE("flatten: no ghost of a groove's edges stands in the metal below", "[ladder]") {
  // Metal has no edges inside. Along a plane layers go down into what was a groove and up again: in a repeat they are steepest
  // once going down and once going up, and their slope turns nowhere else, certainly not beside the edges.
  for (const char* groove : kGrooves) {
    const Forging f = flattened(groove);
    const Bar& bar = f.last();
    const double repeat = kSpacing * bar.length_mm / 200;
    for (const double share : {0.0, 0.1, 0.2, 0.3, 0.4}) {
      std::vector<double> slopes;
      for (const auto& b : followed(bar, 5 * repeat, 7 * repeat, share)) slopes.insert(slopes.end(), b.zp, b.zp + kLanes);
      const auto [low, high] = std::minmax_element(slopes.begin(), slopes.end());
      INFO(fmt::format("{} at {} of the thickness over the middle", groove, share));
      CHECK(*high - *low > 0.3);
      CHECK(turns(slopes, 0.06 * (*high - *low)) == 4);  // two repeats
    }
  }
}

TEST_CASE("flatten: grooves closed by the metal's flow keep volume, and points find back", "[ladder][property]") {
  for (const char* groove : kGrooves) {
    const Forging f = flattened(groove);
    const Bar& bar = f.last();
    const double from = 0.3 * bar.length_mm;
    for (const double share : {-0.45, -0.2, 0.0, 0.3, 0.45}) {
      double x = from;
      for (auto b : followed(bar, from, from + 1.2 * kSpacing, share)) {
        for (int i = 0; i < kLanes; ++i) CHECK(b.xp[i] * b.zq[i] - b.xq[i] * b.zp[i] == Approx(1).epsilon(1e-9));
        from_flat(bar, b);
        for (int i = 0; i < kLanes; ++i, x += kStep) {
          CHECK(b.x[i] == Approx(x).margin(1e-6));
          CHECK(b.z[i] == Approx(share * bar.thickness_mm).margin(1e-6));
        }
      }
    }
  }
}

TEST_CASE("relief: rounding takes off an edge what its closed form says and leaves straight flanks", "[ladder]") {
  // A roof of slope 0.5. Under the weights (1 - t^2)^3 on -1 .. 1 the mean of |t| is 35/128, that of t^2 1/9.
  const auto roof = [](double u) { return -0.5 * std::abs(u - 20); };
  const Relief sharp = Relief::ridged(0, 0, 40, 0.01, roof).raised(3);
  for (const bool over : {false, true}) {
    const Relief face = over ? sharp.turned_over() : sharp, soft = face.rounded(0.4);
    const double sign = over ? -1 : 1;
    CHECK(soft(20, 1) == Approx(sign * (3 - 0.5 * 0.4 * 35 / 128)).margin(1e-3));
    for (const double u : {5.0, 19.5, 20.5, 30.0}) CHECK(soft(u, 1) == Approx(sign * (3 + roof(u))).margin(1e-4));
    CHECK((over ? -soft.lowest() : soft.highest()) == Approx(sign * soft(20, 0)).margin(1e-4));
    double before = 0, after = 0;
    for (double u = 1; u < 39; u += 0.01) before += 0.01 * face(u, 0), after += 0.01 * soft(u, 0);
    CHECK(before - after == Approx(sign * 0.5 * 0.4 * 0.4 / 9).margin(1e-3));
  }
  CHECK(Relief::flat(2).rounded(1)(3, 4) == 2);
}
