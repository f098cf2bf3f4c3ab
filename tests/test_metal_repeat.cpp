// The metal's flow where a repeat holds several ridges, or has no mirrors, or begins uneven.
#include <fmt/format.h>

#include "catch.hpp"
#include "etchcast/error.hpp"
#include "metal_helpers.hpp"

using namespace metal_test;

namespace {

/// The same pressing solved over a whole repeat, moved along by `shift` half repeats.
Problem without_mirrors(Problem p, double shift) {
  p.mirrored = false;
  p.top.crest += shift, p.bottom.crest += shift;
  return p;
}

Fineness twice_as_long(Fineness f) {
  f.along *= 2, f.columns *= 2;
  return f;
}

/// Root mean square of z - z' at places x and x + shift half repeats, lines 0.05 … 0.95.
double moved_difference(const FlowTable& a, const FlowTable& b, double shift) {
  double sum = 0;
  int count = 0;
  for (double c = 0.05; c < 0.96; c += 0.05)
    for (int i = -60; i <= 60; ++i, ++count)
      sum += std::pow(a.jet(a.half_after() * i / 60, c).x - b.jet(b.half_after() * (i / 60.0 + shift), c).x, 2);
  return std::sqrt(sum / count);
}

}  // namespace

TEST_CASE("metal: a repeat solved without mirrors is the mirrored one", "[metal]") {
  for (const auto& [name, depth, sticks] : {std::tuple{"D", 0.2, true}, {"E", 0.15, false}, {"E", 0.2, true}}) {
    const Problem p = pressing(name, 1, depth, sticks, 0.3);
    const Fineness f = fineness_for(p);
    const auto mirrored = solve(p, f).table;
    for (const double shift : {0.0, 0.37}) {
      const auto whole = solve(without_mirrors(p, shift), twice_as_long(f)).table;
      const double change = moved_difference(*mirrored, *whole, shift);
      INFO(fmt::format("{} sticks {} shift {}: {:.3f} % of the depth", name, sticks, shift, 100 * change / depth));
      CHECK(change < 0.01 * depth);
      CHECK(whole->lengthening() == Approx(mirrored->lengthening()).epsilon(2e-3));
      // Where metal came from, too: both know it but for a common shift.
      const auto slide = [&](const FlowTable& t, double share, double c) { return t.jet(share * t.half_after(), c).slide; };
      const double common = slide(*whole, 0.2 + shift, 0.5) - slide(*mirrored, 0.2, 0.5);
      for (const double c : {0.1, 0.4, 0.9})
        for (const double share : {-0.8, -0.3, 0.1, 0.6})
          CHECK(slide(*whole, share + shift, c) - common == Approx(slide(*mirrored, share, c)).margin(0.02 * depth));
    }
  }
}

TEST_CASE("metal: two ridges a half repeat are one ridge a half as long one", "[metal]") {
  const Problem one = pressing("E", 1, 0.15, true, 0.3);
  Problem two = one;
  two.half_repeat = 1;
  two.top.pitch = two.bottom.pitch = 1;
  two.bottom.crest = 0.5;
  const auto a = solve(one, fineness_for(one)).table, b = solve(two, fineness_for(two)).table;
  double sum = 0;
  for (double c = 0.05; c < 0.96; c += 0.1)
    for (int i = 0; i <= 40; ++i) sum += std::pow(a->jet(2 * a->half_after() * i / 40, c).x - b->jet(b->half_after() * i / 40, c).x, 2);
  CHECK(std::sqrt(sum / 410) < 0.015 * 0.15);  // meshes differ
}

TEST_CASE("metal: without mirrors volume is kept and layers stay one to one", "[metal]") {
  // Top ridges a third of a repeat off the bottom ones: no mirror anywhere.
  Problem p = pressing("E", 1.4, 0.15, true, 0.17);
  p.mirrored = false;
  p.bottom.crest = 2.0 / 3;
  const auto t = solve(p, fineness_for(p)).table;
  CHECK_FALSE(t->mirrored());
  CHECK(t->thinnest() > 0.02);
  double mean = 0;
  const int n = 4000;
  for (int i = 0; i < n; ++i) {
    const double x = t->start() + t->extent() * (i + 0.5) / n;
    mean += (t->jet(x, 1.0).x - t->jet(x, 0.0).x) / n;
  }
  CHECK(mean * t->half_after() == Approx(t->half_before()).epsilon(1e-7));
  // On the dies the faces are the dies: crests at depth.
  CHECK(t->jet(0.0, 1.0).x == Approx(1 - 0.15).margin(1e-3));
  CHECK(t->jet(2.0 / 3 * t->half_after(), 0.0).x == Approx(0.15).margin(1e-3));
  // A repeat further on everything is the same.
  CHECK(t->jet(0.31, 0.4).x == Approx(t->jet(0.31 + 2 * t->half_after(), 0.4).x).epsilon(1e-12));
}
