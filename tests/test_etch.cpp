// The etch: baths, times, coupons, and which layers show once the acid has been there.

#include <cmath>

#include "catch.hpp"
#include "check_helpers.hpp"
#include "etchcast/etching.hpp"
#include "etchcast/metallurgy.hpp"
#include "etchcast/picture.hpp"
#include "etchcast/render.hpp"
#include "finish/reflectance.hpp"
#include "forge_helpers.hpp"
#include "plate/eaten.hpp"

using namespace etchcast;

namespace {

Recipe with_etch(const std::string& etch) { return parse_recipe(exact_recipe(kFivePlates, "", etch), "t"); }

std::string fault(const std::string& etch) {
  try {
    with_etch(etch);
  } catch (const Error& error) {
    REQUIRE(error.diagnostics().size() == 1);
    const Diagnostic& d = error.diagnostics()[0];
    CHECK(d.place.line > 0);
    CHECK_FALSE(d.hint.empty());
    return d.message;
  }
  return "none";
}

double share_of(const BandList& list, int steel) {
  double sum = 0;
  for (int i = 0; i < list.size(); ++i)
    if (list.what[size_t(i)] == steel) sum += list.edges[size_t(i) + 1] - list.edges[size_t(i)];
  return sum / list.total();
}

/// Alternate layers of steel 0 and 1, `periods` of them.
BandList laminate(double dark, double bright, int periods) {
  BandList list;
  list.edges = {0};
  for (int i = 0; i < periods; ++i) {
    list.edges.push_back(list.edges.back() + dark), list.what.push_back(0);
    list.edges.push_back(list.edges.back() + bright), list.what.push_back(1);
  }
  return list;
}

std::vector<Steel> eaten_and_not(double dark, double bright) {
  std::vector<Steel> steels(2);
  steels[0].attack = dark, steels[1].attack = bright;
  return steels;
}

/// What shows over s when acid has gone straight down from it for a while, in small steps: the law itself.
int seen_from(const BandList& list, const std::vector<Steel>& steels, double s, double into) {
  const int steps = 20000;
  for (int i = 0; i < steps && s > 0 && s < list.total(); ++i)
    s += into / steps * steels[size_t(list.what[size_t(list.at(s))])].attack;
  return list.what[size_t(list.at(s))];
}

}  // namespace

TEST_CASE("etch: relief is the bath's rate times the time, unless it is told", "[etch]") {
  CHECK(with_etch("").etch.depth_mm == Approx(0.015));
  CHECK(with_etch("").etch.relief == EtchPlan::Relief::usual);
  // The project's guess: half a micrometre a minute.
  CHECK(with_etch("[etch]\ntime = \"30 min\"\n").etch.depth_mm == Approx(0.015));
  CHECK(with_etch("[etch]\ntime = \"1 h\"\n").etch.depth_mm == Approx(0.030));
  const EtchPlan told = with_etch("[etch]\ntime = \"1 h\"\ndepth = \"12 um\"\n").etch;
  CHECK(told.depth_mm == Approx(0.012));
  CHECK(told.relief == EtchPlan::Relief::told);
  CHECK(*told.time_s == 3600);
  const EtchPlan coffee = with_etch("[etch]\nbath = \"coffee\"\n").etch;
  CHECK(coffee.depth_mm == 0);
  CHECK(coffee.finish == FinishKind::coffee);
  CHECK(with_etch("[etch]\nbath = \"coffee\"\nfinish = \"oxide\"\n").etch.finish == FinishKind::oxide);
  for (const Bath& bath : baths()) CHECK(bath.slow_um_min <= bath.usual_um_min);
}

TEST_CASE("etch: what a bath cannot know is asked for, in words", "[etch][fault]") {
  CHECK(fault("[etch]\nbath = \"vinegar\"\n") == "how fast vinegar eats is not known here");
  CHECK(fault("[etch]\nbath = \"vinegar\"\ntime = \"2 h\"\n") == "how fast vinegar eats is not known here");
  CHECK(fault("[etch]\nbath = \"vinegar\"\ndepth = \"8 um\"\n") == "none");
  CHECK(fault("[etch]\ntime = \"40 h\"\n") ==
        "that long an etch would eat 1.20 mm by the usual rate: it may be 0.5 mm");
  try {
    with_etch("[etch]\nbath = \"ferric cloride\"\n");
    FAIL("a bath nobody knows");
  } catch (const Error& error) {
    CHECK(error.diagnostics()[0].hint == "did you mean \"ferric chloride\"?");
  }
}

