// Twisted bars against the closed form s = c cos(wx) - y sin(wx).
#include <cmath>

#include "catch.hpp"
#include "forge_helpers.hpp"

using namespace etchcast;

namespace {
constexpr double kPi = 3.14159265358979323846;
const std::string kSquarePile = "stack = [\"dark 4 mm\", \"bright 4 mm\"]\nrepeat = 2\ntop = \"dark 4 mm\"";
std::string twisted(const std::string& keys) {
  return exact_recipe(kSquarePile, "{ do = \"draw\", thickness = \"20 mm\", width = \"20 mm\" }, { do = \"twist\", " + keys + " },");
}
}  // namespace

TEST_CASE("twist: on a plane at c from the axis the layer is c cos wx - y sin wx", "[twist]") {
  // Rigid turning of every section: identity. Right-hand screw, one turn an inch.
  const Forging f = forged(twisted(R"(rate = "1 turns/in", after = "none")"));
  const double w = 2 * kPi / 25.4;
  for (const double c : {0.0, 2.5, 5.0})
    for (double x = 3; x < 90; x += 0.71)
      for (const double y : {-6.0, -1.3, 0.0, 4.4}) CHECK(stack_at(f.last(), x, y, c) == Approx(10 + c * std::cos(w * x) - y * std::sin(w * x)).margin(1e-9));
}

TEST_CASE("twist: left is the mirror of right", "[twist]") {
  const Forging right = forged(twisted(R"(rate = "1 turns/in")")), left = forged(twisted(R"(rate = "1 turns/in", hand = "left")"));
  for (double x = 3; x < 90; x += 3.7) CHECK(stack_at(right.last(), x, 3.1, 2.2) == Approx(stack_at(left.last(), x, -3.1, 2.2)).margin(1e-9));
}

TEST_CASE("twist: on the axis plane a node stands every half turn, squared up or not", "[twist]") {
  // One turn per 25.4 mm: the lines run straight across every 12.7 mm (identity).
  for (const std::string after : {"none", "round", "square"}) {
    const Forging f = forged(twisted("rate = \"1 turns/in\", after = \"" + after + "\""));
    for (int k = 1; k < 7; ++k)
      for (const double y : {-7.0, -2.0, 5.0}) CHECK(stack_at(f.last(), 12.7 * k, y, 0) == Approx(10).margin(1e-6));
    CHECK(std::abs(stack_at(f.last(), 12.7 * 2.5, 5, 0) - 10) > 4);
  }
}

TEST_CASE("twist: a whole turn brings every point of the squared bar back", "[twist]") {
  const Forging f = forged(twisted(R"(rate = "1 turns/in")"));
  for (const double y : {-9.7, -4.0, 0.3, 8.8})
    for (const double z : {-9.0, 1.0, 9.6}) CHECK(stack_at(f.last(), 50.8, y, z) == Approx(z + 10).margin(1e-7));
}

TEST_CASE("twist: part of the bar is twisted, the rest only carried round", "[twist]") {
  const Forging f = forged(twisted(R"(turns = "1 turns", from = "40 mm", to = "65.4 mm")"));
  CHECK(stack_at(f.last(), 20, 5, 3) == Approx(13).margin(1e-7));
  CHECK(stack_at(f.last(), 80, 5, 3) == Approx(13).margin(1e-7));  // a whole turn: as before
  CHECK(std::abs(stack_at(f.last(), 40 + 12.7 / 2, 5, 3) - 13) > 2);
}

TEST_CASE("twist: length, section and volume stay", "[twist]") {
  // Ideal torsion changes neither length nor section (identity); real bars shorten by 2 to 8 % (common practice), not followed.
  const Forging f = forged(twisted(R"(rate = "1 turns/in")"));
  CHECK(f.last().width_mm == Approx(20));
  CHECK(f.last().volume_mm3 == Approx(200 * 40 * 20.0));
  const Forging round = forged(twisted(R"(rate = "1 turns/in", after = "round")"));
  CHECK(round.last().section == Section::round);
  CHECK(round.last().width_mm == Approx(2 * 20 / std::sqrt(kPi)));
}

TEST_CASE("twist: a flat bar and a tearing rate are spoken of", "[twist]") {
  CHECK_THROWS_WITH(forged(exact_recipe(kSquarePile, R"({ do = "twist", rate = "1 turns/in" },)")), Catch::Contains("does not twist evenly"));
  const Forging f = forged(twisted(R"(rate = "2 turns/in")"));  // pi d n = pi * 20 / 12.7 = 4.9
  REQUIRE(f.warnings.size() == 1);
  CHECK(f.warnings[0].text.find("tears") != std::string::npos);
}
