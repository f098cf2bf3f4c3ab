// Studs, hammer blows and holes forged shut, on whole bars.
#include <cmath>
#include <random>

#include <fmt/format.h>

#include "catch.hpp"
#include "etchcast/check.hpp"
#include "forge_helpers.hpp"
#include "workpiece/relief.hpp"

using namespace etchcast;

namespace {

const std::string kTwenty = "stack = [\"dark 0.5 mm\", \"bright 0.5 mm\"]\nrepeat = 10";  // 10 mm
const std::string kFlatten = R"({ do = "flatten" },)";

std::string dimple(const std::string& more) {
  return "{ do = \"dimple\", radius = \"4 mm\", depth = \"1.2 mm\", spacing = \"11 mm\"" + more + " },";
}
std::string drill(const std::string& more, const std::string& depth = "1.5 mm") {
  return "{ do = \"drill\", spacing = \"12 mm\", depth = \"" + depth + "\"" + more + " },";
}

Forging forge_bar(const std::string& steps, const ForgeOptions& options = {}) {
  return forged(exact_recipe(kTwenty, steps), options);
}

std::vector<Point<double>> inside(const Bar& bar, int n) {
  std::mt19937 random(5);
  std::uniform_real_distribution<double> u(0.01, 0.99);
  std::vector<Point<double>> points;
  for (int i = 0; i < n; ++i) {
    Point<double> p{bar.length_mm * u(random), bar.width_mm * (u(random) - 0.5), 0};
    p.z = bar.bottom_at(p.x, p.y) + (bar.top_at(p.x, p.y) - bar.bottom_at(p.x, p.y)) * u(random);
    points.push_back(p);
  }
  return points;
}

/// Worst of the round trip, mm, and of |det J| - 1 by differences.
std::pair<double, double> worst(const Bar& bar) {
  const auto points = inside(bar, kLanes);
  auto b = std::make_unique<Batch<double>>();
  const auto load = [&](int axis, double by) {
    *b = {};
    for (int i = 0; i < kLanes; ++i) b->x[i] = points[i].x, b->y[i] = points[i].y, b->z[i] = points[i].z;
    for (int i = 0; i < kLanes; ++i) (axis == 0 ? b->x : axis == 1 ? b->y : b->z)[i] += by;
    to_flat(bar, *b);
  };
  double trip = 0, volume = 0;
  load(0, 0);
  from_flat(bar, *b);
  for (int i = 0; i < kLanes; ++i)
    trip = std::max(trip, std::hypot(b->x[i] - points[i].x, b->y[i] - points[i].y, b->z[i] - points[i].z));
  const double h = 1e-5;
  std::vector<std::array<double, 9>> j(kLanes);
  for (int axis = 0; axis < 3; ++axis)
    for (const int side : {1, -1}) {
      load(axis, side * h);
      for (int i = 0; i < kLanes; ++i) {
        j[i][3 * axis] += side * b->x[i] / (2 * h), j[i][3 * axis + 1] += side * b->y[i] / (2 * h),
            j[i][3 * axis + 2] += side * b->z[i] / (2 * h);
      }
    }
  for (const auto& m : j)
    volume = std::max(volume, std::abs(m[0] * (m[4] * m[8] - m[5] * m[7]) - m[1] * (m[3] * m[8] - m[5] * m[6]) +
                                       m[2] * (m[3] * m[7] - m[4] * m[6]) - 1));
  return {trip, volume};
}

/// Volume between the faces less the ledger's, as a share.
double off_volume(const Bar& bar) {
  double sum = 0;
  const int n = 400, m = 160;
  for (int i = 0; i < n; ++i)
    for (int j = 0; j < m; ++j) {
      const double x = (i + 0.5) / n * bar.length_mm, y = ((j + 0.5) / m - 0.5) * bar.width_mm;
      sum += bar.top_at(x, y) - bar.bottom_at(x, y);
    }
  return sum / (n * m) * bar.length_mm * bar.width_mm / bar.volume_mm3 - 1;
}

std::string refusal(const std::string& steps) {
  try {
    forge_bar(steps);
  } catch (const Error& error) {
    return error.diagnostics().front().message + " / " + error.diagnostics().front().hint;
  }
  return "";
}

}  // namespace

TEST_CASE("studs, blows and closed holes keep volume and can be undone, whatever the set", "[studs][property]") {
  for (const std::string& steps :
       {dimple(R"(, sides = "top")"), dimple(R"(, sides = "bottom", set = "square")"), dimple(R"(, sides = "aligned")"),
        dimple(""), dimple(R"(, set = "random", seed = 4)"), dimple(R"(, ends = "held")"),
        drill(R"(, sides = "top")") + kFlatten, drill(R"(, set = "random")") + kFlatten,
        drill(R"(, sides = "aligned", ball = true, diameter = "9 mm")") +
            R"({ do = "flatten", thickness = "7.5 mm" },)",
        std::string(R"({ do = "hammer", crown = "30 mm" },)")}) {
    INFO(steps);
    const Forging f = forge_bar(steps);
    const auto [trip, volume] = worst(f.last());
    CHECK(trip < 1e-8);
    CHECK(volume < 1e-4);
    // With held ends the length stays although the ends cut the pattern anywhere.
    CHECK(std::abs(off_volume(f.last())) < (steps.find("held") == std::string::npos ? 2e-4 : 2e-3));
  }
}

