// Single tools: where they stand, how finely they are told and within which bounds; holes and their volume.
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <fstream>

#include <fmt/format.h>

#include "base/noise.hpp"
#include "catch.hpp"
#include "forge_helpers.hpp"
#include "workpiece/drilling.hpp"
#include "workpiece/layering.hpp"
#include "workpiece/relief.hpp"

using namespace etchcast;

namespace {

constexpr double kPi = 3.14159265358979323846;
const Measures kSay(System::metric);
const std::string kEight = "stack = [\"dark 0.5 mm\", \"bright 0.5 mm\"]\nrepeat = 8";  // 8 mm

Forging forge_bar(const std::string& steps, const std::string& size = "width = \"40 mm\"\nlength = \"200 mm\"\n",
                  const ForgeOptions& options = {}) {
  return forged(exact_recipe(kEight, steps, "", size), options);
}

std::string refusal(const std::string& steps) {
  try {
    forge_bar(steps);
  } catch (const Error& error) {
    return error.diagnostics().front().message + " / " + error.diagnostics().front().hint;
  }
  return "";
}

GridNeed need_of(double length, double width, double reach, double far, bool preview) {
  return {length, width, far, reach / 10, reach / 6.5, preview, "studs"};
}

/// Nodes of the grid, or 0 if it is refused.
size_t nodes(Pattern pattern, const GridNeed& need) {
  try {
    return grid_of(pattern, need, kSay).grid.size();
  } catch (const Error&) {
    return 0;
  }
}

/// Volume of one hole by the books: holes at the corners of squares of 20 mm, in a bar of 200 x 40 mm, are 20 in all.
double booked(const std::string& keys) {
  const Forging f =
      forge_bar("{ do = \"drill\", " + keys + R"(, spacing = "20 mm", set = "square", sides = "top" },)");
  return (200 * 40 * 8.0 - f.last().volume_mm3) / 20;
}

}  // namespace

TEST_CASE("tools: tables never have more nodes than is allowed, and a preview refuses nothing more", "[tools][property]") {
  int refused = 0, laid = 0;
  for (const auto set : {Pattern::Set::hexagonal, Pattern::Set::square, Pattern::Set::random})
    for (const double spacing : {1.0, 5.0, 12.0, 60.0, 500.0})
      for (const double reach : {0.05, 0.4, 2.6, 14.0})
        for (const double length : {60.0, 180.0, 5000.0, 20000.0})
          for (const double width : {20.0, 80.0, 1000.0}) {
            const double far = std::max(3.2 * reach, 10.0);
            const size_t full = nodes({set, spacing}, need_of(length, width, reach, far, false));
            const size_t quick = nodes({set, spacing}, need_of(length, width, reach, far, true));
            CHECK(full <= 1.2 * kMostNodes);  // sizes are rounded up to what transforms fast
            CHECK(quick <= 1.2 * kMostNodes);
            CHECK((full == 0 || quick > 0));
            CHECK((full == 0 || quick <= 1.2 * double(full)));
            ++(full ? laid : refused);
          }
  CHECK(laid > 400);
  CHECK(refused > 20);
}

TEST_CASE("tools: a regular set is told by one repeat however long the bar, a lone tool by no more than the bar",
          "[tools]") {
  Pattern close{Pattern::Set::hexagonal, 10}, far{Pattern::Set::hexagonal, 500};
  const Grid2 one = grid_of(close, need_of(20000, 80, 2.6, 8, false), kSay).grid;
  CHECK(one.wide == Approx(10));
  CHECK(one.high == Approx(20 * std::sqrt(0.75)));
  const Grid2 bar = grid_of(far, need_of(180, 80, 2.6, 15, false), kSay).grid;
  CHECK(bar.wide < 180 * 1.25 + 61);
  CHECK(bar.high < 80 + 61);
  CHECK(far.nearest(0, 0) == Approx(0));
  CHECK(far.nearest(250, 40) > 200);  // the next ones stand off the bar, where they do nothing
}

TEST_CASE("tools: what stands alone leaves the same on a bar as in an endless set", "[tools]") {
  // Square sets 60 mm apart repeat within the bar, 500 mm apart they do not; about the stud at the heel both are alike.
  const auto dimpled = [](const char* spacing) {
    return forge_bar(fmt::format(R"({{ do = "dimple", depth = "1 mm", spacing = "{}", set = "square", sides = "top" }},)", spacing));
  };
  const Forging near = dimpled("60 mm"), alone = dimpled("500 mm");
  for (double r = 0.1; r < 14; r += 0.7) {
    CHECK(alone.last().top_at(r, 0) == Approx(near.last().top_at(r, 0)).margin(0.02));  // a rim's kink
    const double z = 2.5;
    CHECK(stack_at(alone.last(), r, 0.3, z) == Approx(stack_at(near.last(), r, 0.3, z)).margin(0.005));
  }
  // Far from it nothing happens.
  CHECK(alone.last().top_at(120, 10) == Approx(4).margin(2e-3));
  CHECK(alone.last().length_mm == Approx(200).margin(0.15));
}

