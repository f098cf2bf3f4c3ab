// A twist over rings against the maps it stands for, one after another: square to disc, a rotation, disc to square.
// These are written out here from docs/model.md, with bisection and the C library's functions.
#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <memory>
#include <random>

#include "catch.hpp"
#include "tape/section_map.hpp"

using namespace etchcast;

namespace {

constexpr double kPi = 3.14159265358979323846;
struct Spot {
  double y, z;
};

/// Where a falling or rising function crosses 0.
long double root_of(const std::function<long double(long double)>& f, long double low, long double high) {
  const bool rising = f(high) > f(low);
  for (int i = 0; i < 80; ++i) {
    const long double middle = (low + high) / 2;
    ((f(middle) > 0) == rising ? high : low) = middle;
  }
  return (low + high) / 2;
}

/// The generating function's two derivatives as docs/model.md has them before they are put into forms that lose no
/// digits: half the squared radius in the square, and the angle in the disc, for a ring and a direction.
using Long = long double;
struct Ring {
  Long rho, alpha = std::atan(rho), tangent = std::tan(2 * alpha), lean = std::cos(2 * alpha);
  Long tau(Long theta) const { return std::atan(std::cos(2 * theta) * tangent); }
  Long half_square(Long theta) const {
    const Long t = std::max(theta, Long(1e-5)), c = std::cos(2 * t), s = std::sin(2 * t);
    return rho * (1 + rho * rho) / Long(kPi) * (2 * alpha - c * tau(t)) / (s * s);
  }
  Long angle(Long theta) const {
    const Long t = std::max(theta, Long(1e-9)), c = std::cos(2 * t), s = std::sin(2 * t);
    return std::atan2(lean * s, c) / 2 + (1 + 3 * rho * rho) * (tau(t) - 2 * alpha * c) / (8 * rho * s);
  }
};
constexpr Long kMost = 1 - 1e-15L;

/// A map of the eighth 0 <= b <= a, carried out all round.
Spot all_round(Spot p, const std::function<Spot(double, double)>& eighth) {
  const double a = std::max(std::abs(p.y), std::abs(p.z)), b = std::min(std::abs(p.y), std::abs(p.z));
  if (a == 0) return p;
  const Spot q = eighth(a, b);
  const bool swapped = std::abs(p.z) > std::abs(p.y);
  return {std::copysign(swapped ? q.z : q.y, p.y), std::copysign(swapped ? q.y : q.z, p.z)};
}
Spot plain_disc(Spot p) {
  return all_round(p, [](double a, double b) -> Spot {
    const Long theta = std::atan2(Long(b), Long(a)), half = (Long(a) * a + Long(b) * b) / 2;
    const Long rho = root_of([&](Long x) { return Ring{x}.half_square(theta) - half; }, Long(1e-12), kMost);
    const Long angle = Ring{rho}.angle(theta), r = 2 / std::sqrt(Long(kPi)) * rho;
    return {double(r * std::cos(angle)), double(r * std::sin(angle))};
  });
}
Spot plain_square(Spot p) {
  return all_round(p, [](double a, double b) -> Spot {
    const Ring ring{std::min(kMost, std::sqrt(Long(kPi)) / 2 * std::hypot(Long(a), Long(b)))};
    const Long angle = std::atan2(Long(b), Long(a));
    const Long theta = root_of([&](Long x) { return ring.angle(x) - angle; }, Long(0), Long(kPi) / 4);
    const Long r = std::sqrt(2 * ring.half_square(theta));
    return {double(r * std::cos(theta)), double(r * std::sin(theta))};
  });
}

struct Case {
  RingedSection before, after;
  Turning turning;
};
/// A square bar of 20.2 x 19.8 mm, and the round one of its area.
constexpr double kWide = 10.1, kThick = 9.9;
const double kMean = std::sqrt(kWide * kThick);
const RingedSection kSquare{true, kWide, kThick}, kRound{false, kMean, kMean};
const Turning kTurning{2 * kPi / 25.4, 3, 900};
const std::array<Case, 3> kCases{
    {{kSquare, kSquare, kTurning}, {kSquare, kRound, kTurning}, {kRound, kSquare, {-0.31, 3, 900}}}};

Spot plain(const Case& k, double x, Spot p) {
  p = {p.y / k.before.half_width, p.z / k.before.half_thickness};
  if (k.before.square) p = plain_disc(p);
  const double angle = k.turning.rate_rad_mm * (std::clamp(x, k.turning.from, k.turning.to) - k.turning.from);
  p = {p.y * std::cos(angle) - p.z * std::sin(angle), p.y * std::sin(angle) + p.z * std::cos(angle)};
  if (k.after.square) p = plain_square(p);
  return {p.y * k.after.half_width, p.z * k.after.half_thickness};
}

/// Places in a section of unit size: spread out, on the diagonals, on the faces, towards the corners and about the
/// axis.
Spot place_in(const RingedSection& section, std::mt19937& random) {
  std::uniform_real_distribution<double> u(-1, 1);
  Spot p{u(random), u(random)};
  switch (random() % 6) {
    case 0:
      p.z = u(random) > 0 ? p.y : -p.y;
      break;
    case 1:
      p.y = std::copysign(1, p.y);
      break;
    case 2:
      p.z = std::copysign(1, p.z);
      break;
    case 3:
      p = {std::copysign(1 - 0.01 * std::abs(p.y), p.y), std::copysign(1 - 0.01 * std::abs(p.z), p.z)};
      break;
    case 4:
      p = {p.y * 1e-3, p.z * 1e-3};
      break;
    default:
      break;
  }
  if (!section.square) p = plain_disc(p);
  return {p.y * section.half_width, p.z * section.half_thickness};
}

/// One point through the map, derivatives along the section's own y and z as p and q.
template <class Real>
Point<Dual<Real>> sent(const Map& map, Real x, Real y, Real z, Real x_by_p = 0) {
  auto b = std::make_unique<Batch<Real>>();
  *b = {};
  for (int i = 0; i < kLanes; ++i)
    b->x[i] = x, b->y[i] = y, b->z[i] = z, b->xp[i] = x_by_p, b->yp[i] = 1 - x_by_p, b->zq[i] = 1;
  map.after_from_before(*b);
  return {{b->x[0], b->xp[0], b->xq[0]}, {b->y[0], b->yp[0], b->yq[0]}, {b->z[0], b->zp[0], b->zq[0]}};
}

}  // namespace