TEST_CASE("dimples: under a stud the face is the ball's, and the face before comes from the face after", "[studs]") {
  const Forging f = forge_bar(dimple(R"(, sides = "top")"));
  const Bar& bar = f.last();
  for (const double r : {0.0, 0.6, 1.2})
    CHECK(bar.top_at(110 + r, 0) == Approx(5 - 1.2 + 4 - std::sqrt(16 - r * r)).margin(0.02));
  CHECK(bar.top_at(115.5, 0) < 5);  // metal between studs goes down a little with them
  CHECK(bar.top_at(115.5, 0) > 4.8);
  for (double x = 20; x < 120; x += 1.7) {
    CHECK(stack_at(bar, x, 3, bar.top_at(x, 3) - 1e-6) == Approx(10).margin(0.02));
    CHECK(stack_at(bar, x, 3, bar.bottom_at(x, 3) + 1e-6) == Approx(0).margin(0.02));
  }
}

TEST_CASE("dimples: rings are round and all alike, with no seam between cells", "[studs]") {
  const Forging f = forge_bar(dimple(R"(, sides = "top")"));
  const Bar& bar = f.last();
  // The layer on a plane just below the untouched face, around two studs of the hexagon.
  for (const double r : {1.0, 2.0, 2.8}) {
    double least = 1e9, most = -1e9;
    for (int i = 0; i < 24; ++i)
      for (const auto& [x, y] : {std::pair{99.0, 0.0}, {104.5, 11 * std::sqrt(0.75)}}) {
        const double s = stack_at(bar, x + r * std::cos(i * 0.2618), y + r * std::sin(i * 0.2618), 3.4);
        least = std::min(least, s), most = std::max(most, s);
      }
    CHECK(most - least < 0.015);
  }
  // Across a border of cells slopes are continuous.
  const double h = 0.02;
  double bend = 0;
  for (double x = 99; x < 110; x += h)
    bend = std::max(bend, std::abs(stack_at(bar, x - h, 0.3, 3.5) - 2 * stack_at(bar, x, 0.3, 3.5) +
                                   stack_at(bar, x + h, 0.3, 3.5)) /
                              (h * h));
  CHECK(bend < 2);  // per mm; the ball itself bends layers by about 1/4
}

TEST_CASE("dimples: deep in a thick bar layers hardly move, by plane sections they would", "[studs]") {
  const auto swing = [](const std::string& flow) {
    const Forging f = forge_bar(dimple(", sides = \"top\", flow = \"" + flow + "\""));
    double least = 1e9, most = -1e9;
    for (double x = 88; x < 99; x += 0.25) {
      const double s = stack_at(f.last(), x, 0, -2.5);
      least = std::min(least, s), most = std::max(most, s);
    }
    return most - least;
  };
  CHECK(swing("metal") < 0.12);
  CHECK(swing("plane") > 0.25);
}

TEST_CASE("dimples: staggered studs push the bar up between them", "[studs]") {
  // Common practice: staggered dies bend the bar; one-sided ones draw the face down.
  const std::string steps =
      "{ do = \"draw\", thickness = \"5 mm\", width = \"60 mm\" }, { do = \"dimple\", radius = \"5 mm\", depth = \"0.8 "
      "mm\", spacing = \"14 mm\", ";
  const Forging both = forge_bar(steps + "sides = \"offset\" },"), one = forge_bar(steps + "sides = \"top\" },");
  // Over a lower stud: the middle of a triangle of upper ones.
  const double x = 14 * 7.5, y = 14 * std::sqrt(0.75) / 3;
  CHECK(both.last().top_at(x, y) > 2.52);
  CHECK(one.last().top_at(x, y) < 2.5);
}

TEST_CASE("dimples: with held ends a stud goes as deep as its die, on one face or on both", "[studs]") {
  // Identity: a rigid ball pressed to a depth leaves its own shape where it touches. Metal that has nowhere to go comes up
  // between the studs.
  for (const char* sides : {"top", "offset", "aligned"})
    for (const char* set : {"hexagonal", "square"})
      for (const double thickness : {5.0, 9.0}) {
        INFO(sides << " " << set << " " << thickness);
        const Forging f = forge_bar(fmt::format(R"({{ do = "draw", thickness = "{} mm", width = "60 mm" }},)", thickness) +
                                    dimple(fmt::format(R"(, ends = "held", sides = "{}", set = "{}")", sides, set)));
        const Bar& bar = f.last();
        for (const double r : {0.0, 0.5, 1.0})
          CHECK(bar.top_at(88 + r, 0) == Approx(thickness / 2 - 1.2 + 4 - std::sqrt(16 - r * r)).margin(0.012));
        CHECK(bar.top->highest() > thickness / 2 + 0.1);
      }
}

