// Maps of layers that moved every way at once: what must hold whatever the tables, and how near they come to what was
// asked.
#include <cmath>
#include <memory>
#include <random>

#include <fmt/format.h>

#include "base/fourier.hpp"
#include "catch.hpp"
#include "tape/layer_fit.hpp"
#include "tape/layer_map.hpp"
#include "tape/plan_map.hpp"

using namespace etchcast;

namespace {

constexpr double kPi = 3.14159265358979323846;

/// Round dents in the upper face, half a spacing off in the lower one, dying out with depth.
LayerTarget dents() {
  Grid2 g;
  g.x0 = -3, g.wide = 10, g.y0 = 2, g.high = 12, g.columns = 60, g.rows = 72;
  LayerTarget t(g);
  for (int l = 0; l < LayerTarget::kLevels; ++l)
    for (size_t i = 0; i < g.size(); ++i) {
      const double a = 2 * kPi * g.x(i) / 10, b = 2 * kPi * g.y(i) / 12, c = LayerTarget::level(l);
      t.rise[size_t(l)][i] = -0.12 * std::exp(std::cos(a) + std::cos(b) - 2) * c * c +
                             0.08 * std::exp(-std::cos(a) - std::cos(b) - 2) * (1 - c);
    }
  return t;
}

const LayerFit& fitted() {
  static const LayerFit fit = fit_layers(dents());
  return fit;
}

const LayerLevel kLevel{8, 0.05, 0.9};

template <class Real>
Batch<Real> inside(unsigned seed) {
  std::mt19937 random(seed);
  std::uniform_real_distribution<double> share(0, 1);
  Batch<Real> b{};
  for (int i = 0; i < kLanes; ++i) {
    b.x[i] = Real(150 * share(random) - 20), b.y[i] = Real(50 * share(random) - 25),
    b.z[i] = Real(5 * share(random) - 2.5);
    b.xp[i] = 1, b.yq[i] = 1;
  }
  return b;
}

double worst_volume(const MapPtr& map) {
  auto xy = inside<double>(3), zz = xy;
  for (int i = 0; i < kLanes; ++i) zz.xp[i] = 0, zz.zp[i] = 1;
  map->before_from_after(xy);
  map->before_from_after(zz);
  double worst = 0;
  for (int i = 0; i < kLanes; ++i) {
    const double a[3] = {xy.xp[i], xy.yp[i], xy.zp[i]}, b[3] = {xy.xq[i], xy.yq[i], xy.zq[i]},
                 c[3] = {zz.xp[i], zz.yp[i], zz.zp[i]};
    const double det =
        a[0] * (b[1] * c[2] - b[2] * c[1]) - b[0] * (a[1] * c[2] - a[2] * c[1]) + c[0] * (a[1] * b[2] - a[2] * b[1]);
    worst = std::max(worst, std::abs(det - 1));
  }
  return worst;
}

double worst_return(const MapPtr& map) {
  const auto start = inside<double>(4);
  auto b = start;
  map->before_from_after(b);
  map->after_from_before(b);
  double worst = 0;
  for (int i = 0; i < kLanes; ++i)
    worst = std::max({worst, std::abs(b.x[i] - start.x[i]), std::abs(b.y[i] - start.y[i]),
                      std::abs(b.z[i] - start.z[i]), std::abs(b.xp[i] - 1), std::abs(b.yp[i]), std::abs(b.zp[i]),
                      std::abs(b.yq[i] - 1), std::abs(b.zq[i])});
  return worst;
}

double worst_slope(const MapPtr& map) {
  const double step = 1e-6;
  auto at = inside<double>(5), moved = at;
  for (int i = 0; i < kLanes; ++i) moved.y[i] += step;
  map->before_from_after(at);
  map->before_from_after(moved);
  double worst = 0;
  for (int i = 0; i < kLanes; ++i)
    worst = std::max({worst, std::abs((moved.z[i] - at.z[i]) / step - at.zq[i]),
                      std::abs((moved.x[i] - at.x[i]) / step - at.xq[i]),
                      std::abs((moved.y[i] - at.y[i]) / step - at.yq[i])});
  return worst;
}

MapPtr holes() {
  Grid2 g;
  g.wide = 12, g.high = 9, g.columns = 72, g.rows = 54;
  std::vector<double> tall, mid;
  for (size_t i = 0; i < g.size(); ++i) {
    const double depth = 1.5 * std::exp(2 * (std::cos(2 * kPi * g.x(i) / 12) + std::cos(2 * kPi * g.y(i) / 9) - 2));
    tall.push_back(8 - depth), mid.push_back(-depth / 2);
  }
  return plan_map(g, tall, mid);
}

}  // namespace

TEST_CASE("fourier: back and forth is the identity, and a wave has one entry", "[maps]") {
  const Fourier f(30, 16);
  std::vector<Fourier::Complex> v(f.size()), w;
  for (size_t i = 0; i < v.size(); ++i) v[i] = {std::sin(0.37 * double(i * i)), std::cos(0.21 * double(i))};
  w = v;
  f.forward(w);
  f.backward(w);
  for (size_t i = 0; i < v.size(); ++i) CHECK(std::abs(w[i] - v[i]) < 1e-12);
  for (int j = 0; j < 16; ++j)
    for (int i = 0; i < 30; ++i) v[size_t(j) * 30 + i] = std::polar(1.0, 2 * kPi * (3 * i / 30.0 - 2 * j / 16.0));
  f.forward(v);
  for (int j = 0; j < 16; ++j)
    for (int i = 0; i < 30; ++i)
      CHECK(std::abs(v[size_t(j) * 30 + i] - (f.waves_x(i) == 3 && f.waves_y(j) == -2 ? 1.0 : 0.0)) < 1e-12);
  CHECK(smooth_size(31) == 32);
  CHECK(smooth_size(121) == 125);
}

