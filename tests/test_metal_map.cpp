// The metal's flow as a map of the bar, and its cache.
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <memory>
#include <random>

#include "catch.hpp"
#include "metal/cache.hpp"
#include "metal_helpers.hpp"
#include "tape/faded_flow.hpp"
#include "tape/flow_map.hpp"

using namespace metal_test;

namespace {

std::shared_ptr<const FlowTable> ladder() {
  static const Flow flow = [] {
    Problem p = pressing("E", 1.2, 0.18, true, 0.17);
    p.repeat_before = false;
    return solve(p, fineness_for(p));
  }();
  return flow.table;
}

/// Points inside the pressed bar of 10 mm, with unit derivatives in two directions.
template <class Real>
Batch<Real> inside(const FlowTable& t, double angle, double crest, int p, int q, unsigned seed) {
  std::mt19937 random(seed);
  std::uniform_real_distribution<double> share(0.002, 0.998);
  Batch<Real> b{};
  for (int i = 0; i < kLanes; ++i) {
    const double x = 150 * share(random), y = 40 * share(random) - 20;
    const double u = (x * std::cos(angle) + y * std::sin(angle) - crest) / 10;
    const double bottom = t.jet(u, 0.0).x, top = t.jet(u, 1.0).x;
    b.x[i] = Real(x), b.y[i] = Real(y), b.z[i] = Real(10 * (bottom + (top - bottom) * share(random) - 0.5));
    (p == 0 ? b.xp : p == 1 ? b.yp : b.zp)[i] = 1;
    (q == 0 ? b.xq : q == 1 ? b.yq : b.zq)[i] = 1;
  }
  return b;
}

double dot(const double* a, const double* b) { return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]; }

}  // namespace

TEST_CASE("flow map: the way back undoes the way there", "[metal][property]") {
  for (const double angle : {0.0, 0.35, -1.2}) {
    const FlowMotion motion(angle, 10, 2.5, ladder());
    const MapPtr map = make_map(motion);
    const auto start = inside<double>(*ladder(), angle, 2.5, 0, 2, 4);
    auto b = start;
    map->before_from_after(b);
    map->after_from_before(b);
    for (int i = 0; i < kLanes; ++i) {
      CHECK(std::abs(b.x[i] - start.x[i]) + std::abs(b.y[i] - start.y[i]) + std::abs(b.z[i] - start.z[i]) < 1e-9);
      CHECK(std::abs(b.xp[i] - 1) + std::abs(b.yp[i]) + std::abs(b.zp[i]) < 1e-8);
      CHECK(std::abs(b.xq[i]) + std::abs(b.yq[i]) + std::abs(b.zq[i] - 1) < 1e-8);
    }
  }
}

TEST_CASE("flow map: volume is kept exactly, at any angle", "[metal][property]") {
  for (const double angle : {0.0, 0.35, -1.2}) {
    const MapPtr map = make_map(FlowMotion(angle, 10, 2.5, ladder()));
    auto xy = inside<double>(*ladder(), angle, 2.5, 0, 1, 5), zz = inside<double>(*ladder(), angle, 2.5, 2, 2, 5);
    const auto at = xy;
    map->before_from_after(xy);
    map->before_from_after(zz);
    for (int i = 0; i < kLanes; ++i) {
      const double a[3] = {xy.xp[i], xy.yp[i], xy.zp[i]}, b[3] = {xy.xq[i], xy.yq[i], xy.zq[i]};
      const double c[3] = {zz.xp[i], zz.yp[i], zz.zp[i]};
      const double cross[3] = {b[1] * c[2] - b[2] * c[1], b[2] * c[0] - b[0] * c[2], b[0] * c[1] - b[1] * c[0]};
      CHECK(dot(a, cross) == Approx(1).epsilon(1e-10));
      CHECK(std::abs(xy.z[i]) <= 5 + 1e-9);
    }
    // The derivatives are those of the points.
    auto moved = at;
    const double step = 1e-5;
    for (int i = 0; i < kLanes; ++i) moved.x[i] += step;
    map->before_from_after(moved);
    for (int i = 0; i < kLanes; ++i) CHECK((moved.z[i] - xy.z[i]) / step == Approx(xy.zp[i]).margin(2e-3));
  }
}

