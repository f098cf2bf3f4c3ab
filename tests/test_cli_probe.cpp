// The numbers that the program tells of single points, lines and sections.

#include <algorithm>
#include <cmath>

#include "cli_helpers.hpp"
#include "forge_helpers.hpp"

using namespace etchcast;

TEST_CASE("cli: probe tells points of a side, of a line, of the bar and of a section as CSV", "[cli]") {
  Workshop shop;
  with_recipe(shop);
  const std::string heading = "blade_x_mm,blade_y_mm,x_mm,y_mm,z_mm,stack_mm,billet,layer,steel\n";
  const Answer at = etchcast_in(shop, "probe ladder.toml --side left --at 75,12.5 --at -10,20");
  INFO(at.out);
  CHECK(at.code == 0);
  CHECK(at.out.starts_with(heading + "75.0000,12.5000,"));
  CHECK(std::count(at.out.begin(), at.out.end(), '\n') == 3);
  const Answer line = etchcast_in(shop, "probe ladder.toml --line 0,10:160,10 --count 17");
  CHECK(std::count(line.out.begin(), line.out.end(), '\n') == 18);
  CHECK(holds(line.out, "160.0000,10.0000,,,,,,,\n"));  // past the tip
  CHECK(
      etchcast_in(shop, "probe ladder.toml --inside 60,0,0.5").out.starts_with(heading + ",,60.0000,0.0000,0.500000,"));
  const Answer section = etchcast_in(shop, "probe ladder.toml --section 60 --step 1");
  CHECK(std::count(section.out.begin(), section.out.end(), '\n') == 12);  // eleven plates
  CHECK(holds(section.out, "\n11,60.0000,0.0000,"));
}

TEST_CASE("cli: exact cases hold through the program too", "[cli][twist][ladder]") {
  // Identities: twist s = c cos wx - y sin wx; plane sections s = T (z - zb) / h. Cells are told to 1e-4 mm or finer.
  Workshop shop;
  const auto stack = [&](const std::string& words) {
    const std::string out = etchcast_in(shop, words).out, row = out.substr(out.find('\n') + 1);
    size_t at = 0;
    for (int comma = 0; comma < 5; ++comma) at = row.find(',', at) + 1;
    return std::stod(row.substr(at));
  };
  const std::string pile = "stack = [\"dark 4 mm\", \"bright 4 mm\"]\nrepeat = 2\ntop = \"dark 4 mm\"";
  shop.write("twist.toml", exact_recipe(pile, R"({ do = "draw", thickness = "20 mm", width = "20 mm" }, { do = "twist", rate = "1 turns/in", after = "none" })"));
  const double w = 2 * 3.14159265358979 / 25.4;
  for (const double x : {31.0, 57.3})
    CHECK(stack("probe twist.toml --inside " + std::to_string(x) + ",4.5,2.5") == Approx(10 + 2.5 * std::cos(w * x) - 4.5 * std::sin(w * x)).margin(2e-4));
  shop.write("sine.toml", exact_recipe(kFivePlates, R"({ do = "press", die = "sine", spacing = "12 mm", depth = "1.5 mm", sides = "top", flow = "plane" })"));
  for (const double x : {30.0, 34.5}) {
    const double h = 10 - 0.75 * (1 + std::cos(2 * 3.14159265358979 * x / 12));
    CHECK(stack("probe sine.toml --inside " + std::to_string(x) + ",3,1.5") == Approx(10 * (1.5 + 5) / h).margin(2e-4));
  }
}

TEST_CASE("cli: probe refuses places where there is no metal and numbers it cannot read", "[cli]") {
  Workshop shop;
  with_recipe(shop);
  for (const char* words : {"--at 500,10", "--at 75,80", "--at 75", "--at 75,1,2", "--at a,b", "--at nan,1",
                            "--line 0,1", "--line 0,1:2", "--inside 1,2", "--inside 60,0,50", "--inside -5,0,0",
                            "--section 9999", "--section 60 --across 99", "--section 60 --at 1,2", "--at 1,10 --step 2",
                            "--section 5 --step nostep", "--line 0,1:2,3 --count 0", "--side up --at 1,2"}) {
    const Answer answer = etchcast_in(shop, std::string("probe ladder.toml ") + words);
    INFO(words << ": " << answer.out);
    CHECK(answer.code == 2);
  }
}
