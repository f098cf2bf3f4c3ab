// The ground blade against what a smith can reckon by hand, and its slopes against its own heights.
#include "catch.hpp"

#include <algorithm>
#include <cmath>
#include <random>
#include <string>

#include "blade/polygon.hpp"
#include "blade_helpers.hpp"
#include "etchcast/blade.hpp"

using namespace etchcast;

namespace {

constexpr Grind kGrinds[] = {Grind::flat, Grind::sabre, Grind::hollow, Grind::convex, Grind::single};

BladePlan shaped(std::string_view shape, Grind grind = Grind::flat) {
  BladePlan plan;
  plan.shape = shape;
  plan.length_mm = 0;
  plan.grind = grind;
  plan.bow_mm = 0.1;
  plan.wheel_mm = 600;
  return plan;
}

struct Sample {
  double z, dz_dx, dz_dy;
};
Sample sample(const Blade& blade, Side side, double x, double y) {
  Sample s;
  blade.surface(side, 1, &x, &y, &s.z, &s.dz_dx, &s.dz_dy);
  return s;
}

}  // namespace

TEST_CASE("blade: every built-in outline is one piece, edge down, of the size asked for", "[blade][property]") {
  for (const Shape& shape : shapes()) {
    CAPTURE(std::string(shape.name));
    const Blade blade(shaped(shape.name));
    CHECK(blade.length() == Approx(shape.length_mm));
    CHECK(blade.height() == Approx(shape.length_mm * shape.heel_share).epsilon(0.03));
    CHECK(blade.tang() == Approx(30));
    CHECK(signed_area(blade.outline()) > 0);
    CHECK_FALSE(crossing(blade.outline()));
    double low = 1, left = 0, right = 0;
    for (const auto& p : blade.outline()) {
      low = std::min(low, p.y());
      left = std::min(left, p.x());
      right = std::max(right, p.x());
    }
    CHECK(low == Approx(0).margin(1e-12));
    CHECK(left == Approx(-30));
    CHECK(right == Approx(blade.length()));
    for (double x = 1; x < blade.length() - 1; x += 0.7) CHECK(column_at(blade.outline(), x).void_mm < 1e-9);
    // The belly only climbs and the spine ends in the tip.
    for (double x = 2; x < blade.length(); x += 1) CHECK(blade.edge_y(x) >= blade.edge_y(x - 1) - 1e-9);
    CHECK(blade.spine_y(blade.length()) == Approx(blade.edge_y(blade.length())).margin(1e-6));
    CHECK(blade.spine_y(-20) - blade.edge_y(-20) < 0.7 * blade.height());
  }
}

TEST_CASE("blade: sizes asked for are kept", "[blade]") {
  BladePlan plan = shaped("gyuto");
  plan.length_mm = 240;
  plan.heel_mm = 52;
  plan.spine_mm = {4.0, 2.4, 1.0};
  plan.edge_mm = 0.25;
  plan.tang_mm = 12;
  const Blade blade(plan);
  CHECK(blade.length() == 240);
  CHECK(blade.height() == Approx(52));
  CHECK(blade.tang() == 12);
  CHECK(blade.edge_thickness() == 0.25);
  CHECK(blade.spine_thickness(0) == Approx(4.0));
  CHECK(blade.spine_thickness(120) == Approx(2.4));
  CHECK(blade.spine_thickness(230) == Approx(1.0));
  CHECK(blade.spine_thickness(240) == Approx(0.25));
  CHECK(blade.spine_thickness(-10) == Approx(4.0));
  for (double x = 1; x <= 240; x += 1) CHECK(blade.spine_thickness(x) <= blade.spine_thickness(x - 1) + 1e-12);
  CHECK(blade.half_thickness(Side::right, 100, 0) < 0.13);
}

TEST_CASE("blade: a full flat grind climbs in proportion to the height", "[blade][analytic]") {
  const Blade blade(own());
  const double spine = 3.0, edge = 0.4, height = 30;
  for (const double x : {10.0, 55.5, 120.0}) {
    for (const double y : {0.0, 1.0, 7.3, 15.0, 29.9}) {
      const double expected = edge / 2 + (spine - edge) / 2 * y / height;
      const Sample right = sample(blade, Side::right, x, y), left = sample(blade, Side::left, x, y);
      CHECK(right.z == Approx(expected).epsilon(1e-9));
      CHECK(left.z == Approx(-expected).epsilon(1e-9));
      CHECK(right.dz_dy == Approx((spine - edge) / 2 / height).epsilon(1e-9));
      CHECK(left.dz_dy == -right.dz_dy);
      CHECK(right.dz_dx == Approx(0).margin(1e-9));
    }
  }
  // San mai: a core of half thickness c shows up to (2c - e) H / (S - e).
  const double core_half = 0.5, line = (2 * core_half - edge) * height / (spine - edge);
  CHECK(blade.half_thickness(Side::right, 80, line) == Approx(core_half).epsilon(1e-9));
}