TEST_CASE("layer map: volume is kept exactly, the way back undoes the way there, slopes are those of the points",
          "[maps][property]") {
  const MapPtr map = layer_map(fitted().table, kLevel);
  CHECK(worst_volume(map) < 1e-12);
  CHECK(worst_return(map) < 1e-9);
  CHECK(worst_slope(map) < 1e-4);
}

TEST_CASE("layer map: volume is kept whatever the table", "[maps][property]") {
  // Coefficients thrown like dice, small enough that layers stay in order.
  std::mt19937 random(8);
  std::uniform_real_distribution<double> dice(-1, 1);
  Grid2 g;
  g.wide = 12, g.high = 8, g.columns = 12, g.rows = 8;
  for (const int ways : {1, 2, 3, 4, 5, 6}) {
    std::vector<double> depth;
    for (int n = 0; n < ways * (LayerTable::kDegree + 1); ++n) depth.push_back(0.1 * dice(random));
    std::vector<std::vector<double>> rise(size_t(ways), std::vector<double>(g.size()));
    for (auto& field : rise)
      for (double& v : field) v = 0.1 * dice(random);
    auto table = std::make_shared<LayerTable>(g, ways, depth);
    table->add(rise);
    const MapPtr map = layer_map(table, kLevel);
    CHECK(worst_volume(map) < 1e-12);
    CHECK(worst_return(map) < 1e-9);
  }
}

TEST_CASE("layer map: layers come to lie where they were asked to", "[maps]") {
  const LayerTarget target = dents();
  CHECK(fitted().rms < 0.005);
  CHECK(fitted().worst < 0.03);
  // And so between the nodes of the grid.
  const MapPtr map = layer_map(fitted().table, {1, 0.5, 1});
  double mean[LayerTarget::kLevels];
  for (int l = 0; l < LayerTarget::kLevels; ++l) {
    mean[l] = 0;
    for (const double v : target.rise[size_t(l)]) mean[l] += v / double(target.grid.size());
  }
  for (int l = 0; l < LayerTarget::kLevels; ++l) {
    auto b = inside<double>(6);
    const double c = LayerTarget::level(l);
    for (int i = 0; i < kLanes; ++i) {
      const double a = 2 * kPi * b.x[i] / 10, e = 2 * kPi * b.y[i] / 12;
      b.z[i] = c - mean[l] - 0.12 * std::exp(std::cos(a) + std::cos(e) - 2) * c * c +
               0.08 * std::exp(-std::cos(a) - std::cos(e) - 2) * (1 - c);
    }
    map->before_from_after(b);
    for (int i = 0; i < kLanes; ++i) CHECK(b.z[i] + 0.5 == Approx(c).margin(0.006));
  }
}

TEST_CASE("layer map: single precision follows double, and points off the bar stay finite", "[maps]") {
  const MapPtr map = layer_map(fitted().table, kLevel);
  auto exact = inside<double>(7);
  auto quick = inside<float>(7);
  map->before_from_after(exact);
  map->before_from_after(quick);
  for (int i = 0; i < kLanes; ++i) {
    CHECK(std::abs(quick.z[i] - exact.z[i]) < 3e-4);
    CHECK(std::abs(quick.x[i] - exact.x[i]) < 3e-4);
    CHECK(std::abs(quick.zq[i] - exact.zq[i]) < 2e-3);
  }
  for (const float z : {-40.0f, 40.0f}) {
    auto b = inside<float>(7);
    for (float& v : b.z) v = z;
    map->before_from_after(b);
    for (int i = 0; i < kLanes; ++i) CHECK(std::isfinite(b.x[i] + b.y[i] + b.z[i] + b.zp[i] + b.zq[i]));
  }
}

TEST_CASE("layer map: a place that is not a number is no index, and leaves its neighbours alone", "[maps]") {
  const MapPtr map = layer_map(fitted().table, kLevel);
  auto usual = inside<float>(7), odd = usual;
  odd.x[5] = INFINITY, odd.y[64] = NAN, odd.z[127] = NAN;  // reading beyond the table is for a sanitizer to see
  map->before_from_after(usual);
  map->before_from_after(odd);
  for (int i = 0; i < kLanes; ++i) CHECK((i == 5 || i == 64 || i == 127 || odd.x[i] + odd.z[i] == usual.x[i] + usual.z[i]));
}

TEST_CASE("plan map: volume is kept exactly and the uneven bar has its heights", "[maps][property]") {
  const MapPtr map = holes();
  CHECK(worst_volume(map) < 1e-12);
  CHECK(worst_return(map) < 1e-9);
  CHECK(worst_slope(map) < 1e-4);
  // Both faces of the even bar land on those of the uneven one.
  double mean = 0;
  for (int i = 0; i < 100; ++i)
    for (int j = 0; j < 100; ++j)
      mean += (8 - 1.5 * std::exp(2 * (std::cos(2 * kPi * i / 100) + std::cos(2 * kPi * j / 100) - 2))) * 1e-4;
  for (const int side : {-1, 1}) {
    auto b = inside<double>(9);
    for (double& z : b.z) z = side * mean / 2;
    map->before_from_after(b);
    for (int i = 0; i < kLanes; ++i) {
      const double depth = 1.5 * std::exp(2 * (std::cos(2 * kPi * b.x[i] / 12) + std::cos(2 * kPi * b.y[i] / 9) - 2));
      CHECK(b.z[i] == Approx(side > 0 ? 4 - depth : -4).margin(0.01));
    }
  }
}
