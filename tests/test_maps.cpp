// The maps that several steps share: squaring, wander, faces, piles.
#include <cmath>
#include <random>

#include "base/spline.hpp"
#include "catch.hpp"
#include "tape/ridge_map.hpp"
#include "tape/squaring.hpp"
#include "tape/wander.hpp"

using namespace etchcast;

namespace {
using D = Dual<double>;
double determinant(const D& y, const D& z) { return y.dp * z.dq - y.dq * z.dp; }
}  // namespace

TEST_CASE("maps: sine, cosine and the angle of a unit vector are the library's", "[maps]") {
  // Against the C library, whose own error is below one unit in the last place.
  for (int i = -200000; i <= 200000; ++i) {
    const double x = i * 0.0173205080756887 * (i % 7 == 0 ? 40 : 1);
    double s, c;
    sine_cosine(x, s, c);
    REQUIRE(std::abs(s - std::sin(x)) < 5e-16);
    REQUIRE(std::abs(c - std::cos(x)) < 5e-16);
    float sf, cf;
    const float xf = float(std::fmod(x, 1000.0));
    sine_cosine(xf, sf, cf);
    REQUIRE(std::abs(sf - std::sin(double(xf))) < 3e-7);
    REQUIRE(std::abs(cf - std::cos(double(xf))) < 3e-7);
  }
  for (int i = 0; i <= 100000; ++i) {
    const double angle = i * 1e-5 * squaring::kPi / 4, c = std::cos(angle), s = std::sin(angle);
    REQUIRE(std::abs(squaring::angle_of(c, s) - angle) < 4e-16);
    REQUIRE(std::abs(squaring::angle_of(float(c), float(s)) - std::atan2(double(float(s)), double(float(c)))) < 2e-7);
  }
}

TEST_CASE("squaring: area is kept everywhere and the way back is exact", "[maps][property]") {
  std::mt19937 random(7);
  std::uniform_real_distribution<double> side(-1, 1);
  for (int i = 0; i < 20000; ++i) {
    const double a = side(random), b = side(random);
    D y{a, 1, 0}, z{b, 0, 1};
    disc_from_square(y, z);
    CHECK(std::hypot(y.v, z.v) <= 2 / std::sqrt(squaring::kPi) + 1e-12);
    CHECK(std::abs(determinant(y, z) - 1) < 1e-10);
    square_from_disc(y, z);
    CHECK(std::hypot(y.v - a, z.v - b) < 1e-12);
    CHECK(std::abs(y.dp - 1) + std::abs(y.dq) + std::abs(z.dp) + std::abs(z.dq - 1) < 1e-7);
  }
}

TEST_CASE("squaring: the square's edge goes to the circle of the same area", "[maps]") {
  // Equal-area radius s / sqrt(pi): identity; a 25 mm square makes a round of 14.1047 mm radius.
  for (double t = -1; t <= 1; t += 0.05) {
    D y{1.0}, z{t};
    disc_from_square(y, z);
    CHECK(std::hypot(y.v, z.v) * 12.5 == Approx(14.1047).epsilon(1e-5));
  }
}

TEST_CASE("squaring: the derivative is continuous across the diagonals", "[maps]") {
  const double step = 1e-7;
  for (double r = 0.05; r < 0.97; r += 0.05) {
    D y1{r + step, 1, 0}, z1{r - step, 0, 1}, y2{r - step, 1, 0}, z2{r + step, 0, 1};
    disc_from_square(y1, z1);
    disc_from_square(y2, z2);
    for (const auto& [a, b] : {std::pair{y1.dp, y2.dp}, {y1.dq, y2.dq}, {z1.dp, z2.dp}, {z1.dq, z2.dq}}) CHECK(std::abs(a - b) < 2e-5);
  }
}

TEST_CASE("squaring: curvature does not jump inside the section", "[maps]") {
  // No metal kinks: along lines through the section the second derivative changes little from one place to the next.
  const double h = 1e-4, apart = 5e-4;
  for (const double z : {0.03, 0.2, 0.45, 0.7, 0.8}) {
    double last[2] = {NAN, NAN};
    for (double y = -0.9; y < 0.9; y += apart) {
      D ys[3] = {{y - h}, {y}, {y + h}}, zs[3] = {{z}, {z}, {z}};
      for (int i = 0; i < 3; ++i) disc_from_square(ys[i], zs[i]);
      const double second[2] = {(ys[0].v - 2 * ys[1].v + ys[2].v) / (h * h), (zs[0].v - 2 * zs[1].v + zs[2].v) / (h * h)};
      for (int i = 0; i < 2; ++i) {
        if (!std::isnan(last[i])) REQUIRE(std::abs(second[i] - last[i]) < 0.05);
        last[i] = second[i];
      }
    }
  }
}

TEST_CASE("squaring: near the axis it is the identity", "[maps]") {
  D y{0.02, 1, 0}, z{0.013, 0, 1};
  disc_from_square(y, z);
  CHECK(std::hypot(y.v - 0.02, z.v - 0.013) < 2e-5);
}

TEST_CASE("squaring: single precision follows double to a millionth", "[maps]") {
  std::mt19937 random(8);
  std::uniform_real_distribution<double> side(-1, 1);
  for (int i = 0; i < 5000; ++i) {
    const double a = side(random), b = side(random);
    D y{a}, z{b};
    Dual<float> fy{float(a)}, fz{float(b)};
    disc_from_square(y, z);
    disc_from_square(fy, fz);
    CHECK(std::hypot(y.v - fy.v, z.v - fz.v) < 2e-6);
    square_from_disc(fy, fz);
    CHECK(std::hypot(a - fy.v, b - fz.v) < 3e-6);
  }
}