TEST_CASE("twist over rings: the same as to the disc, turned, and back", "[maps][twist][property]") {
  std::mt19937 random(11);
  std::uniform_real_distribution<double> along(0, 950);
  for (const Case& k : kCases) {
    const MapPtr map = twist_map(k.before, k.after, k.turning);
    for (int i = 0; i < 3000; ++i) {
      const double x = float(along(random));
      Spot p = place_in(k.before, random);
      const Spot there = plain(k, x, p);
      const auto q = sent<double>(*map, x, p.y, p.z);
      REQUIRE(std::hypot(q.y.v - there.y, q.z.v - there.z) < 1e-10);
      // Float: 2e-6 of the half width, anywhere along the bar.
      p = {float(p.y), float(p.z)};
      const Spot near = plain(k, x, p);
      const auto f = sent<float>(*map, float(x), float(p.y), float(p.z));
      REQUIRE(std::hypot(f.y.v - near.y, f.z.v - near.z) < 2e-6 * kWide);
    }
  }
}

TEST_CASE("twist over rings: derivatives are the differences", "[maps][twist][property]") {
  std::mt19937 random(12);
  std::uniform_real_distribution<double> along(5, 890);
  const double h = 2e-6;  // mm
  for (const Case& k : kCases) {
    const MapPtr map = twist_map(k.before, k.after, k.turning);
    for (int i = 0; i < 3000; ++i) {
      const double x = float(along(random));
      Spot p = place_in(k.before, random);
      p = {float(0.995 * p.y), float(0.995 * p.z)};  // so that a step leads neither out of the bar nor over a corner
      const auto q = sent<double>(*map, x, p.y, p.z), turned = sent<double>(*map, x, p.y, p.z, 1);
      const auto f = sent<float>(*map, float(x), float(p.y), float(p.z)),
                 turned_f = sent<float>(*map, float(x), float(p.y), float(p.z), 1);
      // Beside the middle of a side the formulas above lose the digits that differences need.
      const auto beside = [](double y, double z) {
        return std::min(std::abs(y), std::abs(z)) < 2e-3 * std::max(std::abs(y), std::abs(z));
      };
      if (beside(p.y, p.z) || beside(q.y.v, q.z.v)) continue;
      const auto difference = [&](double dx, double dy, double dz) {
        const Spot up = plain(k, x + dx, {p.y + dy, p.z + dz}), down = plain(k, x - dx, {p.y - dy, p.z - dz});
        return Spot{(up.y - down.y) / (2 * h), (up.z - down.z) / (2 * h)};
      };
      const Spot by_x = difference(h, 0, 0), by_y = difference(0, h, 0), by_z = difference(0, 0, h);
      // Along x a place at the skin goes 2.5 mm a mm.
      const auto check = [&](const auto& r, const auto& r_turned, double most) {
        REQUIRE(std::hypot(r.y.dp - by_y.y, r.z.dp - by_y.z) < most);
        REQUIRE(std::hypot(r.y.dq - by_z.y, r.z.dq - by_z.z) < most);
        REQUIRE(std::hypot(r_turned.y.dp - by_x.y, r_turned.z.dp - by_x.z) < 4 * most);
      };
      check(q, turned, 5e-6);
      check(f, turned_f, 3e-3);  // at worst within half a percent of a corner
      REQUIRE(std::abs(q.y.dp * q.z.dq - q.y.dq * q.z.dp - 1) < 1e-10);  // area is kept
    }
  }
}

