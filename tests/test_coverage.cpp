// Shares of steel under a pixel: exact, and the same whatever the way.
#include <cmath>
#include <random>

#include <fmt/format.h>

#include "catch.hpp"
#include "coverage/ask.hpp"
#include "coverage_helpers.hpp"
#include "etchcast/render.hpp"
#include "forge_helpers.hpp"

using namespace etchcast;

TEST_CASE("coverage: a band list integrated over a footprint equals counting", "[coverage]") {
  BandList list;
  list.edges = {0, 0.3, 0.35, 0.8, 1.0, 1.7};
  list.what = {0, 1, 2, 1, 0};
  const BandTable table(list, 3);
  std::mt19937 random(3);
  std::uniform_real_distribution<double> u(0, 1);
  for (int round = 0; round < 200; ++round) {
    const double s = 1.7 * u(random), a = 0.4 * u(random), b = 0.4 * u(random) * (round % 3 ? 1 : 0);
    const float sf = float(s), af = float(2 * a), bf = float(2 * b);
    float share[3];
    table.shares(&sf, &af, &bf, 1, share, 1);
    double counted[3] = {0, 0, 0};
    const int n = 200;
    for (int i = 0; i < n; ++i)
      for (int j = 0; j < n; ++j) {
        const double at = s + a * (2 * (i + 0.5) / n - 1) + b * (2 * (j + 0.5) / n - 1);
        counted[list.what[list.at(at)]] += 1.0 / (n * n);
      }
    for (int k = 0; k < 3; ++k) CHECK(share[k] == Approx(counted[k]).margin(6e-3));
    CHECK(share[0] + share[1] + share[2] == Approx(1).margin(1e-3));
  }
}

TEST_CASE("coverage: an outline's pixels add up to its area", "[coverage]") {
  // Area of a polygon by its corners (shoelace): identity.
  const std::vector<Eigen::Vector2d> outline = {{1.3, 0.7}, {9.6, 1.1}, {11.2, 5.5}, {4.0, 6.25}, {2.2, 4.4}};
  double area = 0;
  for (size_t i = 0; i < outline.size(); ++i) {
    const auto &a = outline[i], &b = outline[(i + 1) % outline.size()];
    area += (a.x() * b.y() - b.x() * a.y()) / 2;
  }
  for (const double px : {0.5, 0.13, 0.031}) {
    const Grid grid{0, 8, px, int(13 / px), int(8 / px)};
    double sum = 0;
    for (const float m : polygon_mask(outline, grid)) sum += m * px * px;
    CHECK(sum == Approx(area).epsilon(1e-4));
  }
  // A window cut through the outline sees its part only: left half plus right half.
  const Grid left{0, 8, 0.1, 60, 80}, right{6, 8, 0.1, 70, 80};
  double sum = 0;
  for (const Grid& g : {left, right})
    for (const float m : polygon_mask(outline, g)) sum += m * 0.01;
  CHECK(sum == Approx(area).epsilon(1e-4));
}

namespace {

const std::string kPile = "stack = [\"dark 0.8 mm\", \"bright 0.4 mm\"]\nrepeat = 20\ntop = \"dark 0.8 mm\"";
const std::string kTwisted = R"({ do = "draw", thickness = "20 mm", width = "20 mm" }, { do = "twist", rate = "0.8 turns/in" },
  { do = "draw", thickness = "7 mm", width = "40 mm" }, { do = "press", spacing = "11 mm", depth = "0.8 mm" }, { do = "grind", thickness = "3.4 mm" },)";
const std::string kSawn = R"({ do = "press", spacing = "13 mm", depth = "2 mm" }, { do = "grind", thickness = "3.77 mm" }, { do = "restack", pieces = 2 }, { do = "weld" },)";

/// Root mean square and greatest difference, in 8-bit levels, between a picture and the same 8 times larger, averaged.
std::pair<double, double> against_eightfold(const Bar& bar, const View& view, double px_per_mm) {
  const int columns = 96, rows = 48;
  const double px = 1 / px_per_mm, left = view.width() * 0.3, top = view.height() * 0.75;
  const Field coarse = field_of(bar, view, left, top, columns, rows, px), fine = field_of(bar, view, left, top, columns * 8, rows * 8, px / 8);
  double square = 0, most = 0;
  int count = 0;
  for (int r = 1; r < rows - 1; ++r)
    for (int c = 1; c < columns - 1; ++c) {
      if (coarse.mask[coarse.index(r, c)] < 1) continue;
      double mean = 0;
      for (int j = 0; j < 8; ++j)
        for (int i = 0; i < 8; ++i) mean += fine.coverage[fine.index(8 * r + j, 8 * c + i)] / 64;
      const double off = 255 * std::abs(mean - coarse.coverage[coarse.index(r, c)]);
      square += off * off;
      most = std::max(most, off);
      ++count;
    }
  return {std::sqrt(square / std::max(1, count)), most};
}

}  // namespace