TEST_CASE("sine and cosine in single precision are right to 3e-7 up to a thousand radians", "[maps]") {
  for (float x = -1000; x < 1000; x += 0.37f) {
    float s, c;
    sine_cosine(x, s, c);
    CHECK(std::abs(s - std::sin(double(x))) < 3e-7);
    CHECK(std::abs(c - std::cos(double(x))) < 3e-7);
  }
}

TEST_CASE("sine and cosine of turns are right to rounding, whole turns or none", "[maps]") {
  for (double turns = -40; turns < 40; turns += 0.00731) {
    const double angle = 2 * squaring::kPi * turns;
    double s, c;
    sine_cosine_of_turns(turns, s, c);
    CHECK(std::abs(s - std::sin(angle)) < 5e-14);  // the angle's own rounding
    CHECK(std::abs(c - std::cos(angle)) < 5e-14);
    float sf, cf;
    sine_cosine_of_turns(float(turns), sf, cf);
    CHECK(std::abs(sf - std::sin(2 * squaring::kPi * double(float(turns)))) < 3e-7);
    CHECK(std::abs(cf - std::cos(2 * squaring::kPi * double(float(turns)))) < 3e-7);
  }
}

TEST_CASE("splines: value and slope of a sine are met to the order of the scheme", "[maps]") {
  // 64 nodes a period: 2 pi / 64 to the fourth over 384 is about 2.4e-7 (cubic interpolation, handbook bound).
  const int n = 257;
  const double step = 2 * squaring::kPi / 64;
  std::vector<double> values(n);
  for (int i = 0; i < n; ++i) values[i] = std::sin(i * step);
  const Spline1 spline(0, step, values);
  for (double x = 1; x < 20; x += 0.0317) {
    const auto j = spline.jet(x);
    CHECK(j.f == Approx(std::sin(x)).margin(1e-6));
    CHECK(j.d == Approx(std::cos(x)).margin(5e-5));
  }
}

TEST_CASE("ridges: the way there undoes the way back, however steep the faces", "[maps][property]") {
  for (const double deep : {0.1, 0.5, 0.74, 0.79}) {  // heights down to a fifth of the mean
    const double step = 0.02;
    std::vector<double> shift(8000), mid(shift.size());
    for (size_t i = 0; i < shift.size(); ++i) shift[i] = deep / 2 * std::sin(2 * step * double(i)), mid[i] = 0.3 * std::cos(step * double(i));
    const auto tables = std::make_shared<RidgeTables>(Spline1(0, step, shift), Spline1(0, step, mid));
    const auto map = make_map(RidgeMotion(0.3, 1.1, tables));
    Batch<double> exact{};
    Batch<float> quick{};
    for (int i = 0; i < kLanes; ++i) {
      exact.x[i] = 6 + 1.1 * i, exact.y[i] = 0.1 * i - 6, exact.z[i] = 0.03 * i - 2;
      exact.xp[i] = exact.yq[i] = 1;
      quick.x[i] = float(exact.x[i]), quick.y[i] = float(exact.y[i]), quick.z[i] = float(exact.z[i]);
    }
    map->before_from_after(exact), map->after_from_before(exact);
    map->before_from_after(quick), map->after_from_before(quick);
    for (int i = 0; i < kLanes; ++i) {
      const double x = 6 + 1.1 * i, y = 0.1 * i - 6, z = 0.03 * i - 2;
      CHECK(std::hypot(exact.x[i] - x, exact.y[i] - y, exact.z[i] - z) < 1e-11);
      CHECK(std::abs(exact.xp[i] - 1) + std::abs(exact.yp[i]) + std::abs(exact.zp[i]) < 1e-10);
      CHECK(std::hypot(quick.x[i] - x, quick.y[i] - y, quick.z[i] - z) < 5e-4);
    }
  }
}

TEST_CASE("wander: volume is kept, the way back is exact, and the faces hardly move", "[maps][property]") {
  const double thickness = 10, rms = 0.08;
  const auto map = make_map(WanderMotion(rms, 18, thickness, 5));
  std::mt19937 random(9);
  std::uniform_real_distribution<double> u(0, 1);
  auto batch = std::make_unique<Batch<double>>();
  double square = 0, face = 0;
  int count = 0;
  for (int round = 0; round < 40; ++round) {
    *batch = {};
    std::vector<double> x(kLanes), y(kLanes), z(kLanes);
    for (int i = 0; i < kLanes; ++i) {
      batch->x[i] = x[i] = 300 * u(random), batch->y[i] = y[i] = 60 * u(random);
      batch->z[i] = z[i] = round % 2 ? 0 : (i % 2 ? 0.5 : -0.5) * thickness;
      batch->xp[i] = 1, batch->zq[i] = 1;
    }
    map->before_from_after(*batch);
    for (int i = 0; i < kLanes; ++i) {
      if (round % 2) {
        square += std::pow(batch->z[i] - z[i], 2);
        ++count;
      } else {
        face = std::max(face, std::abs(batch->z[i] - z[i]));
      }
    }
    map->after_from_before(*batch);
    for (int i = 0; i < kLanes; ++i)
      REQUIRE(std::hypot(batch->x[i] - x[i], batch->y[i] - y[i], batch->z[i] - z[i]) < 1e-11);
  }
  CHECK(std::sqrt(square / count) == Approx(rms).epsilon(0.35));  // one seed's sum of ten waves, two with a node here
  CHECK(face < rms);
}