TEST_CASE("tools: a crowded random set comes again after a while, and the ledger says so", "[tools]") {
  const Forging f = forge_bar(R"({ do = "dimple", radius = "0.6 mm", depth = "0.2 mm", spacing = "1.3 mm", set = "random" },)");
  const auto& notes = f.billets[0].rows.back().notes;
  const std::string said = notes.empty() ? "" : notes.front();
  CHECK(said.find("the random set comes again after") != std::string::npos);
  INFO(said);
  CHECK(said.find(" in)") != std::string::npos);
  const Forging sparse = forge_bar(R"({ do = "dimple", radius = "4 mm", depth = "0.8 mm", spacing = "12 mm", set = "random" },)");
  for (const std::string& note : sparse.billets[0].rows.back().notes) CHECK(note.find("comes again") == std::string::npos);
}

TEST_CASE("tools: places of a random set keep the distance that is asked of them", "[tools][property]") {
  for (const double least : {1.0, 6.0, 9.0, 11.9})
    for (unsigned seed = 1; seed < 40; ++seed) {
      Pattern p{Pattern::Set::random, 12, false, seed};
      keep_apart(p, least);
      CHECK(p.least_apart() >= std::min(least, 12 * 0.43));
      // Walk to a place, then look for the next nearest one.
      for (int i = 0; i < 6; ++i) {
        double x = 12 * i, y = 0, step = 2;
        while (step > 1e-7) {
          double best = p.nearest(x, y), bx = x, by = y;
          for (int k = 0; k < 8; ++k) {
            const double tx = x + step * std::cos(k * kPi / 4), ty = y + step * std::sin(k * kPi / 4);
            if (p.nearest(tx, ty) < best) best = p.nearest(tx, ty), bx = tx, by = ty;
          }
          if (bx == x && by == y) step /= 2;
          x = bx, y = by;
        }
        double squares[Pattern::kNear];
        const int count = p.near(x, y, squares);
        std::sort(squares, squares + count);
        REQUIRE(squares[0] < 1e-10);
        CHECK(std::sqrt(squares[1]) >= least - 1e-6);
      }
    }
}

TEST_CASE("tools: where blows crowd, all that can reach a place do", "[tools]") {
  // Against the blows of a surrounding three times as wide, thrown anew.
  const Blows b{60, 3, 0.6, 5};
  const auto noise = [](int i, int j, int k) { return hash_bits(5, i, j, k) * 0x1p-32; };
  for (double x = 50; x < 60; x += 0.37)
    for (double y = -3; y < 3; y += 0.71) {
      double weight = 0;
      const double soft = 0.6 / 14;
      for (int j = -14; j <= 14; ++j)
        for (int i = 4; i <= 34; ++i) {
          const double px = (i + noise(i, j, 0)) * 3, py = (j + noise(i, j, 1)) * 3, own = 0.6 * (0.4 + 0.6 * noise(i, j, 2));
          weight += std::exp((own - (std::pow(x - px, 2) + std::pow(y - py, 2)) / 120) / soft);
        }
      CHECK(b.reach(x, y) == Approx(soft * std::log(weight)).margin(2e-4));
    }
}

TEST_CASE("tools: blows too close for their crown are refused, by either flow", "[tools]") {
  for (const char* flow : {"metal", "plane"}) {
    const std::string said =
        refusal(fmt::format(R"({{ do = "hammer", crown = "300 mm", depth = "0.6 mm", spacing = "1 mm", flow = "{}" }},)", flow));
    CHECK(said.find("fall too close") != std::string::npos);
    CHECK(said.find("set the blows at least 3.8 mm (0.15 in) apart") != std::string::npos);
  }
  CHECK(refusal(R"({ do = "hammer", crown = "2 mm", depth = "0.01 mm", spacing = "500 mm" },)").find("make them") !=
        std::string::npos);
}