TEST_CASE("coverage: one evaluation a pixel looks like the picture made eight times larger", "[coverage]") {
  for (const std::string& steps : {kTwisted, kSawn}) {
    const Forging f = forged(exact_recipe(kPile, steps));
    const auto top = top_view(f.last()), side = side_view(f.last());
    for (const double px : {4.0, 12.0, 30.0}) {
      for (const View* view : {top.get(), side.get()}) {
        const auto [rms, most] = against_eightfold(f.last(), *view, px);
        INFO((view == top.get() ? "top " : "side ") << steps.substr(0, 20) << px << " px/mm, rms " << rms << ", most " << most);
        CHECK(rms < 2.5);
      }
    }
  }
}

TEST_CASE("coverage: the shares of a pixel add up to one", "[coverage]") {
  const Forging f = forged(exact_recipe(kPile, kTwisted));
  const auto view = top_view(f.last());
  const Field field = field_of(f.last(), *view, 20, 30, 200, 60, 0.1);
  const size_t plane = size_t(field.columns) * field.rows;
  for (size_t i = 0; i < plane; ++i)
    if (field.mask[i] > 0) CHECK(field.coverage[i] + field.coverage[plane + i] == Approx(1).margin(1e-5));
}

TEST_CASE("coverage: a window's cut changes no pixel", "[coverage]") {
  const Forging f = forged(exact_recipe(kPile, kTwisted));
  const auto view = top_view(f.last());
  const Field whole = field_of(f.last(), *view, 20, 30, 400, 60, 0.125), part = field_of(f.last(), *view, 20, 30 - 20 * 0.125, 400, 30, 0.125);
  for (int r = 2; r < 28; ++r)
    for (int c = 0; c < 400; ++c) CHECK(whole.coverage[whole.index(20 + r, c)] == Approx(part.coverage[part.index(r, c)]).margin(0.02));
}

TEST_CASE("coverage: ten thousand layers in a twist are followed in double", "[coverage]") {
  const std::string folded = R"({ do = "weld", to = "25 %" }, { do = "restack", pieces = 16 }, { do = "weld", to = "10 %" }, { do = "restack", pieces = 16 },
    { do = "draw", thickness = "20 mm", width = "20 mm" }, { do = "twist", rate = "1.5 turns/in" },)";
  const Forging many = forged(exact_recipe(kPile, folded)), few = forged(exact_recipe(kPile, kTwisted));
  const Bar& bar = many.last();
  REQUIRE(bar.bands.size() > 8000);
  CHECK(needs_double(bar));
  CHECK_FALSE(needs_double(few.last()));
  const auto view = side_view(bar);
  const double px = 0.0004, band = bar.bands.total() / bar.bands.size();
  const Field field = field_of(bar, *view, 0.9 * view->width(), 0.7 * view->height(), 64, 64, px);
  // Against the same maps in double, point by point: no pixel is off by a fiftieth of a layer.
  Batch<double> places;
  Origins<double> origins;
  double u[kLanes], v[kLanes], worst = 0;
  float right[kLanes], up[kLanes];
  for (int row = 0; row < 64; ++row) {
    for (int i = 0; i < kLanes; ++i) u[i] = field.left_mm + (std::min(i, 63) + 0.5) * px, v[i] = field.top_mm - (row + 0.5) * px;
    view->points(u, v, kLanes, places, right, up);
    bar.origins(places, origins);
    for (int i = 0; i < 64; ++i) worst = std::max(worst, std::abs(origins.s[i] - field.s[field.index(row, i)]) / band);
  }
  INFO("worst " << worst << " layers");
  CHECK(worst < 0.02);
}

TEST_CASE("coverage: squares of pixels tell what asking every pixel tells", "[coverage]") {
  // The polynomial of a square against the map itself, far below what one level of 255 takes in most pixels.
  for (const std::string& steps : {kTwisted, kSawn}) {
    const Forging f = forged(exact_recipe(kPile, steps));
    const Bar& bar = f.last();
    const auto view = top_view(bar);
    const Field field = field_of(bar, *view, 0.3 * view->width(), 0.75 * view->height(), kLanes, 96, 1.0 / 20);
    const double band = bar.bands.total() / bar.bands.size();
    Batch<double> places;
    Origins<double> origins;
    double u[kLanes], v[kLanes], sum = 0;
    float right[kLanes], up[kLanes];
    for (int row = 0; row < 96; ++row) {
      for (int i = 0; i < kLanes; ++i) u[i] = field.left_mm + (i + 0.5) * field.mm_per_px, v[i] = field.top_mm - (row + 0.5) * field.mm_per_px;
      view->points(u, v, kLanes, places, right, up);
      bar.origins(places, origins);
      for (int i = 0; i < kLanes; ++i) sum += std::pow((origins.s[i] - field.s[field.index(row, i)]) / band, 2) / (96 * kLanes);
    }
    CHECK(std::sqrt(sum) < 0.004);
  }
}
