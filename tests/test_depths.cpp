// How deep one may grind: the strips are what a grinder would lay bare, the lines are those that the layers say.

#include "catch.hpp"
#include "etchcast/output.hpp"
#include "forging/layers.hpp"
#include "plate/depths.hpp"
#include "workpiece/relief.hpp"

using namespace etchcast;

namespace {

Recipe pattern(const std::string& name) {
  return read_recipe(std::string(ETCHCAST_SOURCE_DIR) + "/patterns/" + name + ".toml");
}

Layout sheet_of(const Recipe& recipe, const Forging& forging, const std::string& at) {
  RenderOptions options;
  options.view = Looking::depths, options.at = at, options.px_per_mm = 8;
  return lay_out(recipe, forging, options);
}

}  // namespace

TEST_CASE("depths: a plane shows the same metal as the face of the bar ground down to it", "[depths]") {
  const Recipe recipe = pattern("ladder-lost");
  const Forging forging = forge(recipe);
  // The recipe grinds both faces of its pressed bar: the ground bar's top is a plane of the pressed one.
  const auto& bars = forging.billets.back().bars;
  const Bar &ground = *bars.back(), &pressed = *bars[find_moment(forging, "ladder").step];
  const double x = ground.length_mm / 2;
  int same = 0, all = 0;
  for (double u = -30; u < 30; u += 0.37)
    for (double y = -8; y < 8; y += 1.9, ++all) {
      const Point<double> face{x + u, y, ground.thickness_mm / 2 - 1e-4};
      const auto there = traced_back(ground, pressed, face);
      REQUIRE(there);
      const auto plane = plane_view(pressed, there->z, {there->x, there->x + 1}, {there->y, there->y + 1});
      Batch<double> batch{};
      float right[kLanes], up[kLanes];
      const double zero = 0;
      plane->points(&zero, &zero, 1, batch, right, up);
      const Pick seen = pressed.picks({{batch.x[0], batch.y[0], batch.z[0]}}).front(),
                 want = ground.picks({face}).front();
      same += seen.layer == want.layer && std::abs(seen.s - want.s) < 1e-6;
    }
  CHECK(same == all);
}

TEST_CASE("depths: lines in a rung are twice the layers that the wave spans, up and down, over two", "[depths]") {
  // check() tells lines in a rung from the wave's height over the mean layer; here they are counted where the plane
  // meets them.
  const Recipe recipe = pattern("ladder-petty");
  const Forging forging = forge(recipe);
  const Bar& pressed = *forging.billets.back().bars[find_moment(forging, "ladder").step];
  const auto depths = depths_of(pressed, 150, 150 + 6 * 12.7, 0.25, false);
  REQUIRE(depths.back().sound);
  const double lines = depths.back().lines_per_mm * 12.7;
  CHECK(lines == Approx(52).margin(4));  // "51 at the edge, 52 half way up, 53 at the spine"
  CHECK_FALSE(depths.front().sound);     // humps: the plane meets air
}

TEST_CASE("depths: a ladder that is lost has fewer lines at the blade than a rung needs", "[depths]") {
  const Recipe recipe = pattern("ladder-lost");
  const Forging forging = forge(recipe);
  const Bar& pressed = *forging.billets.back().bars[find_moment(forging, "ladder").step];
  const auto depths = depths_of(pressed, 100, 100 + 6 * 12.7, 0.5, false);
  double most = 0;
  for (const Depth& d : depths) most = std::max(most, d.lines_per_mm * 12.7);
  CHECK(most > 10);
  CHECK(depths.back().lines_per_mm * 12.7 < 4);
}

TEST_CASE("depths: no words lie over one another or over the metal", "[depths]") {
  for (const auto& [name, at] :
       {std::pair{"ladder-lost", "ladder"}, {"ladder-petty", "ladder"}, {"twist", ""}, {"raindrop", ""}}) {
    const Recipe recipe = pattern(name);
    const Forging forging = forge(recipe);
    const Layout l = sheet_of(recipe, forging, at);
    struct Box {
      double left, right, top, bottom;
      std::string what;
    };
    std::vector<Box> boxes;
    for (const Caption& c : l.captions) {
      const double width = text_width(c.text, c.style), left = c.style.anchor == Anchor::left    ? c.x
                                                               : c.style.anchor == Anchor::right ? c.x - width
                                                                                                 : c.x - width / 2;
      boxes.push_back({left, left + width, c.y - 0.72 * c.style.size_px, c.y, c.text});
    }
    for (const Panel& p : l.panels)
      boxes.push_back({double(p.column), double(p.column + panel_columns(p, l.image.px_per_mm)), double(p.row),
                       double(p.row + panel_rows(p, l.image.px_per_mm)), "a strip"});
    for (size_t i = 0; i < boxes.size(); ++i)
      for (size_t k = i + 1; k < boxes.size(); ++k) {
        const Box &a = boxes[i], &b = boxes[k];
        const bool apart = a.right <= b.left || b.right <= a.left || a.bottom <= b.top || b.bottom <= a.top;
        INFO(name << ": '" << a.what << "' and '" << b.what << "'");
        CHECK(apart);
      }
  }
}
