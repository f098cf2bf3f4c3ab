// Shares of steel where metal changes: bars within bars, creases, bands too thin to count, footprints just as long as a stretch.
#include <algorithm>
#include <cmath>

#include "catch.hpp"
#include "coverage/ask.hpp"
#include "coverage_helpers.hpp"
#include "forge_helpers.hpp"

using namespace etchcast;

namespace {

/// A thin bright bar within a dark one within another dark one, all of them pressed: seams of three lists.
const std::string kNested = R"(losses = false
[steels]
dark = "1084"
bright = "75Ni8"
[[billet]]
name = "thin"
width = "40 mm"
length = "200 mm"
stack = ["bright 0.5 mm", "bright 0.5 mm"]
steps = [{ do = "press", spacing = "30 mm", depth = "0.05 mm" }, { do = "grind", thickness = "0.7 mm" }]
[[billet]]
name = "middle"
width = "40 mm"
length = "200 mm"
stack = ["dark 10 mm", "thin", "dark 10 mm"]
steps = [{ do = "press", spacing = "40 mm", depth = "2 mm" }, { do = "grind", thickness = "14 mm" }, { do = "draw", thickness = "2 mm", width = "40 mm" }]
[[billet]]
name = "bar"
width = "40 mm"
length = "200 mm"
stack = ["dark 2 mm", "middle", "dark 2 mm"]
steps = [{ do = "press", spacing = "40 mm", depth = "0.5 mm" }, { do = "grind", thickness = "4.5 mm" }]
[hand]
even = true
)";

/// Share of the second steel in a pixel by 8 x 8 points, each asked in double.
double counted(const Bar& bar, const View& view, const Field& f, int row, int column) {
  constexpr int kSide = 8;
  Answers answers;
  double u[kLanes], v[kLanes], share = 0;
  for (int i = 0; i < kLanes; ++i) {
    const int k = i % (kSide * kSide);
    u[i] = f.left_mm + (column + (k % kSide + 0.5) / kSide) * f.mm_per_px, v[i] = f.top_mm - (row + (k / kSide + 0.5) / kSide) * f.mm_per_px;
  }
  ask(bar, view, u, v, true, answers);
  for (int i = 0; i < kSide * kSide; ++i) {
    const BandList& list = *bar.leaves()[size_t(answers.leaf[i])];
    share += list.what[size_t(list.at(answers.s[i]))] == 1;
  }
  return share / (kSide * kSide);
}

}  // namespace

TEST_CASE("coverage: a bar within a bar within a bar shows", "[coverage]") {
  const Recipe recipe = parse_recipe(kNested, "nested");
  const Forging forging = forge(recipe);
  const Bar& bar = forging.last();
  REQUIRE(bar.leaves().size() == 3);
  const auto view = side_view(bar);
  for (const double px : {0.125, 0.05}) {
    const Field f = field_of(bar, *view, 40, view->height(), 200, int(view->height() / px), px);
    double got = 0, want = 0;
    for (int r = 3; r + 3 < f.rows; ++r)
      for (int c = 3; c + 3 < f.columns; ++c)
        if (f.mask[f.index(r, c)] >= 1) got += f.coverage[f.mask.size() + f.index(r, c)], want += counted(bar, *view, f, r, c);
    INFO("pixels of " << px << " mm");
    CHECK(want > 50);
    CHECK(got == Approx(want).epsilon(0.01));
  }
}

