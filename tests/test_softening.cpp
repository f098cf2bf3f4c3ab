// Seams that diffusion has blurred: the width a picture draws them with, in the band list's own millimetres.

#include <cmath>

#include "catch.hpp"
#include "etchcast/metallurgy.hpp"
#include "forge_helpers.hpp"
#include "steels/diffusion.hpp"
#include "steels/history.hpp"

using namespace etchcast;

namespace {

/// Five plates of 2 mm of two steels of one's own.
std::string two_steels(const std::string& a, const std::string& b, const std::string& steps) {
  return "losses = false\n[steels]\na = " + a + "\nb = " + b +
         "\n[[billet]]\nname = \"bar\"\nwidth = \"40 mm\"\nlength = \"200 mm\"\nstack = [\"a 2 mm\", \"b 2 mm\"]\n"
         "repeat = 2\ntop = \"a 2 mm\"\nsteps = [" +
         steps + "]\n[hand]\neven = true\n";
}

const std::string kPlain = "{ c = 0.8, mn = 0.5 }", kNickel = "{ c = 0.8, mn = 0.5, ni = 2.0 }";
const std::string kSchedule = R"({ do = "weld", heat = "1260 C", soak = "8 min", to = "50 %", heats = 1 },
  { do = "draw", thickness = "2.5 mm", width = "40 mm", heat = "1090 C", heats = 2, soak = "200 s" })";

double d(Element element, double celsius) { return *diffusivity_mm2_s(element, celsius); }
double squared(double x) { return x * x; }

}  // namespace

// Identity: sigma2 = sum of 2 D t (thickness in the list / at that heat)2
TEST_CASE("softening: the blur of a seam is the sum over its heats, each scaled to the list", "[softening]") {
  const Forging f = forged(two_steels(kPlain, kNickel, kSchedule));
  const auto& bars = f.billets[0].bars;
  const double hot = d(Element::nickel, 1260), warm = d(Element::nickel, 1090);
  CHECK(bars[0]->bands.soft_mm == 0);
  CHECK(squared(bars[1]->bands.soft_mm) == Approx(2 * hot * 480 / 4).epsilon(1e-9));  // 10 mm thick in the fire, 5 now
  CHECK(squared(bars[2]->bands.soft_mm) ==
        Approx(2 * (hot * 480 / 16 + warm * 200 / 4 + warm * 200 / 2)).epsilon(1e-9));
}

TEST_CASE("softening: a list that was left at its first thickness is blurred as much more as it is thicker",
          "[softening]") {
  const std::string text = two_steels(kPlain, kNickel, kSchedule);
  const Forging flat = forged(text), mapped = forged(text, {.keep_every_map = true});
  const BandList &a = flat.last().bands, &b = mapped.last().bands;
  REQUIRE(b.total() == Approx(4 * a.total()));
  CHECK(b.soft_mm / b.total() == Approx(a.soft_mm / a.total()).epsilon(1e-9));
}

TEST_CASE("softening: steels that differ in carbon alone, or in nothing but their tone, keep sharp seams",
          "[softening]") {
  for (const char* other : {"{ c = 0.3, mn = 0.5 }", "{ c = 0.8, mn = 0.5, tone = 0.9, attack = 0.1 }",
                            "{ c = 0.8, mn = 0.5, si = 2.0, mo = 1.0 }"})
    CHECK(forged(two_steels(kPlain, other, kSchedule)).last().bands.soft_mm == 0);
}

TEST_CASE("softening: the element that carries the contrast decides, several by their part in it", "[softening]") {
  const auto variance = [](const std::string& other) {
    return squared(forged(two_steels(kPlain, other, kSchedule)).last().bands.soft_mm);
  };
  const double nickel = variance(kNickel), chromium = variance("{ c = 0.8, mn = 0.5, cr = 3.0 }"),
               manganese = variance("{ c = 0.8, mn = 1.5 }");
  // Chromium at these heats runs some five times as fast as nickel, manganese about as fast.
  CHECK(chromium / nickel == Approx(d(Element::chromium, 1150) / d(Element::nickel, 1150)).epsilon(0.1));
  CHECK(manganese / nickel == Approx(1).epsilon(0.1));
  // 2 % of nickel weigh 0.90, 1 % of chromium 0.22.
  CHECK(variance("{ c = 0.8, mn = 0.5, ni = 2.0, cr = 1.0 }") ==
        Approx((0.90 * nickel + 0.22 * chromium) / 1.12).epsilon(1e-9));
}

