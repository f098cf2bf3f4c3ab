// Diffusion: exact solutions, textbook examples, conservation, and a forged bar's own layers.

#include <cmath>
#include <numeric>
#include <random>

#include "catch.hpp"
#include "etchcast/metallurgy.hpp"
#include "forge_helpers.hpp"
#include "steels/bar_metal.hpp"
#include "steels/diffusion.hpp"

using namespace etchcast;

namespace {

const ElementFate& fate(const BandFate& of, Element element) {
  for (const ElementFate& one : of.elements)
    if (one.element == element) return one;
  FAIL("no such element");
  return of.elements[0];
}

double amount(const BandProfile& profile, const std::vector<double>& level) {
  double sum = 0;
  for (size_t i = 0; i < level.size(); ++i) sum += level[i] * (profile.edges[i + 1] - profile.edges[i]);
  return sum;
}

BandProfile random_profile(int bands, unsigned seed) {
  std::mt19937 random(seed);
  std::uniform_real_distribution<double> width(0.05, 1), level(0, 2);
  BandProfile profile{{0}, {}};
  for (int i = 0; i < bands; ++i) {
    profile.edges.push_back(profile.edges.back() + width(random));
    profile.level.push_back(level(random));
  }
  return profile;
}

std::string pattern(const std::string& name) { return std::string(ETCHCAST_SOURCE_DIR) + "/patterns/" + name; }

}  // namespace

// [Callister, Materials Science and Engineering, table 5.1]
TEST_CASE("diffusion: the error function and its inverse agree with the textbook's table", "[diffusion]") {
  for (const auto& [x, value] :
       {std::pair(0.05, 0.0564), {0.25, 0.2763}, {0.40, 0.4284}, {0.50, 0.5205}, {1.0, 0.8427}, {2.0, 0.9953}}) {
    CHECK(std::erf(x) == Approx(value).margin(5e-5));
    CHECK(inverse_erf(std::erf(x)) == Approx(x).epsilon(1e-12));
    CHECK(inverse_erf(-std::erf(x)) == Approx(-x).epsilon(1e-12));
  }
  CHECK(inverse_erf(0.421053) == Approx(0.392390).margin(1e-6));
}

// [Callister, example problem 5.2 and problem 5.12]; the book's own D at 950 C, not its table's
TEST_CASE("diffusion: carburising and decarburising as in the textbook", "[diffusion][source]") {
  CHECK(seconds_to_reach(1.20, 0.25, 0.80, 0.5, 1.6e-5) == Approx(25370).epsilon(0.01));
  CHECK(seconds_to_reach(1.20, 0.25, 0.80, 0.5, 1.6e-5) == Approx(25370).margin(1));
  CHECK(depth_reached_mm(0, 0.55, 0.25, 4.3e-5 * 36000) == Approx(1.06).epsilon(0.01));
  CHECK(depth_reached_mm(1.2, 0.2, 0.7, 1) == Approx(0.9539).margin(1e-4));  // the case-depth rule: erf z = 1/2
}

// [Callister, table 5.2] for carbon; Ni, Mn, Cr: value from memory, order of magnitude only
TEST_CASE("diffusion: D in austenite", "[diffusion][source]") {
  CHECK(*diffusivity_mm2_s(Element::carbon, 950) == Approx(1.097e-5).epsilon(0.005));
  CHECK(*diffusivity_mm2_s(Element::carbon, 1100) == Approx(5.38e-5).epsilon(0.005));
  CHECK(*diffusivity_mm2_s(Element::carbon, 1150) == Approx(8.49e-5).epsilon(0.005));
  // The example's 1.6e-11 m2/s at 950 C is not what the same book's table gives.
  CHECK(std::abs(*diffusivity_mm2_s(Element::carbon, 950) - 1.6e-5) > 0.4e-5);
  // Other textbook sets lie within a factor of 3: steel (0.15 cm2/s, 135 kJ), Tibbetts at 0.8 % C.
  for (const double other : {2.57e-5, 2.80e-5}) CHECK(other / *diffusivity_mm2_s(Element::carbon, 950) < 3);
  CHECK(*diffusivity_mm2_s(Element::nickel, 1100) == Approx(1.64e-9).epsilon(0.01));
  CHECK(*diffusivity_mm2_s(Element::manganese, 1100) == Approx(1.77e-9).epsilon(0.01));
  CHECK(*diffusivity_mm2_s(Element::chromium, 1150) == Approx(2.10e-8).epsilon(0.01));
  const double ratio = *diffusivity_mm2_s(Element::carbon, 1100) / *diffusivity_mm2_s(Element::nickel, 1100);
  CHECK(ratio > 1e4);
  CHECK(ratio < 2e5);
  for (const Element none : {Element::silicon, Element::molybdenum, Element::vanadium, Element::tungsten})
    CHECK_FALSE(diffusivity_mm2_s(none, 1100));
  CHECK_FALSE(diffusivity_mm2_s(Element::carbon, 600));  // not austenite
}