TEST_CASE("twist over rings: about the axis it is a rotation", "[maps][twist]") {
  // The section's map is the identity there to third order: at 1e-9 of the half width a rotation to rounding.
  for (const Case& k : kCases) {
    const MapPtr map = twist_map(k.before, k.after, k.turning);
    const double wide = k.after.half_width / k.before.half_width,
                 thick = k.after.half_thickness / k.before.half_thickness;
    for (const double off : {0.0, 1e-15, 1e-9, 1e-6})
      for (const double heading : {0.0, 0.4, 2.2, -2.6})
        for (const double x : {1.0, 5.25, 40.75, 333.5}) {
          const double angle = k.turning.rate_rad_mm * std::max(0.0, x - k.turning.from), c = std::cos(angle),
                       s = std::sin(angle);
          const double y = off * std::cos(heading), z = off * std::sin(heading),
                       skew = k.after.half_width / k.before.half_thickness;
          const double back = k.after.half_thickness / k.before.half_width;
          const auto q = sent<double>(*map, x, y, z);
          CHECK(std::hypot(q.y.v - (wide * c * y - skew * s * z), q.z.v - (back * s * y + thick * c * z)) <=
                1e-12 * off);
          CHECK(std::hypot(q.y.dp - wide * c, q.y.dq + skew * s, q.z.dp - back * s) < 1e-11);
          CHECK(std::abs(q.z.dq - thick * c) < 1e-11);
          const auto f = sent<float>(*map, float(x), float(y), float(z));
          CHECK(std::hypot(f.y.dp - wide * c, f.y.dq + skew * s, f.z.dp - back * s) < 3e-6);
          CHECK(std::abs(f.z.dq - thick * c) < 3e-6);
        }
  }
}

TEST_CASE("twist over rings: the way back undoes the way forth, corners and all", "[maps][twist][property]") {
  std::mt19937 random(13);
  for (const Case& k : kCases) {
    const MapPtr map = twist_map(k.before, k.after, k.turning);
    auto b = std::make_unique<Batch<double>>();
    for (int round = 0; round < 40; ++round) {
      std::array<double, kLanes> x;
      std::array<Spot, kLanes> p;
      *b = {};
      for (int i = 0; i < kLanes; ++i) {
        x[i] = 7.7 * i, p[i] = place_in(k.before, random);
        if (i == 0) p[i] = {k.before.half_width, 0};
        if (i == 1 && k.before.square) p[i] = {kWide, -kThick};
        b->x[i] = x[i], b->y[i] = p[i].y, b->z[i] = p[i].z;
      }
      map->after_from_before(*b);
      map->before_from_after(*b);
      for (int i = 0; i < kLanes; ++i) REQUIRE(std::hypot(b->x[i] - x[i], b->y[i] - p[i].y, b->z[i] - p[i].z) < 1e-11);
    }
  }
}

TEST_CASE("twist over rings: outside the twisted part nothing more is turned", "[maps][twist]") {
  const MapPtr map = twist_map(kSquare, kSquare, kTurning);
  const auto before = sent<double>(*map, 1, 3, 8, 1);
  CHECK(std::hypot(before.y.v - 3, before.z.v - 8) < 1e-12);
  CHECK(std::hypot(before.y.dp, before.z.dp) == 0);
  const auto end = sent<double>(*map, kTurning.to, 3, 8), after = sent<double>(*map, kTurning.to + 40, 3, 8, 1);
  CHECK(std::hypot(after.y.v - end.y.v, after.z.v - end.z.v) < 1e-12);
  CHECK(std::hypot(after.y.dp, after.z.dp) == 0);
}

TEST_CASE("twist over rings: at and beyond corners and faces nothing is lost to rounding", "[maps][twist]") {
  const MapPtr map = twist_map(kSquare, kSquare, kTurning);
  for (const double out : {-1e-6, -1e-7, 0.0, 1e-7, 1e-6, 1e-2})
    for (const double up : {-1e-6, -6e-8, 0.0, 6e-8, 1e-2})
      for (double x = 0; x < 30; x += 0.21) {
        const auto f = sent<float>(*map, float(x), float(kWide * (1 + out)), float(-kThick * (1 + up)));
        const Spot corner = plain({kSquare, kSquare, kTurning}, float(x), {kWide, -kThick});
        CHECK(std::isfinite(f.y.dp + f.y.dq + f.z.dp + f.z.dq));
        CHECK(std::hypot(f.y.v - corner.y, f.z.v - corner.z) < 5e-3 * kWide);
      }
}
