// tests/test_noise.cpp — stateless noise, at a place and along a row.
#include <cmath>

#include "base/noise.hpp"
#include "catch.hpp"
#include "finish/runs.hpp"

using namespace etchcast;

TEST_CASE("noise: along a row it is the same to the bit, hashed by the pixel or by the run", "[base]") {
  Row row;
  fit(row, 500);
  for (const float u_per_px : {0.013f, -0.4f, 1.7f, 0.0f}) {
    const auto u = [=](int c) { return u_per_px * float(c) - 3.3f; };
    const auto v = [](int c) { return 0.02f * float(c) + 7.9f; };
    fill_noise(9, {5, 500}, u_per_px, u, 0.02f, v, row.data());
    int different = 0;
    for (int c = 5; c < 500; ++c) different += row[size_t(c)] != smooth_noise(9, u(c), v(c));
    CHECK(different == 0);
  }
}

TEST_CASE("noise: a value belongs to its place and seed", "[base]") {
  CHECK(hash_bits(1, 2, 3) == hash_bits(1, 2, 3));
  CHECK(hash_bits(1, 2, 3) != hash_bits(2, 2, 3));
  CHECK(hash_bits(1, 2, 3) != hash_bits(1, 3, 2));
  CHECK(floor_whole(-0.5f) == -1);
  CHECK(floor_whole(-2.0f) == -2);
  CHECK(floor_whole(1.75f) == 1);
  double sum = 0, squares = 0;
  constexpr int kCount = 100000;
  for (int i = 0; i < kCount; ++i) {
    const double value = hash_signed(7, i % 317 - 150, i / 317);
    sum += value;
    squares += value * value;
  }
  CHECK(sum / kCount == Approx(0.0).margin(0.01));
  CHECK(squares / kCount == Approx(1.0 / 3).margin(0.005));
  for (const float u : {-3.0f, 0.0f, 8.0f}) {
    CHECK(smooth_noise(5, u - 1e-4f, 2.3f) == Approx(smooth_noise(5, u + 1e-4f, 2.3f)).margin(1e-3));
  }
}