TEST_CASE("holes: the books take out what the drill does", "[tools]") {
  // Identity: cone and cylinder, cap of a ball. A cone of 118 degrees on a radius of 3 mm is 1.803 mm high.
  const double high = 3 / std::tan(59 * kPi / 180), cone = kPi * 9 * high / 3;
  const double within = 0.004;  // of the volume
  CHECK(booked(R"(diameter = "6 mm", depth = "3 mm")") == Approx(cone + kPi * 9 * (3 - high)).epsilon(within));
  CHECK(booked(R"(diameter = "6 mm", depth = "1.5 mm")") == Approx(cone * std::pow(1.5 / high, 3)).epsilon(within));
  CHECK(booked(R"(diameter = "6 mm", depth = "2 mm", point = "180 deg")") == Approx(kPi * 9 * 2).epsilon(within));
  CHECK(booked(R"(diameter = "3 mm", depth = "2 mm", point = "90 deg")") == Approx(kPi * 2.25 * (0.5 + 0.5)).epsilon(within));
  CHECK(booked(R"(diameter = "8 mm", depth = "1.5 mm", ball = true)") == Approx(kPi * 2.25 * (12 - 1.5) / 3).epsilon(within));
}

TEST_CASE("holes: as deep as the key tells, with upright walls", "[tools]") {
  const Forging f = forge_bar(R"({ do = "drill", diameter = "6 mm", depth = "3 mm", spacing = "20 mm", sides = "top" },)");
  const Bar& bar = f.last();
  CHECK(bar.top_at(100, 0) == Approx(1).margin(0.02));
  CHECK(bar.top_at(102, 0) == Approx(1 + 2 / std::tan(59 * kPi / 180)).margin(0.01));
  CHECK(bar.top_at(102.6, 0) == Approx(1 + 2.6 / std::tan(59 * kPi / 180)).margin(0.03));
  CHECK(bar.top_at(103.4, 0) == Approx(4).margin(0.02));
  const Hole hole{3, 3};
  CHECK(hole.rim() == Approx(3));
  CHECK(hole.wall_height() == Approx(3 - 3 / std::tan(59 * kPi / 180)).epsilon(1e-6));
  CHECK(Hole{3, 1}.rim() == Approx(std::tan(59 * kPi / 180)).epsilon(1e-6));
  CHECK(Hole{3, 1}.wall_height() == 0);
}

TEST_CASE("holes: a closed hole's eye has the metal of its floor, and nothing shows on the far face", "[tools]") {
  const Forging f = forge_bar(R"({ do = "drill", diameter = "6 mm", depth = "2 mm", point = "180 deg", spacing = "12 mm", sides = "top" },
                                 { do = "flatten" },)");
  const Bar& bar = f.last();
  const double grown = bar.length_mm / 200, x = 12 * 8 * grown;
  CHECK(stack_at(bar, x, 0, bar.top_at(x, 0) - 1e-3) == Approx(6).margin(0.05));
  // Below the point of a drill layers lie level on the far side: no spot stands under it.
  const Forging both = forge_bar(R"({ do = "drill", diameter = "7 mm", depth = "1.9 mm", spacing = "12 mm", set = "square" },
                                    { do = "flatten", thickness = "4.9 mm" },)");
  const Bar& two = both.last();
  const double over = two.length_mm / 200 * (12 * 8 + 6), half = two.top->highest();
  double least = 1e9, most = -1e9;
  for (double r = 0; r < 1.5; r += 0.1) {
    const double s = stack_at(two, over, 6 + r, half - 0.5);
    least = std::min(least, s), most = std::max(most, s);
  }
  CHECK(most - least < 0.03);
}

TEST_CASE("holes and grooves that overlap are refused before anything is worked out", "[tools]") {
  const std::string holes = refusal(R"({ do = "drill", depth = "2.5 mm", spacing = "1 mm" }, { do = "flatten" },)");
  CHECK(holes.find("they overlap, and nothing is left between them") != std::string::npos);
  CHECK(holes.find("at least 6.3 mm (0.25 in) apart") != std::string::npos);
  CHECK(refusal(R"({ do = "drill", diameter = "100 mm", depth = "1.5 mm", point = "180 deg", spacing = "12 mm" },)").find("overlap") !=
        std::string::npos);
  const std::string grooves =
      refusal(R"({ do = "groove", profile = "round", radius = "4 mm", depth = "2 mm", spacing = "6 mm" }, { do = "flatten" },)");
  CHECK(grooves.find("they overlap") != std::string::npos);
  CHECK(grooves.find("less than 1.35 mm") != std::string::npos);
  CHECK(refusal(R"({ do = "groove", profile = "square", floor = "9 mm", depth = "1 mm", spacing = "8 mm" },)").find("narrower cutter") !=
        std::string::npos);
  CHECK(refusal(R"({ do = "groove", profile = "vee", depth = "1 mm", spacing = "8 mm" },)").empty());
  // Random holes only stray as far as there is room.
  CHECK(refusal(R"({ do = "drill", depth = "2.5 mm", spacing = "7 mm", set = "random" },)").empty());
}