// Fourier series of the square wave: an identity. Dt / pitch squared, contrast at the middle, value at an eighth.
TEST_CASE("diffusion: equal layers fade as the square wave does", "[diffusion]") {
  const double rows[][3] = {{0.002, 0.999846, 0.951893}, {0.005, 0.975161, 0.788524}, {0.010, 0.845800, 0.615241},
                            {0.020, 0.577755, 0.409026}, {0.050, 0.176867, 0.125064}, {0.100, 0.024569, 0.017373}};
  for (const auto& [dt, middle, eighth] : rows) {
    CHECK(square_wave_contrast(dt) == Approx(middle).margin(6e-7));
    const Softened half({{0, 0.25, 0.5}, {1, -1}}, dt);
    CHECK(half.at(0.125) == Approx(eighth).margin(6e-7));
    CHECK(half.at(0.25) == Approx(0).margin(1e-14));
  }
  // The first mode alone would be 18 % too high at 0.002.
  CHECK(square_wave_contrast(0.002) < 1);
  // Seen from a pile of 20 layers with faces at layers' middles, the same figures in every layer.
  BandProfile pile{{0}, {}};
  for (int i = 0; i <= 20; ++i) {
    pile.edges.push_back(pile.edges.back() + (i == 0 || i == 20 ? 0.25 : 0.5));
    pile.level.push_back(i % 2 ? -1 : 1);
  }
  const std::vector<double> centres = Softened(pile, 0.01).centres();
  for (size_t i = 1; i < 20; ++i) CHECK(centres[i] == Approx(i % 2 ? -0.845800 : 0.845800).margin(6e-7));
}

TEST_CASE("diffusion: unequal layers fade as their series does, and their mean stays", "[diffusion]") {
  const double rows[][3] = {{0.005, 0.788700, 0.000177}, {0.01, 0.623241, 0.008000}, {0.02, 0.468041, 0.059015}};
  for (const auto& [dt, in_a, in_b] : rows) {
    const BandProfile quarter{{0, 0.125, 0.5}, {1, 0}};
    const Softened now(quarter, dt);
    CHECK(now.at(0) == Approx(in_a).margin(6e-7));
    CHECK(now.at(0.5) == Approx(in_b).margin(6e-7));
    CHECK(now.mean() == 0.25);
    CHECK(amount(quarter, now.means()) / 0.5 == Approx(0.25).epsilon(1e-15));
  }
}

TEST_CASE("diffusion: the amount is kept to rounding, and every band's mean stays within its start's range",
          "[diffusion]") {
  for (const int bands : {1, 2, 3, 7, 40, 300}) {
    const BandProfile profile = random_profile(bands, unsigned(bands));
    const double whole = amount(profile, profile.level);
    for (const double dt : {0.0, 1e-12, 1e-6, 1e-3, 0.02, 0.3, 5.0, 1e3, 1e6}) {
      const Softened now(profile, dt);
      CHECK(amount(profile, now.means()) == Approx(whole).epsilon(1e-14));
      for (const double c : now.means()) {
        CHECK(c > -1e-12);
        CHECK(c < 2 + 1e-12);
      }
    }
    const double mean = whole / profile.edges.back();
    for (const double c : Softened(profile, 1e6).centres()) CHECK(c == Approx(mean).epsilon(1e-12));
  }
}

