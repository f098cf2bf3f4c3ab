// Sides of a blade as they are looked at: the bar's faces, and the bright edge.
#include <algorithm>
#include <cmath>

#include "catch.hpp"
#include "coverage/view.hpp"
#include "etchcast/render.hpp"
#include "forge_helpers.hpp"

using namespace etchcast;

namespace {

/// A bar pressed all over and ground too little, and a blade nearly as thick as it.
const std::string kHollow = exact_recipe(
    kFivePlates,
    R"({ do = "dimple", radius = "6 mm", depth = "2.4 mm", spacing = "13 mm" }, { do = "grind", thickness = "8.5 mm" })",
    "[blade]\nshape = \"bowie\"\nlength = \"160 mm\"\nspine = \"8 mm\"\n", "width = \"60 mm\"\nlength = \"250 mm\"\n");

}  // namespace

TEST_CASE("views: a blade's face is the bar's where that is lower, and its own elsewhere", "[coverage]") {
  const Recipe recipe = parse_recipe(kHollow, "test.toml");
  const Forging f = forge(recipe);
  const Bar& bar = f.last();
  const auto blade = std::make_shared<const Blade>(*recipe.blade);
  const Place3 place = place_in(bar, *blade, *recipe.blade);
  Batch<double> points;
  double u[kLanes], v[kLanes];
  float right[kLanes], up[kLanes];
  for (const Side side : {Side::right, Side::left}) {
    const auto view = blade_view(bar, blade, place, side, 0.3);
    const double sign = side == Side::right ? 1 : -1;
    int hollow = 0, wrong = 0;
    for (int row = 0; row < 60; ++row) {
      for (int i = 0; i < kLanes; ++i)
        u[i] = view->width() * (i + 0.5) / kLanes, v[i] = view->height() * (row + 0.5) / 60;
      view->points(u, v, kLanes, points, right, up);
      for (int i = 0; i < kLanes; ++i) {
        const double x = points.x[i], y = points.y[i];
        double slope_x, slope_y;
        const double face = sign > 0 ? bar.top_at(x, y, &slope_x, &slope_y) : bar.bottom_at(x, y, &slope_x, &slope_y);
        const double ground = place.z + sign * blade->half_thickness(side, x - place.x, y - place.y);
        const bool lower = sign * (ground - face) > 0;
        hollow += lower;
        wrong += std::abs(points.z[i] - (lower ? face : ground)) > 1e-9;
        if (lower) wrong += std::abs(points.zp[i] - sign * slope_x) > 1e-12 || std::abs(points.zq[i] - slope_y) > 1e-12;
      }
    }
    CHECK(hollow > 60 * kLanes / 100);
    CHECK(hollow < 60 * kLanes / 2);
    CHECK(wrong == 0);
  }
}

TEST_CASE("views: the bright edge is as high as half its thickness over the tangent of its angle", "[coverage]") {
  // Identity; the edge is 0.4 mm thick and straight to x = 150.
  const Recipe recipe = parse_recipe(exact_recipe(kFivePlates, "",
                                                  "[blade]\nshape = \"path\"\npath = \"M 0 0 H 150 V 40 H 0 Z\"\nspine "
                                                  "= \"3 mm\"\nedge = \"0.4 mm\"\ntang = \"0 mm\"\n",
                                                  "width = \"60 mm\"\nlength = \"200 mm\"\n"),
                                     "test.toml");
  const Forging f = forge(recipe);
  const auto blade = std::make_shared<const Blade>(*recipe.blade);
  const double angle = 0.26, high = 0.2 / std::tan(angle);
  for (const Side side : {Side::right, Side::left}) {
    const auto view = blade_view(f.last(), blade, place_in(f.last(), *blade, *recipe.blade), side, angle);
    CHECK(view->bare_top() == Approx(high).margin(1e-3));
    for (const double px : {0.5, 0.13}) {
      double u[kLanes], sum[kLanes] = {};
      float shares[kLanes];
      for (int i = 0; i < kLanes; ++i) u[i] = 60 + 0.2 * i;
      for (int row = 0; (row + 0.5) * px < 3; ++row) {
        view->bare(u, (row + 0.5) * px, px, kLanes, shares);
        for (int i = 0; i < kLanes; ++i) sum[i] += shares[i] * px;
      }
      for (const double height : sum) CHECK(height == Approx(high).margin(1e-3));
    }
  }
}

TEST_CASE("views: pixels of a row are as bright together as each alone", "[coverage]") {
  // Windows are left out as a whole where none of their pixels has any: none may be lost that way.
  const Recipe recipe = parse_recipe(kHollow, "test.toml");
  const Forging f = forge(recipe);
  const auto blade = std::make_shared<const Blade>(*recipe.blade);
  for (const Side side : {Side::right, Side::left}) {
    const auto view = blade_view(f.last(), blade, place_in(f.last(), *blade, *recipe.blade), side, 0.3);
    const double px = 0.21;
    int bright = 0, off = 0;
    for (double v = px / 2; v < view->bare_top() + px; v += px)
      for (double left = 0; left < view->width(); left += kLanes * px) {
        double u[kLanes];
        float together[kLanes], alone;
        for (int i = 0; i < kLanes; ++i) u[i] = left + (i + 0.5) * px;
        view->bare(u, v, px, kLanes, together);
        for (int i = 0; i < kLanes; ++i) {
          view->bare(&u[i], v, px, 1, &alone);
          bright += alone > 0, off += alone != together[i];
        }
      }
    CHECK(bright > 500);
    CHECK(off == 0);
  }
}