TEST_CASE("flow map: where earlier ridges must keep their angle, volume is kept too", "[metal][property]") {
  const FlowMotion motion(0.35, 10, 2.5, ladder(), FlowMotion::Draw::along_ridges_none);
  const MapPtr map = make_map(motion);
  auto xy = inside<double>(*ladder(), 0.35, 2.5, 0, 1, 5), zz = inside<double>(*ladder(), 0.35, 2.5, 2, 2, 5);
  const auto start = xy;
  map->before_from_after(xy);
  map->before_from_after(zz);
  for (int i = 0; i < kLanes; ++i) {
    const double a[3] = {xy.xp[i], xy.yp[i], xy.zp[i]}, b[3] = {xy.xq[i], xy.yq[i], xy.zq[i]};
    const double c[3] = {zz.xp[i], zz.yp[i], zz.zp[i]};
    const double cross[3] = {b[1] * c[2] - b[2] * c[1], b[2] * c[0] - b[0] * c[2], b[0] * c[1] - b[1] * c[0]};
    CHECK(dot(a, cross) == Approx(1).epsilon(1e-10));
  }
  map->after_from_before(xy);
  for (int i = 0; i < kLanes; ++i)
    CHECK(std::abs(xy.x[i] - start.x[i]) + std::abs(xy.y[i] - start.y[i]) + std::abs(xy.z[i] - start.z[i]) < 1e-9);
  // Metal on a line along the ridges comes from a line along the ridges.
  auto line = start;
  for (int i = 0; i < kLanes; ++i) {
    const double along = 0.07 * i;
    line.x[i] = 60 - along * std::sin(0.35), line.y[i] = along * std::cos(0.35), line.z[i] = 0.4;
  }
  map->before_from_after(line);
  for (int i = 1; i < kLanes; ++i)
    CHECK(line.x[i] * std::cos(0.35) + line.y[i] * std::sin(0.35) == Approx(line.x[0] * std::cos(0.35) + line.y[0] * std::sin(0.35)).epsilon(1e-9));
}

TEST_CASE("flow of a part: volume is kept, points find back, and a thickness beyond the dies nothing has moved", "[metal][property]") {
  for (const double angle : {0.0, 0.35, -0.9}) {
    const double half = ladder()->half_after(), crest = 2.5, left = 3 * half, right = 8 * half;
    const MapPtr map = make_map(FadedFlowMotion(angle, 10, crest, FadedTable(ladder(), left, right)));
    const FadedTable faded(ladder(), left, right);
    std::mt19937 random(8);
    std::uniform_real_distribution<double> share(0.002, 0.998);
    Batch<double> xy{}, zz{};
    for (int i = 0; i < kLanes; ++i) {
      const double x = 150 * share(random), y = 40 * share(random) - 20;
      const double u = (x * std::cos(angle) + y * std::sin(angle) - crest) / 10;
      const double bottom = faded.jet(u, 0.0).x, top = faded.jet(u, 1.0).x;
      xy.x[i] = x, xy.y[i] = y, xy.z[i] = 10 * (bottom + (top - bottom) * share(random) - 0.5);
      xy.xp[i] = xy.yq[i] = 1;
    }
    zz = xy;
    for (int i = 0; i < kLanes; ++i) zz.xp[i] = zz.yq[i] = 0, zz.zp[i] = 1;
    const auto start = xy;
    map->before_from_after(xy);
    map->before_from_after(zz);
    double beyond_shift = 0;
    bool found = false;
    for (int i = 0; i < kLanes; ++i) {
      const double a[3] = {xy.xp[i], xy.yp[i], xy.zp[i]}, b[3] = {xy.xq[i], xy.yq[i], xy.zq[i]};
      const double c[3] = {zz.xp[i], zz.yp[i], zz.zp[i]};
      const double cross[3] = {b[1] * c[2] - b[2] * c[1], b[2] * c[0] - b[0] * c[2], b[0] * c[1] - b[1] * c[0]};
      CHECK(dot(a, cross) == Approx(1).epsilon(1e-9));
      CHECK(std::abs(xy.z[i]) <= 5 + 1e-9);
      const double u = (start.x[i] * std::cos(angle) + start.y[i] * std::sin(angle) - crest) / 10;
      if (u < left - 1 || u > right + 1) {
        CHECK(xy.z[i] == Approx(start.z[i]).margin(1e-9));
        CHECK(xy.y[i] == Approx(start.y[i]).margin(1e-9));
      }
      if (u < left - 1) CHECK(xy.x[i] == Approx(start.x[i]).margin(1e-9));
      if (u > right + 1) {  // carried along as it is
        if (!found) beyond_shift = start.x[i] - xy.x[i], found = true;
        CHECK(start.x[i] - xy.x[i] == Approx(beyond_shift).margin(1e-9));
      }
    }
    CHECK(beyond_shift > 0);
    map->after_from_before(xy);
    for (int i = 0; i < kLanes; ++i)
      CHECK(std::abs(xy.x[i] - start.x[i]) + std::abs(xy.y[i] - start.y[i]) + std::abs(xy.z[i] - start.z[i]) < 1e-8);
    // Layers stay one to one, and where the dies are the flow is the table's.
    for (double u = left - 1.5; u < right + 1.5; u += 0.02)
      for (double c = 0; c <= 1; c += 0.1) CHECK(faded.jet(u, c).xc > 0.05);
    CHECK(faded.jet(5.2 * half, 0.7).x == ladder()->jet(5.2 * half, 0.7).x);
  }
}

