// Layers pressed in places, to first order: limits, the conditions asked for, and staggered ridges against the solved
// flow.
#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "catch.hpp"
#include "metal/modes.hpp"
#include "metal/sheet.hpp"
#include "metal_helpers.hpp"

using namespace metal_test;

namespace {

Grid2 strip(double repeat, int columns) {
  Grid2 g;
  g.wide = repeat, g.high = 0.1, g.columns = columns, g.rows = 1;
  return g;
}

SheetPress empty(const Grid2& grid) {
  SheetPress p;
  p.grid = grid;
  p.bottom_touches.assign(grid.size(), 0), p.top_touches.assign(grid.size(), 0);
  p.wanted.bottom.assign(grid.size(), 0), p.wanted.top.assign(grid.size(), 0);
  return p;
}

}  // namespace

TEST_CASE("sheet: faces lie where they are pressed, and nothing is asked of them elsewhere", "[metal]") {
  SheetPress p = empty(strip(2, 120));
  for (int i = 0; i < 120; ++i) {
    if (i < 10 || i > 110) p.top_touches[size_t(i)] = 1, p.wanted.top[size_t(i)] = -0.1;
    if (std::abs(i - 60) < 10) p.bottom_touches[size_t(i)] = 1, p.wanted.bottom[size_t(i)] = 0.1;
  }
  const SheetFaces f = press_sheet(p);
  for (size_t i = 0; i < 120; ++i) {
    if (p.top_touches[i]) CHECK(f.top[i] == Approx(-0.1).margin(2e-4));
    if (p.bottom_touches[i]) CHECK(f.bottom[i] == Approx(0.1).margin(2e-4));
    // Both faces alike, half a repeat apart and upside down: identity (symmetry).
    CHECK(f.top[i] == Approx(-f.bottom[(i + 60) % 120]).margin(1e-3));
  }
}

TEST_CASE("sheet: pressed all over it takes the faces asked for, and on an anvil the lower one stays", "[metal]") {
  SheetPress p = empty(strip(1, 60));
  for (size_t i = 0; i < 60; ++i)
    p.top_touches[i] = 1, p.wanted.top[i] = -0.02 - 0.01 * std::cos(2 * kPi * double(i) / 60);
  p.anvil = true;
  const SheetFaces f = press_sheet(p);
  for (size_t i = 0; i < 60; ++i) {
    CHECK(f.top[i] == Approx(p.wanted.top[i]).margin(1e-5));
    CHECK(f.bottom[i] == 0);
  }
}

TEST_CASE("sheet: held to its plan it keeps its volume, and still lies where it is pressed", "[metal]") {
  for (const bool anvil : {false, true}) {
    SheetPress p = empty(strip(2, 120));
    p.held = true, p.anvil = anvil;
    for (int i = 0; i < 120; ++i) {
      if (i < 10 || i > 110) p.top_touches[size_t(i)] = 1, p.wanted.top[size_t(i)] = -0.1;
      if (std::abs(i - 50) < 7) p.bottom_touches[size_t(i)] = 1, p.wanted.bottom[size_t(i)] = 0.05;
    }
    const SheetFaces f = press_sheet(p);
    double gone = 0;
    for (size_t i = 0; i < 120; ++i) {
      gone += (f.top[i] - f.bottom[i]) / 120;
      if (p.top_touches[i]) CHECK(f.top[i] == Approx(-0.1).margin(2e-4));
    }
    CHECK(std::abs(gone) < 1e-9);  // identity: nothing flows out of a closed cell
    CHECK(*std::max_element(f.top.begin(), f.top.end()) > 0.005);
  }
}

TEST_CASE("sheet: layers under a wave have the closed form's heights", "[metal]") {
  // Values at mid-height for k = 1, 2, pi, 6, the lower face level; identity (biharmonic equation, boundary conditions
  // checked numerically).
  const double slip[4] = {0.545863, 0.570804, 0.486346, 0.197919}, stick[4] = {0.498762, 0.483090, 0.424953, 0.193637};
  const double k[4] = {1, 2, kPi, 6};
  for (int n = 0; n < 4; ++n) {
    const Grid2 g = strip(2 * kPi / k[n], 24);
    std::vector<double> flat(24, 0.0), wave(24);
    for (size_t i = 0; i < 24; ++i) wave[i] = std::cos(2 * kPi * double(i) / 24);
    CHECK(layers_under(g, flat, wave, {0.5}, 0)[0][0] == Approx(slip[n]).margin(1e-6));
    CHECK(layers_under(g, flat, wave, {0.5}, 1)[0][0] == Approx(stick[n]).margin(1e-6));
    CHECK(layers_under(g, wave, flat, {0.5}, 1)[0][0] == Approx(stick[n]).margin(1e-6));
  }
}

TEST_CASE("sheet: what staggered ridges do to each other is most of what the solved flow has beyond one-sided ones",
          "[metal]") {
  // Two one-sided solutions laid on one another, with and without the first-order difference, against the staggered
  // one.
  for (const auto& [repeat, allowed] : {std::pair{0.5, 4.0}, {1.0, 9.0}, {2.0, 9.0}}) {
    const double depth = 0.2;
    const Problem staggered = pressing("E", repeat, depth, true, 0.17),
                  single = pressing("D", repeat, depth, true, 0.17);
    const FlowTable te = *solve(staggered, fineness_for(staggered)).table,
                    td = *solve(single, fineness_for(single)).table;
    const double half = td.half_after();
    SheetPress both = empty(strip(2 * half, 240));
    double touch = 0;
    while (td.jet(touch, 1.0).x > 1 - depth + single.top.rise(touch) - 2e-3) touch += half / 1000;
    for (size_t i = 0; i < 240; ++i) {
      const double x = both.grid.x(i), over = std::min(x, 2 * half - x), under = std::abs(x - half);
      if (over < touch) both.top_touches[i] = 1, both.wanted.top[i] = single.top.rise(over) - depth;
      if (under < touch) both.bottom_touches[i] = 1, both.wanted.bottom[i] = depth - single.top.rise(under);
    }
    SheetPress alone = both;
    alone.anvil = true;
    const SheetFaces f = press_sheet(both), one = press_sheet(alone);
    std::vector<double> low(240), high(240), sigma;
    for (size_t i = 0; i < 240; ++i) high[i] = f.top[i] - one.top[i], low[i] = f.bottom[i] + one.top[(i + 120) % 240];
    for (int l = 0; l <= 16; ++l) sigma.push_back(l / 16.0);
    const auto more = layers_under(both.grid, low, high, sigma, 0);
    double percent[2];
    for (const bool with : {false, true}) {
      double sum = 0, squares = 0, count = 0;
      for (size_t l = 0; l <= 16; ++l)
        for (size_t i = 0; i < 120; ++i) {
          const double x = both.grid.x(i), c = sigma[l];
          const double laid = td.jet(x, c).x - (td.jet(half - x, 1 - c).x - (1 - c)) + (with ? more[l][i] : 0);
          const double off = te.jet(x * te.half_after() / half, c).x - laid;
          sum += off, squares += off * off, ++count;
        }
      percent[with] = 100 * std::sqrt(squares / count - std::pow(sum / count, 2)) / depth;
    }
    INFO(fmt::format("repeat {}: {:.1f} % of the depth, without {:.1f} %", repeat, percent[1], percent[0]));
    CHECK(percent[1] < allowed);
    if (repeat != 1) CHECK(percent[1] < 0.5 * percent[0]);
  }
}
