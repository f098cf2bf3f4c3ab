// Lines that run slantwise over the pixels: broken edges, the line where a hollow meets the flat, the sharpened edge.
#include <algorithm>
#include <cmath>

#include "catch.hpp"
#include "coverage/rim.hpp"
#include "coverage_helpers.hpp"
#include "etchcast/render.hpp"
#include "forge_helpers.hpp"

using namespace etchcast;

namespace {

constexpr double kClimb = 1 / 31.0;

/// A face of one steel, even or with a hollow below a line that climbs gently; its spine climbs as gently.
class Slope final : public View {
 public:
  explicit Slope(double hollow) : hollow_(hollow) {
    width_ = 40, height_ = 12;
    outline_ = {{0, 0}, {40, 0}, {40, 9 + 40 * kClimb}, {0, 9}};
  }
  void points(const double* u, const double* v, int n, Batch<double>& b, float* right, float* up) const override {
    for (int i = 0; i < n; ++i) {
      b.x[i] = 20 + u[i], b.y[i] = v[i] - 6, b.z[i] = 0;
      b.xp[i] = 1, b.yp[i] = b.zp[i] = 0, b.xq[i] = b.zq[i] = 0, b.yq[i] = 1;
      right[i] = 0, up[i] = v[i] < 4 + u[i] * kClimb ? float(hollow_) : 0;
    }
  }

 private:
  double hollow_;
};

const std::string kOneSteel = exact_recipe("stack = [\"bright 5 mm\", \"bright 5 mm\"]", "");

/// Green light that a broken edge and a hollow add to a column of pixels between two heights, each pixel's by the share
/// of it that is metal, in mm.
std::vector<double> added_light(double hollow, double px, double from_mm, double to_mm) {
  const Forging forging = forged(kOneSteel);
  const Recipe recipe = parse_recipe(kOneSteel, "test.toml");
  const int columns = int(20 / px), rows = int((to_mm - from_mm) / px);
  const auto field = [&](const Slope& view) { return field_of(forging.last(), view, 10, to_mm, columns, rows, px); };
  const auto lit = [&](const Field& f) { return shade(f, recipe.steels, recipe.etch, Scratches::none, false); };
  const Slope view(hollow);
  Field with = field(view);
  const Light without = lit(field(Slope(0)));
  Rim::Desk desk;
  Rim(view.outline()).tilt(with, desk);
  const Light light = lit(with);
  std::vector<double> sums(size_t(light.columns), 0.0);
  for (int r = 0; r < light.rows; ++r)
    for (int c = 0; c < light.columns; ++c) {
      const size_t at = 3 * (size_t(r) * light.columns + c) + 1;
      const float mask = with.mask[with.index(r + Field::kHalo, c + Field::kHalo)];
      sums[size_t(c)] += px * mask * (light.rgb[at] - without.rgb[at]);
    }
  return sums;
}

/// The largest step from one column to the next.
double largest_step(const std::vector<double>& sums) {
  double step = 0;
  for (size_t c = 1; c < sums.size(); ++c) step = std::max(step, std::abs(sums[c] - sums[c - 1]));
  return step;
}

}  // namespace

TEST_CASE("surface: a broken spine that climbs gently is as bright all along", "[coverage][rim]") {
  // Identity: a line's light over a column does not depend on where the rows of pixels lie, so that it changes as
  // little from column to column as the clouds do.
  for (const double px : {0.1, 0.06}) CHECK(largest_step(added_light(0, px, 8, 11.5)) < 0.01 * px);
}

TEST_CASE("surface: a broken edge is as wide at any resolution", "[coverage][rim]") {
  const Forging forging = forged(kOneSteel);
  const Slope view(0);
  for (const double px : {0.1, 0.04, 0.01}) {
    // Identity: slope falls evenly from the edge to none 0.2 mm inside, so that it adds up to half of both.
    Field field = field_of(forging.last(), view, 15, 11, int(2 / px), int(3 / px), px);
    Rim::Desk desk;
    Rim(view.outline()).tilt(field, desk);
    double sum = 0, steepest = 0;
    const int column = field.columns / 2;
    for (int r = 0; r < field.rows; ++r) {
      const size_t at = field.index(r, column);
      sum -= px * field.mask[at] * field.slope_up[at];
      steepest = std::max(steepest, -double(field.slope_up[at]));
    }
    INFO("pixels of " << px << " mm");
    CHECK(sum == Approx(0.08 * 0.2 / 2).epsilon(0.06));
    CHECK(steepest < 0.0801);
  }
}