TEST_CASE("flow map: single precision follows double to a few parts in a million", "[metal]") {
  const MapPtr map = make_map(FlowMotion(0.35, 10, 2.5, ladder()));
  auto exact = inside<double>(*ladder(), 0.35, 2.5, 0, 2, 6);
  auto quick = inside<float>(*ladder(), 0.35, 2.5, 0, 2, 6);
  map->before_from_after(exact);
  map->before_from_after(quick);
  for (int i = 0; i < kLanes; ++i) {
    CHECK(std::abs(quick.z[i] - exact.z[i]) < 2e-4);
    CHECK(std::abs(quick.x[i] - exact.x[i]) < 2e-4);
    CHECK(std::abs(quick.zq[i] - exact.zq[i]) < 0.02);
  }
}

TEST_CASE("flow map: points off the bar stay finite", "[metal]") {
  const MapPtr map = make_map(FlowMotion(0.35, 10, 2.5, ladder()));
  for (const float z : {-50.0f, -6.0f, 6.0f, 50.0f}) {
    auto b = inside<float>(*ladder(), 0.35, 2.5, 0, 2, 7);
    for (float& v : b.z) v = z;
    map->before_from_after(b);
    for (int i = 0; i < kLanes; ++i) {
      CHECK(std::isfinite(b.x[i] + b.z[i] + b.zq[i]));
      CHECK(std::abs(b.z[i]) > 5);
    }
  }
}

TEST_CASE("flow table: mirrors and volume are exact", "[metal]") {
  const FlowTable& t = *ladder();
  double mean = 0;
  const int n = 4000;
  for (int i = 0; i < n; ++i)
    mean += (t.jet((i + 0.5) / n * t.half_after(), 1.0).x - t.jet((i + 0.5) / n * t.half_after(), 0.0).x) / n;
  CHECK(mean * t.half_after() == Approx(t.half_before()).epsilon(1e-7));
  for (const double c : {0.0, 0.3, 0.77, 1.0}) {
    CHECK(std::abs(t.jet(0.0, c).slide) < 1e-12);
    CHECK(std::abs(t.jet(t.half_after(), c).slide) < 1e-12);
    CHECK(t.jet(0.21, c).x == Approx(t.jet(-0.21, c).x).epsilon(1e-12));
    CHECK(t.jet(0.21, c).slide == Approx(-t.jet(2 * t.half_after() - 0.21, c).slide).epsilon(1e-9));
  }
  // On the die the face is the die: crest at depth.
  CHECK(t.jet(0.0, 1.0).x == Approx(1 - 0.18).margin(1e-3));
  CHECK(t.jet(t.half_after(), 0.0).x == Approx(0.18).margin(1e-3));
}

TEST_CASE("flow cache: what was solved once is found again, and damage is no harm", "[metal]") {
  namespace fs = std::filesystem;
  const fs::path home = fs::temp_directory_path() / "etchcast-test-cache";
  fs::remove_all(home);
  const char* old = std::getenv("XDG_CACHE_HOME");
  const std::string kept = old ? old : "";
  setenv("XDG_CACHE_HOME", home.c_str(), 1);
  const Problem p = pressing("A", 1, 0.1, true, 1);
  const Fineness f = fineness_for(p);
  const Flow first = flow_of(p);
  const Cache cache(p, f);
  REQUIRE(fs::exists(cache.file()));
  const auto again = cache.read();
  REQUIRE(again);
  CHECK(again->table->heights() == first.table->heights());
  CHECK(again->table->half_before() == first.table->half_before());
  CHECK(again->touch_top == first.touch_top);
  // Another problem has another file.
  Problem other = p;
  other.sensitivity = 0.5;
  CHECK(Cache(other, f).file() != cache.file());
  CHECK(!Cache(other, f).read());
  // Damaged, cut short, foreign.
  const auto size = fs::file_size(cache.file());
  std::fstream(cache.file(), std::ios::in | std::ios::out | std::ios::binary).seekp(std::streamoff(size / 2)) << "rust";
  CHECK(!cache.read());
  CHECK(flow_of(p).table->heights() == first.table->heights());
  CHECK(cache.read());
  fs::resize_file(cache.file(), size - 9);
  CHECK(!cache.read());
  std::ofstream(cache.file()) << "something else";
  CHECK(!cache.read());
  // A folder that cannot be: a file stands in its place.
  fs::remove_all(home);
  std::ofstream(home) << "in the way";
  CHECK(flow_of(p).table->heights() == first.table->heights());
  fs::remove_all(home);
  old ? setenv("XDG_CACHE_HOME", kept.c_str(), 1) : unsetenv("XDG_CACHE_HOME");
}