TEST_CASE("etch: a coupon's step sets the relief, in proportion to the time", "[etch][coupon]") {
  // 1084 is eaten fully, 75Ni8 to a twentieth: a step of 19 um is an etch 20 um deep.
  CHECK(with_etch("[etch.coupon]\nrelief = \"19 um\"\n").etch.depth_mm == Approx(0.020));
  const EtchPlan longer =
      with_etch("[etch]\ntime = \"40 min\"\n[etch.coupon]\ntime = \"20 min\"\nrelief = \"19 um\"\n").etch;
  CHECK(longer.depth_mm == Approx(0.040));
  CHECK(longer.relief == EtchPlan::Relief::coupon);
  CHECK(*with_etch("[etch.coupon]\ntime = \"20 min\"\nrelief = \"19 um\"\n").etch.time_s == 1200);
  CHECK(fault("[etch]\ndepth = \"20 um\"\n[etch.coupon]\nrelief = \"19 um\"\n") ==
        "depth and the coupon's relief both tell how deep the etch is");
  CHECK(fault("[etch]\ntime = \"20 min\"\n[etch.coupon]\nrelief = \"19 um\"\n") ==
        "[etch] tells a time and the coupon none");
  CHECK(fault("[etch.coupon]\ntime = \"20 min\"\n") == "[etch.coupon] needs relief or greys");
}

// IEC 61966-2-1: byte 128 is 0.21586 of white, 255 all of it.
TEST_CASE("etch: greys read off a photograph beside white paper become the picture's tones", "[etch][coupon]") {
  CHECK(reflectance_of_grey(128, 255) == Approx(0.85 * 0.21586).epsilon(1e-4));
  CHECK(reflectance_of_grey(100, 200) / reflectance_of_grey(50, 200) > 3);
  const Recipe recipe = with_etch("[etch.coupon]\npaper = 225\ngreys = { dark = 60, bright = 190 }\n");
  REQUIRE(recipe.steels[0].grey);
  CHECK(recipe.etch.greys);
  CHECK(recipe.etch.depth_mm == Approx(0.015));  // greys say nothing of the relief
  for (const double grey : {0.012, 0.05, 0.20, 0.45, 0.62, 0.80})
    for (const FinishKind finish : {FinishKind::bare, FinishKind::oxide, FinishKind::coffee}) {
      Steel steel;
      steel.grey = grey;
      const Surface s = surface_of(steel, finish);
      const double light =
          0.2126 * (s.metal[0] + s.film[0]) + 0.7152 * (s.metal[1] + s.film[1]) + 0.0722 * (s.metal[2] + s.film[2]);
      CHECK(light == Approx(grey).epsilon(1e-3));
    }
  CHECK(fault("[etch.coupon]\npaper = 225\ngreys = { drak = 60 }\n") == "there is no steel \"drak\"");
  CHECK(fault("[etch.coupon]\npaper = 225\ngreys = { bright = 240 }\n") ==
        "bright is brighter than the paper beside it (240 against 225)");
  CHECK(fault("[etch.coupon]\ngreys = { bright = 180 }\n") == "[etch.coupon] needs paper");
  try {
    with_etch("[etch.coupon]\npaper = 255\ngreys = { bright = 180 }\n");
    FAIL("a paper that is blown out");
  } catch (const Error& error) {
    CHECK(error.diagnostics()[0].message == "paper = 255 is too large: it may be 100 to 252");
  }
}

// Identity, layers flat under the face: dark loses the relief, bright gains it.
TEST_CASE("etch: bright grows by the relief and dark shrinks by it", "[etch]") {
  const BandList list = laminate(0.040, 0.020, 50);
  const auto steels = eaten_and_not(1, 0);
  for (const double relief : {0.005, 0.010, 0.030})
    for (const double way : {1.0, -1.0}) {
      const BandList seen = etched_bands(list, steels, way * relief);
      CHECK(seen.total() == Approx(list.total()));
      CHECK(share_of(seen, 1) == Approx((0.020 + relief) / 0.060).margin(0.011));  // the list's two ends
    }
  CHECK(etched_bands(list, steels, 0).edges == list.edges);
  CHECK(etched_bands(list, eaten_and_not(0, 0), 0.01).edges == list.edges);
  // Both eaten alike: the same layers show, a little further down.
  CHECK(share_of(etched_bands(list, eaten_and_not(0.7, 0.7), 0.010), 1) == Approx(1.0 / 3).margin(0.011));
  // Dark layers thinner than the etch is deep are gone.
  CHECK(share_of(etched_bands(list, steels, 0.050), 1) > 0.97);
}

TEST_CASE("etch: moved seams are what acid finds that eats straight down", "[etch]") {
  BandList list;
  list.edges = {0, 0.05, 0.062, 0.11, 0.115, 0.16, 0.17, 0.25};
  list.what = {0, 1, 2, 0, 1, 0, 2};
  std::vector<Steel> steels(3);
  steels[0].attack = 1, steels[1].attack = 0.05, steels[2].attack = 0.6;
  for (const double into : {0.004, 0.02, 0.06, -0.004, -0.02, -0.06}) {
    const BandList seen = etched_bands(list, steels, into);
    for (double s = 0.0007; s < 0.25; s += 0.0013) {
      bool at_seam = false;
      for (const double edge : seen.edges) at_seam = at_seam || std::abs(edge - s) < 2e-4;
      if (into > 0 ? s > 0.25 - 0.061 : s < 0.061) continue;  // would come out at the far side
      INFO(into << " at " << s);
      if (!at_seam) CHECK(seen.what[size_t(seen.at(s))] == seen_from(list, steels, s, into));
    }
  }
}