TEST_CASE("surface: where a hollow meets the flat there is no staircase", "[coverage][crease]") {
  // Identity: over a column the hollow's shadow grows as the line climbs, a 31st of a pixel from one to the next. The
  // shadow takes some 0.4: a staircase would have steps of 0.4 px.
  for (const double px : {0.1, 0.06}) CHECK(largest_step(added_light(0.3, px, 3.5, 6.5)) < 0.2 * px);
}

TEST_CASE("surface: windows cut elsewhere show the same crease", "[coverage][crease]") {
  const Forging forging = forged(kOneSteel);
  const Slope view(0.3);
  const double px = 0.1, top = 6.5;
  const Field first = field_of(forging.last(), view, 10, top, 200, 40, px);
  REQUIRE(first.creases.size() > 150);
  for (const int moved : {1, 5, 7}) {
    const Field other = field_of(forging.last(), view, 10 + moved * px, top - moved * px, 200 - moved, 40 - moved, px);
    int apart = 0, compared = 0;
    for (const Field::Crease& crease : other.creases) {
      const size_t row = crease.pixel / size_t(other.columns) + moved, column = crease.pixel % other.columns + moved;
      if (row > 36 || column < 10 || column > 190) continue;
      const auto same = std::ranges::find(first.creases, row * first.columns + column, &Field::Crease::pixel);
      ++compared;
      // One place of the 64 may lie on the line itself, and may be the only one beyond it.
      const float nearest = crease.share < 0.5f ? 0.0f : 1.0f,
                  share = same == first.creases.end() ? nearest : same->share;
      apart += std::abs(share - crease.share) > 1.01f / 64;
    }
    CHECK(compared > 150);
    CHECK(apart == 0);
  }
}

TEST_CASE("surface: a face ground up to the crest is as steep just beyond it as just below", "[blade]") {
  BladePlan plan;
  plan.shape = "gyuto";
  const Blade blade(plan);
  for (double x = 5; x < 0.85 * blade.length(); x += 7.3) {
    const double crest = blade.spine_y(x), xs[] = {x, x}, ys[] = {crest - 0.01, crest + 0.01};
    double z[2], dx[2], dy[2];
    blade.surface(Side::right, 2, xs, ys, z, dx, dy);
    CHECK(dy[0] > 0.01);
    CHECK(dy[1] == Approx(dy[0]).epsilon(1e-3));
    CHECK(dx[1] == Approx(dx[0]).margin(1e-4));
  }
}

TEST_CASE("surface: the sharpened edge is no higher beside a notch or an eased heel", "[coverage]") {
  for (const std::string shape : {"bowie", "hunter", "gyuto", "petty"}) {
    const std::string text = exact_recipe(kFivePlates, "{ do = \"draw\", thickness = \"6 mm\", width = \"70 mm\" }",
                                          "[blade]\nshape = \"" + shape + "\"\nspine = \"4 mm\"\n",
                                          "width = \"60 mm\"\nlength = \"300 mm\"\n");
    const Recipe recipe = parse_recipe(text, "test.toml");
    const Forging f = forge(recipe);
    const auto blade = std::make_shared<const Blade>(*recipe.blade);
    const auto view = blade_view(f.last(), blade, place_in(f.last(), *blade, *recipe.blade), Side::right, 0.26);
    const double px = 0.02, heel = view->width() - blade->length();
    const auto bright_mm = [&](double x) {
      const double u = heel + x;
      double sum = 0;
      for (double v = px / 2; v < 12; v += px) {
        float share;
        view->bare(&u, v, px, 1, &share);
        sum += v > blade->ground_edge_y(x) ? share * px : 0;
      }
      return sum;
    };
    INFO(shape);
    for (double x = 0; x < 5; x += 0.1) CHECK(bright_mm(x) == Approx(bright_mm(8)).margin(0.03));
  }
}
