// The conformance suite: what must hold for every step there is, with no line written for a new one.
#include <cmath>
#include <map>
#include <numbers>
#include <random>

#include <fmt/format.h>

#include "base/units.hpp"
#include "catch.hpp"
#include "forge_helpers.hpp"
#include "workpiece/relief.hpp"

using namespace etchcast;

namespace {

/// Steps that need a bar of a certain state first.
std::string before(const std::string& step) {
  static const std::map<std::string, std::string> kBefore = {
      {"twist", "{ do = \"draw\", thickness = \"20 mm\", width = \"20 mm\" },"},
      {"flatten", "{ do = \"groove\", depth = \"1 mm\", spacing = \"9 mm\" },"},
  };
  const auto found = kBefore.find(step);
  return found == kBefore.end() ? "" : found->second;
}

const std::string kThickPile = "stack = [\"dark 3 mm\", \"bright 2 mm\"]\nrepeat = 4\ntop = \"dark 3 mm\"";

std::string line_for(const Step& step, const Example& example) {
  return exact_recipe(kThickPile, before(std::string(step.name)) + std::string(example.line) + ",");
}

/// Points inside the bar as it is, evenly at random.
std::vector<Point<double>> inside(const Bar& bar, int n, unsigned seed) {
  std::mt19937 random(seed);
  std::uniform_real_distribution<double> u(0.001, 0.999);
  std::vector<Point<double>> points;
  while (int(points.size()) < n) {
    Point<double> p{bar.length_mm * u(random), bar.width_mm * (u(random) - 0.5), 0};
    if (bar.section == Section::round && std::abs(p.y) > 0.499 * bar.width_mm) continue;
    const double low = bar.bottom_at(p.x, p.y), high = bar.top_at(p.x, p.y);
    p.z = low + (high - low) * u(random);
    points.push_back(p);
  }
  return points;
}

void load(Batch<double>& b, const std::vector<Point<double>>& points) {
  b = {};
  for (int i = 0; i < kLanes; ++i) {
    b.x[i] = points[i].x, b.y[i] = points[i].y, b.z[i] = points[i].z;
    b.xp[i] = 1, b.yq[i] = 1;
  }
}

template <class Body>
void every_example(const Body& body) {
  for (const Step* step : catalogue())
    for (const Example& example : step->examples) {
      INFO(step->name << ": " << example.line);
      body(*step, example);
    }
}

}  // namespace

TEST_CASE("every step has an example, and every example can be forged", "[steps]") {
  for (const Step* step : catalogue()) {
    INFO(step->name);
    CHECK_FALSE(step->examples.empty());
    CHECK(find_step(step->name) == step);
    CHECK(step->text.size() > 60);
  }
  every_example([](const Step& step, const Example& example) { CHECK_NOTHROW(forged(line_for(step, example))); });
}

TEST_CASE("every key's default lies in its range and is a word of its choices", "[steps]") {
  for (const Step* step : catalogue())
    for (const Parameter& p : step->parameters) {
      INFO(step->name << "." << p.key);
      CHECK(p.text.size() > 10);
      if (p.fallback.empty() || p.unit == Unit::flag) continue;
      if (p.unit == Unit::word) {
        CHECK(("|" + std::string(p.words) + "|").find("|" + std::string(p.fallback) + "|") != std::string::npos);
        continue;
      }
      std::string why;
      const auto value = parse_quantity(p.fallback, p.unit, why);
      REQUIRE(value);
      CHECK(*value >= p.least);
      CHECK(*value <= p.most);
    }
}

TEST_CASE("every range of angles is told in whole degrees, and they are true", "[steps]") {
  for (const Step* step : catalogue())
    for (const Parameter& p : step->parameters) {
      if (p.unit != Unit::angle) continue;
      INFO(step->name << "." << p.key);
      for (const double end : {p.least, p.most}) {
        const double degrees = end * 180 / std::numbers::pi;
        CHECK(std::abs(degrees - std::round(degrees)) < 0.02);
        CHECK(quantity_text(end, Unit::angle) == fmt::format("{:.0f} deg", degrees));
      }
    }
}

TEST_CASE("for every step the way back undoes the way forth", "[steps][property]") {
  every_example([](const Step& step, const Example& example) {
    const Forging f = forged(line_for(step, example), {true});
    auto batch = std::make_unique<Batch<double>>();
    const auto points = inside(f.last(), kLanes, 11);
    load(*batch, points);
    to_flat(f.last(), *batch);
    from_flat(f.last(), *batch);
    for (int i = 0; i < kLanes; ++i)
      CHECK(std::hypot(batch->x[i] - points[i].x, batch->y[i] - points[i].y, batch->z[i] - points[i].z) < 1e-8);
  });
}

TEST_CASE("for every step the map keeps volume, by differences", "[steps][property]") {
  const double h = 1e-5;
  every_example([&](const Step& step, const Example& example) {
    const Forging f = forged(line_for(step, example), {true});
    const auto points = inside(f.last(), kLanes, 12);
    auto plus = std::make_unique<Batch<double>>(), minus = std::make_unique<Batch<double>>();
    double j[3][3][kLanes];
    for (int axis = 0; axis < 3; ++axis) {
      load(*plus, points);
      load(*minus, points);
      for (int i = 0; i < kLanes; ++i) {
        (axis == 0 ? plus->x : axis == 1 ? plus->y : plus->z)[i] += h;
        (axis == 0 ? minus->x : axis == 1 ? minus->y : minus->z)[i] -= h;
      }
      to_flat(f.last(), *plus);
      to_flat(f.last(), *minus);
      for (int i = 0; i < kLanes; ++i) {
        j[0][axis][i] = (plus->x[i] - minus->x[i]) / (2 * h);
        j[1][axis][i] = (plus->y[i] - minus->y[i]) / (2 * h);
        j[2][axis][i] = (plus->z[i] - minus->z[i]) / (2 * h);
      }
    }
    int seams = 0;
    for (int i = 0; i < kLanes; ++i) {
      const double det = j[0][0][i] * (j[1][1][i] * j[2][2][i] - j[1][2][i] * j[2][1][i]) -
                         j[0][1][i] * (j[1][0][i] * j[2][2][i] - j[1][2][i] * j[2][0][i]) +
                         j[0][2][i] * (j[1][0][i] * j[2][1][i] - j[1][1][i] * j[2][0][i]);
      if (std::abs(std::abs(det) - 1) > 1e-4) ++seams;
    }
    CHECK(seams <= 1);  // a difference across the seam of a pile has no meaning
  });
}

