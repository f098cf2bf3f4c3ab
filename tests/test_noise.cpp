// tests/test_noise.cpp — stateless noise, and rows cut where it is coarse.
#include <cmath>

#include "base/noise.hpp"
#include "catch.hpp"
#include "finish/runs.hpp"

using namespace etchcast;

TEST_CASE("noise: over a part of a row a value passes one whole number at most", "[base]") {
  for (const float per_px : {0.013f, -0.0107f, 0.06f, -0.06f, 0.0001f, 0.033f})
    for (const float first : {-3.3f, 0.0f, 812.6f}) {
      const auto value = [=](int c) { return first + per_px * float(c); };
      int next = 32, other = 0, parts = 0;
      for_parts({32, 500}, Pace(per_px), value, [&](Stretch part, std::int32_t whole) {
        CHECK(part.from == next);
        for (int c = part.from; c < part.to; ++c)
          other += std::floor(value(c)) != float(whole) && std::floor(value(c)) != float(whole + 1);
        next = part.to, ++parts;
      });
      CHECK(next == 500);
      CHECK(other == 0);
      CHECK(parts <= 468 / kBlock + 1);
      if (std::abs(per_px) < 0.001f) CHECK(parts == 1);
    }
}

TEST_CASE("noise: a value belongs to its place and seed", "[base]") {
  CHECK(hash_bits(1, 2, 3) == hash_bits(1, 2, 3));
  CHECK(hash_bits(1, 2, 3) != hash_bits(2, 2, 3));
  CHECK(hash_bits(1, 2, 3) != hash_bits(1, 3, 2));
  CHECK(floor_whole(-0.5f) == -1);
  CHECK(floor_whole(-2.0f) == -2);
  CHECK(floor_whole(1.75f) == 1);
  for (const float value : {-0.5f, -2.0f, 1.75f, 0.0f, -1e-7f, 8388607.5f, -8388607.5f})
    CHECK(floor_of(value) == std::floor(value));
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