TEST_CASE("blade: sabre and single grinds stop at the bevel", "[blade][analytic]") {
  BladePlan plan = own();
  plan.bevel = 0.6;
  plan.grind = Grind::sabre;
  const Blade sabre(plan);
  CHECK(sabre.half_thickness(Side::left, 80, 9) == Approx(0.2 + 1.3 / 2).epsilon(1e-9));
  CHECK(sabre.half_thickness(Side::right, 80, 20) == Approx(1.5).epsilon(1e-9));
  CHECK(sample(sabre, Side::right, 80, 25).dz_dy == 0);
  plan.grind = Grind::single;
  const Blade single(plan);
  const Sample back = sample(single, Side::left, 80, 9), front = sample(single, Side::right, 80, 9);
  CHECK(back.z == -1.5);
  CHECK(back.dz_dy == 0);
  CHECK(front.z - back.z == Approx(0.4 + 2.6 / 2).epsilon(1e-9));
  CHECK(sample(single, Side::right, 80, 0).z == Approx(-1.5 + 0.4).epsilon(1e-9));
  CHECK(sample(single, Side::right, 80, 28).z == Approx(1.5).epsilon(1e-9));
}

TEST_CASE("blade: a hollow is as deep as its chord squared over eight radii", "[blade][analytic]") {
  BladePlan plan = own();
  plan.grind = Grind::hollow;
  plan.bevel = 0.6;
  plan.wheel_mm = 700;
  plan.edge_mm = 0.8;
  const Blade blade(plan);
  const double top = 18, rise = 1.5 - 0.4, chord = std::hypot(top, rise), radius = 350;
  const double under = (0.4 + rise / 2) - blade.half_thickness(Side::right, 80, top / 2);
  const double sagitta = under * top / chord;  // measured square to the chord
  CHECK(sagitta == Approx(chord * chord / (8 * radius)).epsilon(0.01));
  CHECK(blade.half_thickness(Side::right, 80, 0) == Approx(0.4).epsilon(1e-9));
  CHECK(blade.half_thickness(Side::right, 80, top) == Approx(1.5).epsilon(1e-9));
  // Three points of the face lie on one circle of the wheel's radius: its curvature z''/(1+z'^2)^1.5.
  const auto z = [&](double y) { return blade.half_thickness(Side::right, 80, y); };
  const double slope = sample(blade, Side::right, 80, 12).dz_dy, bend = (z(12.1) - 2 * z(12) + z(11.9)) / 0.01;
  CHECK(bend / std::pow(1 + slope * slope, 1.5) == Approx(1 / radius).epsilon(1e-4));
}

TEST_CASE("blade: a convex face stands its bow over the flat chord", "[blade][analytic]") {
  BladePlan plan = own();
  plan.grind = Grind::convex;
  plan.bow_mm = 0.2;
  const Blade blade(plan);
  CHECK(blade.half_thickness(Side::right, 80, 15) == Approx(0.2 + 1.3 / 2 + 0.2).epsilon(1e-9));
  CHECK(blade.half_thickness(Side::right, 80, 0) == Approx(0.2).epsilon(1e-9));
  CHECK(blade.half_thickness(Side::right, 80, 30) == Approx(1.5).epsilon(1e-9));
}

TEST_CASE("blade: slopes are those of the heights, and no face leaves the bar", "[blade][property]") {
  std::mt19937 random(5);
  constexpr double h = 1e-5;
  for (const Shape& shape : shapes()) {
    for (const Grind grind : kGrinds) {
      CAPTURE(std::string(shape.name), int(grind));
      const Blade blade(shaped(shape.name, grind));
      const double thickest = blade.spine_thickness(0) / 2;
      int checked = 0;
      for (int i = 0; i < 400; ++i) {
        const double x = std::uniform_real_distribution(-blade.tang() + 0.1, blade.length() - 0.3)(random);
        const double low = blade.edge_y(x), high = blade.spine_y(x);
        const double y = std::uniform_real_distribution(low, high)(random);
        const Side side = i % 2 ? Side::left : Side::right;
        CAPTURE(x, y);
        const Sample s = sample(blade, side, x, y);
        const auto z = [&](double dx, double dy) { return sample(blade, side, x + dx, y + dy).z; };
        CHECK(std::abs(s.z) <= thickest + 1e-9);
        const double east = (z(h, 0) - s.z) / h, west = (s.z - z(-h, 0)) / h;
        const double north = (z(0, h) - s.z) / h, south = (s.z - z(0, -h)) / h;
        if (std::abs(east - west) > 1e-4 || std::abs(north - south) > 1e-4) continue;  // on the bevel's crisp line
        ++checked;
        CHECK(s.dz_dx == Approx((east + west) / 2).margin(1e-4));
        CHECK(s.dz_dy == Approx((north + south) / 2).margin(1e-4));
      }
      CHECK(checked > 380);
    }
  }
}