TEST_CASE("diffusion: the short-time and the long-time form join without a step", "[diffusion]") {
  for (const int bands : {2, 5, 30, 200}) {
    const BandProfile profile = random_profile(bands, 77);
    const double thickness = profile.edges.back(), tau = std::min(0.05, 0.16 / bands);
    const Softened images(profile, tau * (1 - 1e-9) * thickness * thickness);
    const Softened cosines(profile, tau * (1 + 1e-9) * thickness * thickness);
    for (int i = 0; i <= 50; ++i)
      CHECK(images.at(thickness * i / 50) == Approx(cosines.at(thickness * i / 50)).margin(1e-8));
    const auto a = images.means(), b = cosines.means();
    for (size_t i = 0; i < a.size(); ++i) CHECK(a[i] == Approx(b[i]).margin(1e-7));
  }
}

TEST_CASE("diffusion: nothing leaves through the faces", "[diffusion]") {
  const BandProfile profile{{0, 1, 1.5, 4}, {2, 0, 1}};
  for (const double dt : {0.01, 0.5, 3.0}) {
    const Softened now(profile, dt);
    const double h = 1e-4;
    CHECK((now.at(h) - now.at(0)) / h == Approx(0).margin(1e-3));
    CHECK((now.at(4) - now.at(4 - h)) / h == Approx(0).margin(1e-3));
  }
}

TEST_CASE("diffusion: two pieces welded meet at their mean", "[diffusion]") {
  CHECK(across_weld(1, 0, 0, 4) == 0.5);
  CHECK(across_weld(0, 1, 2, 4) == Approx(0.7602).margin(1e-4));  // at x = sqrt(Dt): erf(1/2)
  const Softened thick({{0, 50, 100}, {0, 1}}, 4);                // the same from a bar too thick to feel its faces
  for (const double x : {-5.0, -1.0, 0.0, 2.0})
    CHECK(thick.at(50 + x) == Approx(across_weld(0, 1, x, 4)).epsilon(1e-12));
}

// Decay of a sine, tau = l2 / (pi2 D): an identity; D at 1100 C by the textbook's table
TEST_CASE("diffusion: carbon in fine layers is gone within a heat, nickel is not", "[diffusion]") {
  const double d = *diffusivity_mm2_s(Element::carbon, 1100);
  CHECK(0.1 * 0.1 / (4 * M_PI * M_PI * d) == Approx(4.706).epsilon(0.005));
  CHECK(square_wave_contrast(d * 22.8 / 0.01) == Approx(0.01).epsilon(0.01));  // 100 um pitch: 1 % left
  CHECK(square_wave_contrast(d * 240 / 0.01) < 1e-12);
  CHECK(square_wave_contrast(*diffusivity_mm2_s(Element::nickel, 1100) * 240 / 0.01) > 0.9999);
  CHECK(square_wave_contrast(1 / std::pow(2 * layer_keeping_mm(0.1, 1), 2)) == Approx(0.1).epsilon(1e-9));
}

TEST_CASE("diffusion: averages go by mass", "[diffusion]") {
  // 10 vol % nickel (8.89 g/cm3, 99.6 % Ni) in steel of 7.85 g/cm3: 11.132 weight % of nickel, not 9.96.
  std::vector<Steel> steels(2);
  steels[1].density = 8.89, steels[1].nickel = 99.6;
  BandList list{"b", {0, 9, 10}, {0, 1}, {}, 2};
  CHECK(shares_of(list, steels)[1] * 99.6 == Approx(11.132).margin(1e-3));
  CHECK(density_of(list, 0, steels) == 7.85);
}

