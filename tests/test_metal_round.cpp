// The metal's flow about one stud or hole in a round cell, against closed forms and an independent finite-element
// program.
#include <cmath>
#include <fstream>
#include <map>
#include <sstream>

#include <fmt/format.h>

#include "catch.hpp"
#include "metal/rough.hpp"
#include "metal_helpers.hpp"

using namespace metal_test;

namespace {

constexpr double kFirst = 3.8317059702075123;  // first zero of J1; value from memory, checked below

/// Root mean square over the cell's volume of what a table's heights miss, by a function of the share of the radius and
/// the line.
template <class Height>
double missed(const FlowTable& t, const Height& height) {
  double squares = 0;
  const int n = 60, lines = 16;
  for (int k = 0; k <= lines; ++k)
    for (int i = 0; i < n; ++i) {
      const double share = std::sqrt((i + 0.5) / n), line = double(k) / lines;  // even in volume
      squares += std::pow(t.jet(share * share * t.half_after(), line).x - height(share, line), 2);
    }
  return std::sqrt(squares / (n * (lines + 1)));
}

Problem stud(double radius, double ball, double depth, bool sticks, double m) {
  Problem p;
  p.round = true, p.repeat_before = true;
  p.half_repeat = radius;
  p.sensitivity = m, p.friction = sticks ? 1 : 0;
  p.top.kind = Tool::Kind::ridge;
  p.top.depth = depth;
  p.top.rise = [ball](double r) {
    const double end = ball * std::sin(1.4);
    return r < end ? ball - std::sqrt(ball * ball - r * r) : ball * (1 - std::cos(1.4)) + (r - end) * std::tan(1.4);
  };
  return p;
}

}  // namespace

TEST_CASE("round cell: small waves of a full die die out with depth as Bessel's do", "[metal]") {
  // Identity: J0(kr) F(z) solves the same equation as cos(kx) F(z); kR at a zero of J1 makes the wall a mirror.
  REQUIRE(std::abs(std::cyl_bessel_j(1, kFirst)) < 1e-12);
  for (const double radius : {0.4, 0.8, 1.6})
    for (const bool sticks : {false, true}) {
      const double k = kFirst / radius, depth = 0.004;
      Problem p;
      p.round = true, p.repeat_before = true;
      p.half_repeat = radius;
      p.sensitivity = 1, p.friction = sticks ? 1 : 0;
      p.top.kind = Tool::Kind::form;
      p.top.depth = depth;
      p.top.rise = [=](double r) { return depth * (1 - std::cyl_bessel_j(0, k * r)); };
      const FlowTable t = *solve(p, fineness_for(p)).table;
      const double off = missed(t, [&](double share, double line) {
        return line - depth * std::cyl_bessel_j(0, kFirst * share) * layer_wave(k, line, sticks);
      });
      INFO(fmt::format("radius {} sticks {}: {:.3f} % of the depth", radius, sticks, 100 * off / depth));
      CHECK(off < 0.01 * depth);
    }
}

TEST_CASE("round cell: between sliding platens layers stay level and the plan grows as the height shrinks", "[metal]") {
  Problem p;
  p.round = true, p.repeat_before = true;
  p.half_repeat = 0.8;
  p.sensitivity = 0.2, p.friction = 0;
  p.top.depth = 0.25;
  const FlowTable t = *solve(p, fineness_for(p)).table;
  CHECK(t.lengthening() == Approx(1 / 0.75).epsilon(1e-3));  // identity
  CHECK(missed(t, [](double, double line) { return 0.75 * line; }) < 1e-3);
}

TEST_CASE("round cell: a deep stud and a hollow closed agree with an independent finite-element program", "[metal]") {
  // FreeFEM, Taylor-Hood elements; script and results: tests/data/round_check.edp, round_freefem.csv.
  struct Sum {
    double squares = 0, weight = 0;
  };
  std::map<std::string, Sum> sums;
  std::map<std::string, Flow> flows;
  std::ifstream in(std::string(ETCHCAST_SOURCE_DIR) + "/tests/data/round_freefem.csv");
  std::string line, cell;
  std::getline(in, line);
  while (std::getline(in, line)) {
    std::stringstream cells(line);
    std::string kind, sticks, m;
    std::getline(cells, kind, ','), std::getline(cells, sticks, ','), std::getline(cells, m, ',');
    double v[3];
    for (double& x : v) std::getline(cells, cell, ','), x = std::stod(cell);
    const std::string key = kind + " " + sticks + " m = " + m;
    Flow& flow = flows[key];
    if (!flow.table) {
      Problem p = stud(1, 0.8, 0.2, sticks == "noslip", std::stod(m));
      if (kind == "hole") {
        p.half_repeat = 0.7;
        p.top = {};
        p.top.depth = 1.08921 - 0.85;
        p.top_before = [](double share) { return 1.08921 - 0.15 * (1 + std::cos(kPi * share)); };
      }
      flow = solve(p, fineness_for(p));
    }
    const double depth = kind == "hole" ? 1.08921 - 0.85 : 0.2, share = v[1];
    sums[key].squares +=
        share * std::pow((flow.table->jet(share * share * flow.table->half_after(), v[0]).x - v[2]) / depth, 2);
    sums[key].weight += share;
  }
  REQUIRE(sums.size() >= 3);
  for (const auto& [key, sum] : sums) {
    const double percent = 100 * std::sqrt(sum.squares / sum.weight);
    INFO(fmt::format("{}: {:.2f} % of the depth", key, percent));
    CHECK(percent < 1);
  }
}

TEST_CASE("round cell: finer meshes and steps move layers by little", "[metal]") {
  const Problem p = stud(1.1, 0.9, 0.2, true, 0.17);
  Fineness fine = fineness_for(p);
  const FlowTable coarse = *solve(p, fine).table;
  fine.along = fine.along * 3 / 2, fine.through = 18, fine.steps *= 2;
  const FlowTable finer = *solve(p, fine).table;
  CHECK(missed(coarse, [&](double share, double line) {
          return finer.jet(share * share * finer.half_after(), line).x;
        }) < 0.005 * 0.2);
}

TEST_CASE("round cell: the table keeps volume and the stud's shape", "[metal]") {
  const Problem p = stud(1.1, 0.9, 0.2, true, 0.17);
  const FlowTable t = *solve(p, fineness_for(p)).table;
  CHECK(t.half_before() == Approx(1.1 * 1.1 / 2).epsilon(1e-9));
  double mean = 0;
  for (int i = 0; i < 2000; ++i)
    mean += (t.jet((i + 0.5) / 2000 * t.half_after(), 1.0).x - t.jet((i + 0.5) / 2000 * t.half_after(), 0.0).x) / 2000;
  CHECK(mean * t.half_after() == Approx(t.half_before()).epsilon(1e-6));
  for (const double r : {0.0, 0.1, 0.2, 0.3})
    CHECK(t.jet(r * r / 2, 1.0).x == Approx(0.8 + 0.9 - std::sqrt(0.81 - r * r)).margin(2e-3));
}