TEST_CASE("coverage: a crease beside a good square is seen, wherever the window begins", "[coverage]") {
  // The window moves by a pixel at a time: squares of the survey begin elsewhere, pixels show the same.
  const Forging f = forged(exact_recipe("stack = [\"dark 0.8 mm\", \"bright 0.4 mm\"]\nrepeat = 20\ntop = \"dark 0.8 mm\"",
    R"({ do = "press", spacing = "13 mm", depth = "2 mm" }, { do = "grind", thickness = "3.77 mm" }, { do = "restack", pieces = 2 }, { do = "weld" },)"));
  const auto view = side_view(f.last());
  const double px = 1 / 9.08, top = view->height() * 0.9;
  const Field first = field_of(f.last(), *view, 20, top, 300, 60, px);
  int apart = 0, compared = 0;
  for (const int moved : {3, 5, 10}) {
    const Field other = field_of(f.last(), *view, 20 + moved * px, top - moved * px, 300 - moved, 60 - moved, px);
    for (int r = 4; r + 4 < other.rows; ++r)
      for (int c = 4; c + 4 < other.columns; ++c) {
        const size_t at = other.index(r, c), there = first.index(r + moved, c + moved);
        if (other.mask[at] >= 1 && first.mask[there] >= 1) ++compared, apart += std::abs(other.coverage[at] - first.coverage[there]) > 0.2;
      }
  }
  CHECK(compared > 20000);
  CHECK(apart == 0);
}

TEST_CASE("coverage: bands thinner than anything shows change nothing", "[coverage]") {
  const auto share = [](std::vector<double> edges, std::vector<int> what, float s) {
    BandList list;
    list.edges = std::move(edges), list.what = std::move(what);
    const float p = 3, q = 2;
    float out[2];
    BandTable(list, 2).shares(&s, &p, &q, 1, out, 1);
    return out[0];
  };
  const float without = share({0, 0.8, 1.7}, {0, 1}, 1);
  CHECK(share({0, 0.8, 1.7 - 2e-9, 1.7 - 1e-9, 1.7}, {0, 1, 0, 1}, 1) == Approx(without).margin(1e-4));
  CHECK(share({0, 1e-9, 2e-9, 0.8, 1.7}, {0, 1, 0, 1}, 1) == Approx(without).margin(1e-4));
  CHECK(share({0, 0.3, 0.3 + 1e-9, 0.8, 1.7}, {0, 1, 0, 1}, 1) == Approx(without).margin(1e-4));
}

TEST_CASE("coverage: every footprint gets its share, of whatever length its neighbours are", "[coverage]") {
  // Lengths within rounding of the stretch that four edges take, where one way through the table ends and the next begins;
  // all neighbours are longer.
  BandList list;
  list.edges = {0};
  for (int i = 0; i < 300; ++i) list.edges.push_back(list.edges.back() + (i % 2 ? 0.03 : 0.04)), list.what.push_back(i % 2);
  const BandTable table(list, 2);
  int untouched = 0;
  float width = 0.124476746f - 200 * 7.45e-9f;
  for (int round = 0; round < 400; ++round, width = std::nextafter(width, 1.0f)) {
    float s[kLanes], p[kLanes], q[kLanes], out[2 * kLanes];
    std::fill_n(s, kLanes, 3.36754489f), std::fill_n(p, kLanes, 0.6f), std::fill_n(q, kLanes, 0.0138307502f), std::fill_n(out, 2 * kLanes, 777.0f);
    p[0] = width;
    table.shares(s, p, q, kLanes, out, kLanes);
    untouched += int(std::count_if(out, out + 2 * kLanes, [](float share) { return !(share >= 0 && share <= 1); }));
  }
  CHECK(untouched == 0);
}

TEST_CASE("coverage: what is not a number is no steel", "[coverage]") {
  BandList list;
  list.edges = {0, 0.3, 0.5, 1};
  list.what = {0, 1, 0};
  const BandTable table(list, 2);
  const float wrong[] = {NAN, INFINITY, -INFINITY, 1e30f};
  for (const float w : wrong) {
    const float s[] = {w, 0.4f, 0.4f}, p[] = {0.1f, w, 0.1f}, q[] = {0.1f, 0.1f, w};
    float out[6];
    table.shares(s, p, q, 3, out, 3);
    for (const float share : out) CHECK((share >= 0 && share <= 1));
  }
}