TEST_CASE("holes: the floor comes up to the face and deep layers show there", "[studs]") {
  const Forging f = forge_bar(drill(R"(, sides = "top", ball = true, diameter = "9 mm")") +
                              R"({ do = "flatten", thickness = "7 mm" },)");
  const Bar& bar = f.last();
  const double grown = bar.length_mm / 200;
  CHECK(bar.top->highest() == Approx(3.5).margin(0.02));
  // Deepest point of the hole 1.5 mm below the face: the layer there was at 8.5 of 10.
  CHECK(stack_at(bar, 12 * 8 * grown, 0, bar.top_at(12 * 8 * grown, 0) - 1e-3) == Approx(8.5).margin(0.1));
  CHECK(stack_at(bar, 12 * 8.5 * grown, 0, bar.top_at(12 * 8.5 * grown, 0) - 1e-3) == Approx(10).margin(0.05));
  // The eye is as round as a bar that grows in length alone lets it be.
  const double a = stack_at(bar, 12 * 8 * grown + 1.2 * std::sqrt(grown), 0, 2.8),
               b = stack_at(bar, 12 * 8 * grown, 1.2 / std::sqrt(grown), 2.8);
  CHECK(a == Approx(b).margin(0.03));
}

TEST_CASE("holes: steep walls are warned of, and plane sections can be asked for", "[studs]") {
  const std::string steep = drill(R"(, point = "170 deg", sides = "top")", "2.5 mm");
  const std::string said = refusal(steep + kFlatten);
  bool warned = said.find("close cleanly") != std::string::npos;
  if (said.empty())
    for (const Warning& w : forge_bar(steep + kFlatten).warnings)
      warned = warned || w.text.find("cold shut") != std::string::npos;
  CHECK(warned);
  for (const Warning& w : forge_bar(drill(R"(, sides = "top")") + kFlatten).warnings)
    CHECK(w.text.find("cold shut") == std::string::npos);
  CHECK_NOTHROW(forge_bar(steep + R"({ do = "flatten", flow = "plane" },)"));
  CHECK_NOTHROW(forge_bar(dimple(R"(, flow = "plane")")));
  CHECK_NOTHROW(forge_bar(R"({ do = "hammer", flow = "plane" },)"));
}

TEST_CASE("studs that cannot be are refused in the smith's words", "[studs]") {
  CHECK(refusal(R"({ do = "dimple", radius = "6 mm", depth = "4 mm", spacing = "20 mm" },)")
            .find("would take 8.0 mm (0.31 in) of 10.0 mm (0.39 in)") != std::string::npos);
  CHECK(refusal(R"({ do = "dimple", radius = "8 mm", depth = "2 mm", spacing = "8 mm", sides = "top" },)")
            .find("nothing would be left between them") != std::string::npos);
  CHECK(refusal(R"({ do = "hammer", depth = "4 mm" },)").find("too deep") != std::string::npos);
  CHECK(refusal(drill("") + R"({ do = "flatten", thickness = "12 mm" },)").find("do not touch") != std::string::npos);
}

TEST_CASE("hammer: on its anvil a wave of the face leaves the far side flat", "[studs]") {
  const Forging f =
      forge_bar(R"({ do = "hammer", sides = "top", crown = "30 mm", depth = "0.6 mm", spacing = "10 mm" },)");
  const Bar& bar = f.last();
  CHECK(bar.bottom->highest() - bar.bottom->lowest() < 0.01);
  CHECK(bar.top->highest() - bar.top->lowest() > 0.3);
  for (double x = 5; x < 190; x += 3.3) {
    CHECK(stack_at(bar, x, 2, bar.top_at(x, 2) - 1e-4) == Approx(10).margin(0.02));
    CHECK(stack_at(bar, x, 2, bar.bottom_at(x, 2) + 1e-4) == Approx(0).margin(0.02));
  }
}

TEST_CASE("studs: a preview is near the solved flow and says that it is rough", "[studs]") {
  const Forging quick = forge_bar(dimple(R"(, sides = "top")"), {.preview = true}),
                solved = forge_bar(dimple(R"(, sides = "top")"));
  CHECK(!quick.billets[0].rows.back().rough.empty());
  CHECK(solved.billets[0].rows.back().rough.empty());
  CHECK(quick.last().length_mm == Approx(solved.last().length_mm).epsilon(0.02));
  for (double x = 88; x < 99; x += 0.5)
    CHECK(stack_at(quick.last(), x, 0, 2) == Approx(stack_at(solved.last(), x, 0, 2)).margin(0.25));
}