TEST_CASE("faces: shapes too small for the bar's table are refused, not blurred", "[tools]") {
  CHECK(refusal(R"({ do = "dimple", radius = "0.2 mm", depth = "0.05 mm", spacing = "1 mm", flow = "plane" },)")
            .find("too many of them") != std::string::npos);
  CHECK(refusal(R"({ do = "dimple", radius = "4 mm", depth = "1 mm", spacing = "10 mm", flow = "plane" },)").empty());
}

TEST_CASE("relief: a repeating face, turned over and planed, is what it says", "[tools]") {
  Grid2 g;
  g.wide = 10, g.high = 8, g.columns = 40, g.rows = 32;
  std::vector<double> heights;
  for (size_t i = 0; i < g.size(); ++i)
    heights.push_back(3 + 0.5 * std::cos(2 * kPi * g.x(i) / 10) + 0.2 * std::sin(2 * kPi * g.y(i) / 8));
  const auto height = [](double x, double y) {
    return 3 + 0.5 * std::cos(2 * kPi * x / 10) + 0.2 * std::sin(2 * kPi * y / 8);
  };
  const Relief face = Relief::repeating(g, heights, 500, 60), over = face.turned_over().raised(0.1), cut = face.planed(3.2, true);
  CHECK(face.lowest() == Approx(2.3).margin(1e-9));
  CHECK(face.highest() == Approx(3.7).margin(1e-9));
  CHECK(cut.highest() == 3.2);
  CHECK(cut.turned_over().lowest() == -3.2);
  const double h = 1e-5;
  for (double x = 1; x < 480; x += 37.3)
    for (double y = -29; y < 29; y += 4.7) {
      CHECK(face(x, y) == Approx(height(x, y)).margin(1e-4));
      CHECK(over(x, y) == Approx(0.1 - height(x, -y)).margin(1e-4));
      CHECK(cut(x, y) == Approx(std::min(3.2, height(x, y))).margin(1e-4));
      const auto s = over.sample(x, y);
      CHECK(s.slope_x == Approx((over(x + h, y) - over(x - h, y)) / (2 * h)).margin(1e-5));
      CHECK(s.slope_y == Approx((over(x, y + h) - over(x, y - h)) / (2 * h)).margin(1e-5));
    }
  // Highest and lowest are told of the bar, not of what repeats beyond it.
  CHECK(Relief::repeating(g, heights, 1, 1).lowest() > 3.3);
}

TEST_CASE("layers of many tools are kept on disk, and what is found is what was made", "[tools]") {
  namespace fs = std::filesystem;
  const fs::path home = fs::temp_directory_path() / "etchcast-test-layers";
  fs::remove_all(home);
  const char* old = std::getenv("XDG_CACHE_HOME");
  const std::string before = old ? old : "";
  setenv("XDG_CACHE_HOME", home.c_str(), 1);
  const std::string steps = R"({ do = "hammer", crown = "10 mm", depth = "0.3 mm", spacing = "4 mm" },)";
  const auto points = [&] {
    const Forging f = forge_bar(steps);
    std::vector<double> s;
    for (double x = 3; x < 190; x += 7.1) s.push_back(stack_at(f.last(), x, 2, 3.1)), s.push_back(f.last().top_at(x, 5));
    s.push_back(f.last().length_mm);
    return s;
  };
  const auto made = points();
  const auto files = [&] { return std::distance(fs::directory_iterator(home / "etchcast"), fs::directory_iterator()); };
  REQUIRE(files() == 1);
  const fs::path kept = fs::directory_iterator(home / "etchcast")->path();
  const auto written = fs::last_write_time(kept);
  CHECK(points() == made);
  CHECK(fs::last_write_time(kept) == written);
  // Damaged or cut short it counts as absent.
  std::fstream(kept, std::ios::in | std::ios::out | std::ios::binary).seekp(5000) << "rust";
  CHECK(points() == made);
  fs::resize_file(kept, fs::file_size(kept) / 2);
  CHECK(points() == made);
  before.empty() ? unsetenv("XDG_CACHE_HOME") : setenv("XDG_CACHE_HOME", before.c_str(), 1);
  fs::remove_all(home);
}