TEST_CASE("etch: layers on end show as they are, layers under the face as the side they are seen from has it",
          "[etch]") {
  const Recipe recipe = parse_recipe(exact_recipe(kFivePlates, R"({ do = "weld", to = "50 %" })"), "t");
  const Forging forging = forge(recipe);
  const Bar& bar = forging.last();
  const auto end = end_view(bar, bar.length_mm / 2), top = top_view(bar);
  CHECK(lean_under(*end, bar)[0].rising == Approx(0).margin(1e-6));
  CHECK(lean_under(*end, bar)[0].falling == Approx(0).margin(1e-6));
  CHECK(lean_under(*top, bar)[0].falling == Approx(1).margin(1e-6));  // the stack falls away from the top face
  CHECK(eaten(bar, *end, recipe.steels, recipe.etch).bands.edges == bar.bands.edges);
  const BandList& seen = eaten(bar, *top, recipe.steels, recipe.etch).bands;
  REQUIRE(seen.size() == 5);
  // From above: the second plate is bright, and starts to show where 15 um of the dark one over it are gone.
  const double kept = contrast_left(bar.bands, recipe.steels);
  CHECK(seen.edges[4] - bar.bands.edges[4] == Approx(0.015 * kept).epsilon(1e-6));
  CHECK(seen.edges[3] - bar.bands.edges[3] == Approx(0.015 * 0.05 * kept).epsilon(1e-6));
}

TEST_CASE("etch: where diffusion has evened all out the acid finds one steel", "[etch]") {
  BandList list = laminate(0.004, 0.004, 100);
  const auto steels = eaten_and_not(1, 0);
  CHECK(contrast_left(list, steels) == 1);
  list.soft_mm = 0.020;
  CHECK(contrast_left(list, steels) < 0.01);  // the list has two ends
  // Dt over the square of the pitch 0.01: the square wave keeps 0.845800 in its middles [identity].
  list.soft_mm = std::sqrt(2 * 0.01) * 0.008;
  CHECK(contrast_left(list, steels) == Approx(0.8458).margin(2e-3));
}

TEST_CASE("etch: the picture's mean tone does not hang on its resolution", "[etch]") {
  const std::string blade = "[blade]\nshape = \"petty\"\nlength = \"120 mm\"\nheel = \"28 mm\"\nspine = \"2.4 mm\"\n";
  std::string stack = "stack = [\"dark 0.8 mm\", \"bright 0.4 mm\"]\nrepeat = 20";
  const Recipe recipe = parse_recipe(
      exact_recipe(stack, R"({ do = "weld", to = "50 %" }, { do = "draw", thickness = "2.6 mm", width = "40 mm" })",
                   blade),
      "t");
  const Forging forging = forge(recipe);
  std::vector<double> means;
  for (const double px : {4.0, 8.0, 20.0}) {
    RenderOptions options;
    options.left = false, options.bare = true, options.plain = true, options.px_per_mm = px;
    const Image image = render(recipe, forging, options);
    double sum = 0, count = 0;
    for (size_t i = 1; i < image.rgb.size(); i += 3)
      if (image.rgb[i] < 254) {
        const double signal = image.rgb[i] / 255.0;
        sum += signal <= 0.04045 ? signal / 12.92 : std::pow((signal + 0.055) / 1.055, 2.4), ++count;
      }
    means.push_back(sum / count);
  }
  CHECK(means[0] == Approx(means[2]).epsilon(0.04));
  CHECK(means[1] == Approx(means[2]).epsilon(0.03));
}

TEST_CASE("check: dark layers thinner than the etch is deep are told", "[check][etch]") {
  const std::string blade = "[blade]\nshape = \"petty\"\nlength = \"120 mm\"\nheel = \"28 mm\"\nspine = \"2.4 mm\"\n";
  const std::string stack = "stack = [\"dark 0.3 mm\", \"bright 0.3 mm\"]\nrepeat = 40";
  const std::string steps = R"({ do = "weld", to = "50 %" }, { do = "draw", thickness = "2.6 mm", width = "40 mm" })";
  const auto deep = checked(exact_recipe(stack, steps, blade + "[etch]\ndepth = \"60 um\"\n"));
  CHECK(warned(deep, "are thinner than the etch is deep, 60 um"));
  CHECK_FALSE(
      find(checked(exact_recipe(stack, steps, blade + "[etch]\ndepth = \"15 um\"\n")), "than the etch is deep"));
}