TEST_CASE("softening: it is the diffusion that the books tell, and no metal is lost in it", "[softening]") {
  const std::string text = two_steels(kPlain, kNickel, kSchedule);
  const Recipe recipe = parse_recipe(text, "t");
  const Forging forging = forge(recipe);
  const BandList& list = forging.last().bands;
  BandProfile profile{list.edges, {}};
  double whole = 0, kept = 0;
  for (int i = 0; i < list.size(); ++i) profile.level.push_back(recipe.steels[size_t(list.what[i])].nickel);
  const Softened now(profile, squared(list.soft_mm) / 2);
  for (int i = 0; i < list.size(); ++i) {
    whole += profile.level[size_t(i)] * (list.edges[i + 1] - list.edges[i]);
    kept += now.means()[size_t(i)] * (list.edges[i + 1] - list.edges[i]);
  }
  CHECK(kept == Approx(whole).epsilon(1e-12));
  const ElementFate nickel = diffuse(recipe, forging)[0].elements[3];
  REQUIRE(nickel.element == Element::nickel);
  for (int i = 0; i < list.size(); ++i)
    CHECK(now.centres()[size_t(i)] == Approx(nickel.centres[size_t(i)]).epsilon(1e-6).margin(1e-9));
  // A seam's profile is an error function of that standard deviation: 84.13 % of the way one of them off the seam
  // [normal distribution, identity].
  CHECK(now.at(list.edges[1] + list.soft_mm) / 2.0 == Approx(0.8413).margin(1e-4));
}

TEST_CASE("softening: a bar laid into another goes on through its heats", "[softening]") {
  const Recipe recipe = read_recipe(ETCHCAST_SOURCE_DIR "/patterns/clad-gyuto.toml");
  const Forging forging = forge(recipe);
  const auto clad = forging.last().leaves();
  REQUIRE(clad.size() == 2);  // both lengths of the jacket share one list
  const BandList& alone = forging.billets[0].bars.back()->bands;
  const BandList& inside = *clad[1];
  CHECK(inside.billet == "jacket");
  CHECK(inside.edges == alone.edges);
  CHECK(inside.soft_mm > alone.soft_mm);
  CHECK(clad[0]->soft_mm > 0);
  // Chromium at the core's seam, which lies in the list as it was piled.
  CHECK(clad[0]->total() == Approx(forging.billets[1].rows[0].thickness_mm));
  // As laid nothing has been added yet; every later heat adds.
  double before = alone.soft_mm;
  for (const auto& bar : forging.billets[1].bars) {
    const double now = bar->leaves()[1]->soft_mm;
    CHECK(now >= before * (1 - 1e-12));
    before = now;
  }
  CHECK(forging.billets[1].bars[0]->leaves()[1]->soft_mm == Approx(alone.soft_mm).epsilon(1e-12));
  // What it gained there, by hand: 1084 and 75Ni8 differ by 2 % Ni, 0.10 % Cr and 0.35 % Mn.
  const auto mixed = [](double celsius) {
    const double ni = 0.45 * 2.0, cr = 0.22 * 0.10, mn = 0.14 * 0.35;
    return (ni * d(Element::nickel, celsius) + cr * d(Element::chromium, celsius) +
            mn * d(Element::manganese, celsius)) /
           (ni + cr + mn);
  };
  const BilletStory &jacket = forging.billets[0], &gyuto = forging.billets[1];
  const double list = thinning_after(jacket, last_flat(jacket)), pile = thinning_after(gyuto, 0);
  double gained = 0;
  for (const Heat& heat : heat_history(gyuto).heats)
    gained += 2 * mixed(heat.celsius) * heat.seconds * squared(list * pile / heat.thinning);
  CHECK(squared(inside.soft_mm) - squared(alone.soft_mm) == Approx(gained).epsilon(1e-6));
}

TEST_CASE("softening: a flat bar laid into another brings its softness along", "[softening]") {
  const std::string jackets = R"(losses = false
[steels]
a = { c = 0.8, mn = 0.5 }
b = { c = 0.8, mn = 0.5, ni = 2.0 }
[[billet]]
name = "pack"
width = "40 mm"
length = "200 mm"
stack = ["a 2 mm", "b 2 mm", "a 2 mm"]
steps = [{ do = "weld", heat = "1260 C", soak = "8 min", to = "50 %", heats = 1 }]
[[billet]]
name = "bar"
stack = ["pack 1.5 mm"]
steps = [{ do = "weld", heat = "1200 C", soak = "5 min", to = "50 %", heats = 1 }]
[hand]
even = true
)";
  const Forging f = forged(jackets);
  const double first = d(Element::nickel, 1260) * 480, second = d(Element::nickel, 1200) * 300;
  CHECK(squared(f.billets[0].bars[1]->bands.soft_mm) == Approx(2 * first / 4).epsilon(1e-9));
  CHECK(squared(f.billets[1].bars[0]->bands.soft_mm) == Approx(2 * first / 16).epsilon(1e-9));  // drawn to half
  CHECK(squared(f.last().bands.soft_mm) == Approx(2 * (first / 64 + second / 4)).epsilon(1e-9));
}

TEST_CASE("softening: in a forged ladder seams are some micrometres soft, not layers", "[softening]") {
  // Nickel in an hour at welding heat: some 8 um, an estimate of the trade's literature; layers here are 40 um thick.
  const Forging f = forge(read_recipe(ETCHCAST_SOURCE_DIR "/patterns/ladder-petty.toml"));
  const double um = f.last().bands.soft_mm * 1000;
  CHECK(um > 1);
  CHECK(um < 8);
}