TEST_CASE("diffusion: each heat counts at the thickness the layers had then", "[diffusion][forging]") {
  const Forging f = forged(exact_recipe(kFivePlates, R"({ do = "weld", heat = "1260 C", soak = "8 min", to = "50 %", heats = 1 },
    { do = "draw", thickness = "2.5 mm", width = "40 mm", heat = "1090 C", heats = 2 })"));
  const HeatHistory history = heat_history(f.billets[0], 200);
  REQUIRE(history.heats.size() == 3);
  CHECK(history.heats[0].seconds == 480);
  CHECK(history.heats[0].celsius == 1260);
  CHECK(history.heats[0].thinning == Approx(4));
  CHECK(history.heats[1].seconds == 200);
  CHECK(history.heats[1].thinning == Approx(2));
  CHECK(history.heats[2].thinning == Approx(std::sqrt(2.0)));
  REQUIRE(history.notes.size() == 1);
  const Recipe recipe =
      parse_recipe(exact_recipe(kFivePlates, R"({ do = "weld", heat = "1260 C", soak = "8 min", to = "50 %", heats = 1 },
    { do = "draw", thickness = "2.5 mm", width = "40 mm", heat = "1090 C", heats = 2 })"),
                   "t");
  const BandFate bands = diffuse(recipe, f, 200)[0];
  CHECK(bands.thickness_mm[0] == Approx(0.5));
  const ElementFate& nickel = fate(bands, Element::nickel);
  const double d1260 = *diffusivity_mm2_s(Element::nickel, 1260), d1090 = *diffusivity_mm2_s(Element::nickel, 1090);
  CHECK(nickel.dt_mm2 == Approx(d1260 * 480 / 16 + d1090 * 200 / 4 + d1090 * 200 / 2).epsilon(1e-9));
  CHECK(nickel.edge_mm == Approx(2 * std::sqrt(nickel.dt_mm2)));
  CHECK(nickel.centres[1] == Approx(2).epsilon(1e-6));
}

TEST_CASE("diffusion: a soak is for the first heat of a step, the others take no longer than usual", "[diffusion][forging]") {
  const Forging f = forged(exact_recipe(kFivePlates, R"({ do = "weld", soak = "8 min", heats = 3 }, { do = "draw", thickness = "4 mm", soak = "1 min", heats = 2 })"));
  const HeatHistory history = heat_history(f.billets[0], 200);
  REQUIRE(history.heats.size() == 5);
  const double seconds[] = {480, 200, 200, 60, 60};
  for (int i = 0; i < 5; ++i) CHECK(history.heats[size_t(i)].seconds == seconds[i]);
}

TEST_CASE("diffusion: in a forged ladder carbon is even and nickel keeps its layers", "[diffusion][forging]") {
  const Recipe recipe = read_recipe(pattern("ladder-petty.toml"));
  const Forging forging = forge(recipe);
  const std::vector<BandFate> fates = diffuse(recipe, forging);
  REQUIRE(fates.size() == 1);
  CHECK(fate(fates[0], Element::carbon).contrast_left < 0.05);
  CHECK(fate(fates[0], Element::nickel).contrast_left > 0.99);
  CHECK(fate(fates[0], Element::nickel).edge_mm < 0.008);  // about 8 um after an hour at 1250 C, an estimate
  CHECK(fate(fates[0], Element::carbon).edge_mm > 0.1);
}

TEST_CASE("diffusion: a bar laid into another keeps its own list and goes on through the later heats",
          "[diffusion][forging]") {
  const Recipe recipe = read_recipe(pattern("clad-gyuto.toml"));
  const Forging forging = forge(recipe);
  const std::vector<BandFate> fates = diffuse(recipe, forging);
  REQUIRE(fates.size() == 2);
  CHECK(fates[0].billet == "gyuto");
  CHECK(fates[1].billet == "jacket");
  CHECK(fates[1].history.heats.size() > fates[0].history.heats.size());
  // Its first heat: as thick as its own later steps left it, times what the whole blade bar thinned afterwards.
  CHECK(fates[1].history.heats[0].thinning == Approx(heat_history(forging.billets[0]).heats[0].thinning *
                                                     heat_history(forging.billets[1]).heats[0].thinning));
  const double jackets = std::accumulate(fates[1].thickness_mm.begin(), fates[1].thickness_mm.end(), 0.0);
  CHECK(jackets > fates[0].thickness_mm[0]);                                       // before it was dimpled and ground
  // The core's middle: 52100 brings 1.00 % (nominal) and gives some of it to the jackets of 0.8 %.
  CHECK(fate(fates[0], Element::carbon).centres[1] > 0.90);
  CHECK(fate(fates[0], Element::carbon).centres[1] <= 1.0);
}