TEST_CASE("for every step the carried derivatives are those by differences", "[steps][property]") {
  const double h = 1e-6;
  every_example([&](const Step& step, const Example& example) {
    const Forging f = forged(line_for(step, example), {true});
    const auto points = inside(f.last(), kLanes, 13);
    auto carried = std::make_unique<Batch<double>>(), plus = std::make_unique<Batch<double>>(), minus = std::make_unique<Batch<double>>();
    load(*carried, points);
    load(*plus, points);
    load(*minus, points);
    for (int i = 0; i < kLanes; ++i) plus->x[i] += h, minus->x[i] -= h;
    to_flat(f.last(), *carried);
    to_flat(f.last(), *plus);
    to_flat(f.last(), *minus);
    int off = 0;
    for (int i = 0; i < kLanes; ++i) off += std::abs((plus->z[i] - minus->z[i]) / (2 * h) - carried->zp[i]) > 1e-4;
    CHECK(off <= 2);
  });
}

TEST_CASE("for every step all lanes of a constant batch agree bit for bit", "[steps][property]") {
  every_example([](const Step& step, const Example& example) {
    const Forging f = forged(line_for(step, example), {true});
    const auto points = inside(f.last(), 1, 14);
    auto batch = std::make_unique<Batch<float>>();
    *batch = {};
    for (int i = 0; i < kLanes; ++i) {
      batch->x[i] = float(points[0].x), batch->y[i] = float(points[0].y), batch->z[i] = float(points[0].z);
      batch->xp[i] = 1, batch->yq[i] = 1;
    }
    auto origins = std::make_unique<Origins<float>>();
    f.last().origins(*batch, *origins);
    for (int i = 1; i < kLanes; ++i) {
      CHECK(origins->s[i] == origins->s[0]);
      CHECK(origins->sp[i] == origins->sp[0]);
      CHECK(origins->sq[i] == origins->sq[0]);
    }
  });
}

TEST_CASE("for every step the ledger's volume is the volume between the faces, by Monte Carlo", "[steps][property]") {
  every_example([](const Step& step, const Example& example) {
    const Forging f = forged(line_for(step, example));
    const Bar& bar = f.last();
    std::mt19937 random(15);
    std::uniform_real_distribution<double> u(0, 1);
    const double low = bar.section == Section::round ? -bar.thickness_mm / 2 : bar.bottom->lowest();
    const double high = bar.section == Section::round ? bar.thickness_mm / 2 : bar.top->highest();
    const int n = 40000;
    int hits = 0;
    for (int i = 0; i < n; ++i) {
      const double x = bar.length_mm * u(random), y = bar.width_mm * (u(random) - 0.5), z = low + (high - low) * u(random);
      if (bar.section == Section::round)
        hits += y * y + z * z <= std::pow(bar.thickness_mm / 2, 2);
      else
        hits += z >= bar.bottom_at(x, y) && z <= bar.top_at(x, y);
    }
    const double box = bar.length_mm * bar.width_mm * (high - low), share = double(hits) / n;
    const double noise = 4 * std::sqrt(share * (1 - share) / n);  // four standard deviations
    CHECK(std::abs(bar.volume_mm3 / box - share) < noise + 2e-4);
  });
}

TEST_CASE("bulk steps keep the ledger's volume; the rest book what they take", "[steps]") {
  every_example([](const Step& step, const Example& example) {
    const Forging f = forged(line_for(step, example));
    const auto& rows = f.billets[0].rows;
    const LedgerRow &last = rows.back(), &previous = rows[rows.size() - 2];
    CHECK(last.volume_mm3 + last.removed_mm3 == Approx(previous.volume_mm3).epsilon(1e-9));
    if (step.kind != Kind::cut) CHECK(last.removed_mm3 == Approx(0).margin(1e-6 * previous.volume_mm3));
  });
}

TEST_CASE("working flat steps into the band list changes nothing", "[steps][property]") {
  const std::string steps = R"(
    { do = "weld" }, { do = "draw", thickness = "9 mm", width = "40 mm" }, { do = "restack", pieces = 3, flip = "over" },
    { do = "weld" }, { do = "turn", by = "180 deg" }, { do = "grind", depth = "0.7 mm", faces = "top" }, { do = "fold" }, { do = "weld" },
    { do = "draw", thickness = "8 mm" }, { do = "press", spacing = "14 mm", depth = "1 mm" }, { do = "grind", thickness = "5 mm" },)";
  const Forging quick = forged(exact_recipe(kThickPile, steps)), slow = forged(exact_recipe(kThickPile, steps), {true});
  CHECK(quick.last().maps.size() < slow.last().maps.size());
  const auto points = inside(quick.last(), 2000, 16);
  const auto a = quick.last().picks(points), b = slow.last().picks(points);
  int differ = 0;
  for (size_t i = 0; i < a.size(); ++i) differ += a[i].steel != b[i].steel;
  CHECK(differ <= 1);  // a point on an edge may fall either way
}
