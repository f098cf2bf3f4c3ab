// Twisted bars against the closed form s = c cos(wx) - y sin(wx).
#include <algorithm>
#include <cmath>
#include <memory>
#include <random>

#include "catch.hpp"
#include "check_helpers.hpp"
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

TEST_CASE("twist: a flat bar is refused, and told how to be squared", "[twist]") {
  CHECK_THROWS_WITH(forged(exact_recipe(kSquarePile, R"({ do = "twist", rate = "1 turns/in" },)")), Catch::Contains("only a square or round bar twists evenly"));
}

TEST_CASE("twist: left with its corners, a bar keeps its metal", "[twist]") {
  // Identity: turned section by section, 20 x 20 x L mm stay what they were. Counted where the metal came from the square bar.
  const Forging f = forged(twisted(R"(rate = "1 turns/in", after = "none")"));
  const LedgerRow& row = f.billets[0].rows.back();
  CHECK(row.volume_mm3 == Approx(200 * 40 * 20.0));
  CHECK(row.removed_mm3 == Approx(0).margin(1e-6));
  CHECK(row.mass_g == Approx(f.billets[0].rows[1].mass_g));
  std::mt19937 random(21);
  std::uniform_real_distribution<double> u(0, 1);
  const double box = 20 * std::sqrt(2.0), length = f.last().length_mm;
  auto batch = std::make_unique<Batch<double>>();
  int hits = 0, n = 0;
  for (; n < 200 * kLanes; n += kLanes) {
    *batch = {};
    for (int i = 0; i < kLanes; ++i) batch->x[i] = length * u(random), batch->y[i] = box * (u(random) - 0.5), batch->z[i] = box * (u(random) - 0.5);
    f.last().maps.back()->before_from_after(*batch);
    for (int i = 0; i < kLanes; ++i) hits += std::abs(batch->y[i]) <= 10 && std::abs(batch->z[i]) <= 10;
  }
  CHECK(length * box * box * hits / n == Approx(row.volume_mm3).epsilon(0.02));
}

TEST_CASE("twist: a bar left with its corners is not worked on as if they were gone", "[twist]") {
  for (const std::string step : {"draw\", thickness = \"9 mm", "grind\", thickness = \"9 mm", "trim\", ends = \"9 mm", "upset\", length = \"90 mm"})
    CHECK_THROWS_WITH(forged(twisted("rate = \"1 turns/in\", after = \"none\" }, { do = \"" + step + "\"")), Catch::Contains("corners"));
}

TEST_CASE("twist: how much shorter a real bar gets is told", "[twist]") {
  // Value from memory of the trade: 2 to 8 %; the bar here is 400 mm long.
  const auto notes = forged(twisted(R"(rate = "1 turns/in")")).billets[0].rows.back().notes;
  CHECK(std::any_of(notes.begin(), notes.end(), [](const std::string& note) { return note.find("8.0 mm (0.31 in) to 32.0 mm") != std::string::npos; }));
}

TEST_CASE("check: what a twist bears goes by its corners, its heat and its steel", "[twist][check]") {
  const auto found = [](const std::string& side, const std::string& keys, const std::string& steel = "1084") {
    std::string text = exact_recipe("stack = [\"dark 20 mm\", \"bright 20 mm\"]", "{ do = \"weld\" }, { do = \"draw\", thickness = \"" + side +
                                    "\", width = \"" + side + "\" }, { do = \"twist\", " + keys + " },");
    text.replace(text.find("1084"), 4, steel);
    return checked(text);
  };
  // Value from memory of the trade: 1090 to 1230 C (2000 to 2250 F), 2 to 4 turns an inch on 10 to 13 mm are tight and done.
  CHECK(warned(found("20 mm", R"(rate = "0.5 turns/in", heat = "930 C")"), "930 C (1710 F) is cold for a twist"));
  CHECK(!find(found("20 mm", R"(rate = "0.5 turns/in", heat = "2000 F")"), "is cold for a twist"));
  const auto half_inch = found("12.7 mm", R"(rate = "1.9 turns/in", heat = "1200 C")");
  CHECK(!warned(half_inch, "shears"));
  // Identity: 2 pi 1.9 turns an inch times 6.35 mm, and times its diagonal.
  CHECK(find(half_inch, "shears the flats by 3.0 and the corners by 4.2"));
  CHECK(!warned(found("12 mm", R"(rate = "4 turns/in", heat = "1230 C")"), "tears"));
  CHECK(warned(found("12 mm", R"(rate = "4 turns/in", heat = "1090 C")"), "It tears: first its corners open"));
  // Rods of 3/8 in for gun barrels took 8 turns an inch and more at welding heat (value from memory of the trade).
  CHECK(!warned(found("9.5 mm", R"(turns = "8 turns", from = "100 mm", to = "125.4 mm", heat = "1260 C")"), "It tears"));
  CHECK(warned(found("20 mm", R"(rate = "2 turns/in", heat = "1090 C")"), "corners open"));
  CHECK(warned(found("20 mm", R"(rate = "1.5 turns/in", heat = "1200 C")", "420"), "cold shuts"));
  CHECK(!warned(found("20 mm", R"(rate = "1.5 turns/in", heat = "1200 C")"), "cold shuts"));
}