TEST_CASE("blade: points asked for together are told what each is told alone", "[blade][property]") {
  constexpr int n = 300;  // more than a batch, and no multiple of one
  std::mt19937 random(7);
  for (const Shape& shape : shapes()) {
    for (const Grind grind : kGrinds) {
      CAPTURE(std::string(shape.name), int(grind));
      const Blade blade(shaped(shape.name, grind));
      double x[n], y[n], z[n], dz_dx[n], dz_dy[n];
      for (double& at : x) at = std::uniform_real_distribution(-blade.tang() - 5, blade.length() + 5)(random);
      for (double& at : y) at = std::uniform_real_distribution(-5.0, blade.height() + 5)(random);
      blade.surface(Side::left, n, x, y, z, dz_dx, dz_dy);
      int alike = 0;
      for (int i = 0; i < n; ++i) {
        const Sample alone = sample(blade, Side::left, x[i], y[i]);
        alike += alone.z == z[i] && alone.dz_dx == dz_dx[i] && alone.dz_dy == dz_dy[i];
      }
      CHECK(alike == n);
    }
  }
}

TEST_CASE("blade: a point outside takes the height of the nearest metal", "[blade]") {
  const Blade blade(shaped("chef"));
  const double x = 150, edge = blade.edge_y(x), spine = blade.spine_y(x);
  CHECK(blade.half_thickness(Side::right, x, edge - 2) ==
        Approx(blade.half_thickness(Side::right, x, edge)).margin(1e-3));
  CHECK(blade.half_thickness(Side::right, x, spine + 2) ==
        Approx(blade.half_thickness(Side::right, x, spine)).margin(1e-3));
  for (const double beyond : {-500.0, 500.0}) CHECK(std::isfinite(sample(blade, Side::left, beyond, beyond).dz_dx));
}

TEST_CASE("blade: the neck keeps the heel's thickness and the ricasso ends in a plunge", "[blade]") {
  const Blade kitchen(shaped("gyuto"));
  CHECK(kitchen.half_thickness(Side::right, -19, 30) == Approx(1.5).epsilon(1e-6));
  const Blade hunter(shaped("hunter"));
  CHECK(hunter.half_thickness(Side::right, -5, 4) == Approx(1.75).epsilon(1e-6));
  CHECK(hunter.half_thickness(Side::right, 0.5, 4) < 0.6);
  // The run-out is short, and shorter the higher up: the plunge line sweeps forward to the spine.
  CHECK(hunter.half_thickness(Side::right, -1.0, 28) == Approx(1.75).epsilon(1e-6));
  CHECK(hunter.half_thickness(Side::right, -1.0, 4) < 1.2);
}

TEST_CASE("blade: any shape can be made small or large", "[blade][property]") {
  for (const Shape& shape : shapes()) {
    for (const double length : {60.0, 400.0}) {
      BladePlan plan = shaped(shape.name);
      plan.length_mm = length;
      const Blade blade(plan);
      CHECK(blade.length() == length);
      CHECK_FALSE(crossing(blade.outline()));
    }
  }
  BladePlan whole = shaped("gyuto");
  whole.tang_mm = 400;
  CHECK(Blade(whole).tang() == Approx(2.76 * 0.229 * 210).epsilon(0.02));  // the drawn tang ends there
  whole.tang_mm = 0;
  CHECK(Blade(whole).tang() == 0);
}

TEST_CASE("blade: sizes that contradict each other are told with what would be right", "[blade][error]") {
  BladePlan plan = shaped("petty");
  plan.place = {"petty.toml", 12, 1};
  plan.edge_mm = 1.0;
  Diagnostic d = fault_of(plan);
  CHECK(d.key == "blade.edge");
  CHECK(says(d, "the edge, 1 mm, is not thinner than the spine 10 mm from the tip, 0.7 mm"));

  plan = shaped("petty");
  plan.heel_mm = 150;
  d = fault_of(plan);
  CHECK(d.key == "blade.heel");
  CHECK(says(d, "too tall for a blade 150 mm long"));

  plan = shaped("gyuto", Grind::hollow);
  plan.wheel_mm = 254;
  d = fault_of(plan);
  CHECK(d.key == "blade.wheel");
  CHECK(says(d, "would cut through"));
  plan.wheel_mm = std::stod(d.hint.substr(d.hint.find("of ") + 3));  // the wheel it names will do
  CHECK(faults_of(plan).empty());

  plan = shaped("gyuto", Grind::convex);
  plan.bow_mm = 1;
  CHECK(fault_of(plan).key == "blade.bow");

  plan = shaped("gyuto", Grind::sabre);
  plan.bevel = 1.4;
  CHECK(fault_of(plan).key == "blade.bevel");
}

TEST_CASE("blade: all faults are told at once, and none is a surprise", "[blade][error]") {
  BladePlan plan = shaped("chef", Grind::sabre);
  plan.length_mm = -3;
  plan.spine_mm = {2.0, std::nan(""), 40.0};
  plan.bevel = 0;
  CHECK(faults_of(plan).size() == 4);
}

TEST_CASE("blade: an unknown shape names the nearest known one", "[blade][error]") {
  const Diagnostic d = fault_of(shaped("santuko"));
  CHECK(d.key == "blade.shape");
  CHECK(d.hint.find("santoku") != std::string::npos);
}

TEST_CASE("regression: a thin spine takes an edge to match when none is asked for", "[blade]") {
  BladePlan plan = shaped("bowie");
  plan.spine_mm = {3.0, 2.0, 0.5};
  CHECK(Blade(plan).edge_thickness() == Approx(0.25));
}
