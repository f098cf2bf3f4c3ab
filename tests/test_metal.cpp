// The metal's flow against the finite-element reference.
#include <fstream>
#include <map>
#include <sstream>
#include <vector>

#include <fmt/format.h>

#include "catch.hpp"
#include "metal_helpers.hpp"

using namespace metal_test;

namespace {

struct Row {
  std::string name, friction, m;
  std::vector<double> numbers;
};

std::vector<Row> rows_of(const std::string& file) {
  std::ifstream in(std::string(ETCHCAST_SOURCE_DIR) + "/tests/data/" + file);
  std::string line, cell;
  std::getline(in, line);
  std::vector<Row> rows;
  while (std::getline(in, line)) {
    std::stringstream cells(line);
    Row row;
    std::getline(cells, row.name, ','), std::getline(cells, row.friction, ','), std::getline(cells, row.m, ',');
    while (std::getline(cells, cell, ',')) row.numbers.push_back(std::stod(cell));
    rows.push_back(row);
  }
  return rows;
}

std::string key(const Row& r) { return r.name + " " + r.friction + " m = " + r.m; }

/// Table of a case of the reference, each solved once.
const FlowTable& table_of(const Row& r) {
  static std::map<std::string, Flow> solved;
  auto& flow = solved[key(r)];
  if (!flow.table) {
    const Problem p = pressing(r.name, 1, 0.2, r.friction == "noslip", std::stod(r.m));
    flow = solve(p, fineness_for(p));
  }
  return *flow.table;
}

struct Error2 {
  double squares = 0;
  int count = 0;
  double percent_of_depth() const { return 100 * std::sqrt(squares / count) / 0.2; }
};

}  // namespace

TEST_CASE("metal: layer heights follow the finite-element reference", "[metal]") {
  // Reference computed for this project with another scheme (mixed velocity and pressure); tests/data/README.md.
  std::map<std::string, Error2> errors;
  for (const Row& r : rows_of("metal_layers.csv")) {
    const FlowTable& t = table_of(r);
    const double c = r.numbers[0], x = r.numbers[1] * 2 * t.half_after(), z = r.numbers[2];
    auto& e = errors[key(r)];
    e.squares += std::pow(t.jet(x, c).x - z, 2), ++e.count;
  }
  REQUIRE(errors.size() == 16);
  for (const auto& [name, e] : errors) {
    INFO(fmt::format("{}: {:.3f} % of the depth", name, e.percent_of_depth()));
    CHECK(e.count == 187);
    // Under sticking staggered ridges at m = 0.2 the reference itself is good to some per cent.
    const bool weak = name == "E noslip m = 0.2";
    CHECK(e.percent_of_depth() < (weak ? 4 : name[0] == 'E' || name[0] == 'D' ? 2 : 1));
  }
}

TEST_CASE("metal: the plane ground at the lowest groove shows what the reference shows", "[metal]") {
  std::map<std::string, Error2> errors;
  for (const Row& r : rows_of("metal_ground.csv")) {
    const FlowTable& t = table_of(r);
    CHECK(t.lengthening() == Approx(r.numbers[0]).epsilon(0.01));
    auto& e = errors[key(r)];
    e.squares += std::pow(line_at(t, r.numbers[2] * 2 * t.half_after(), r.numbers[1]) - r.numbers[3], 2), ++e.count;
  }
  REQUIRE(errors.size() == 16);
  for (const auto& [name, e] : errors) {
    INFO(fmt::format("{}: {:.3f} % of the depth", name, e.percent_of_depth()));
    CHECK(e.percent_of_depth() < (name[0] == 'E' ? 4 : 2));
  }
}

TEST_CASE("metal: lengthening and visible relief of other spacings, depths and of held ends", "[metal]") {
  // The same reference. Visible relief: depth below the old face from which metal stands midway between the grooves
  // when these are just ground away, over the die's depth.
  struct State {
    const char* name;
    double repeat, depth;
    bool sticks;
    double m, lengthening, relief;
  };
  for (const State& s : {State{"D", 0.5, 0.2, true, 1, 1.164, 0.51}, State{"D", 2, 0.1, false, 0.2, 1.022, 0.98},
                         State{"D", 1, 0.3, false, 1, 1.188, 0.78}, State{"E", 0.5, 0.1, false, 0.2, 1.095, 0.77},
                         State{"E", 2, 0.2, false, 1, 1.062, 1.52}, State{"E", 2, 0.2, true, 0.2, 1.051, 1.48},
                         State{"E", 1, 0.1, true, 0.2, 1.064, 0.92}, State{"D0", 1, 0.2, true, 0.2, 1, 1.33},
                         State{"E0", 1, 0.1, false, 1, 1, 1.51}, State{"A", 0.5, 0.3, false, 0.2, 1 / 0.85, 0.69},
                         State{"B", 2, 0.2, true, 1, 1 / 0.8, 1.10}, State{"C", 1, 0.3, true, 1, 1 / 0.7, 1.23}}) {
    INFO(fmt::format("{} repeat {} depth {} {} m = {}", s.name, s.repeat, s.depth, s.sticks ? "sticks" : "slips", s.m));
    const Problem p = pressing(s.name, s.repeat, s.depth, s.sticks, s.m);
    const auto t_kept = solve(p, fineness_for(p)).table;
    const FlowTable& t = *t_kept;
    CHECK(t.lengthening() == Approx(s.lengthening).epsilon(0.01));
    double lowest = 1;
    for (int i = 0; i <= 200; ++i) lowest = std::min(lowest, t.jet(t.half_after() * i / 200, 1.0).x);
    CHECK((1 - line_at(t, t.half_after(), lowest)) / s.depth == Approx(s.relief).margin(0.025));
  }
}

TEST_CASE("metal: an independent calculation with other elements agrees", "[metal]") {
  // FreeFEM, Taylor-Hood elements; script and results: tests/data/metal_check.edp, metal_freefem.csv.
  std::map<std::string, Error2> errors;
  std::map<std::string, Flow> flows;
  for (const Row& r : rows_of("metal_freefem.csv")) {
    auto& flow = flows[key(r)];
    const bool ridges = r.name == "ridges";
    const double unit = ridges ? 1 : 0.9;  // mean thickness before
    if (!flow.table) {
      Problem p = pressing("E", 1, 0.2, r.friction == "noslip", std::stod(r.m));
      if (!ridges) {
        p.half_repeat = 0.5 / unit;
        p.bottom = Tool{}, p.top = Tool{};
        p.top_before = [=](double xi) { return (1 - 0.1 * (1 + std::cos(kPi * xi))) / unit; };
        p.top.depth = 0.2 / unit;
      }
      flow = solve(p, fineness_for(p));
    }
    auto& e = errors[key(r)];
    const double x = r.numbers[1] * 2 * flow.table->half_after();
    e.squares += std::pow(flow.table->jet(x, r.numbers[0]).x * unit - r.numbers[2], 2), ++e.count;
  }
  REQUIRE(errors.size() == 5);
  for (const auto& [name, e] : errors) {
    INFO(fmt::format("{}: {:.3f} % of the depth", name, e.percent_of_depth()));
    CHECK(e.count >= 153);
    CHECK(e.percent_of_depth() < (name[0] == 'r' ? 2 : 1));
  }
}
