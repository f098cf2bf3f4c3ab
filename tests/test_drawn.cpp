// A bar with humps and hollows drawn out, welded, upset, trimmed: what flat dies do to it first, and where its ridges go.
#include <cmath>
#include <complex>
#include <numbers>

#include <fmt/format.h>

#include "catch.hpp"
#include "check_helpers.hpp"
#include "etchcast/check.hpp"
#include "etchcast/error.hpp"
#include "forge_helpers.hpp"
#include "workpiece/relief.hpp"
#include "workpiece/repeat.hpp"

using namespace etchcast;

namespace {

constexpr double kDegree = std::numbers::pi / 180;

std::string press(const std::string& keys) { return "{ do = \"press\", die = \"round\", " + keys + " },\n"; }
std::string draw(const std::string& keys) { return "{ do = \"draw\", " + keys + " },\n"; }

Forging steps(const std::string& all) { return forged(exact_recipe(kFivePlates, all)); }
const LedgerRow& row(const Forging& f, size_t step) { return f.billets[0].rows[step]; }

/// How much of the figure at height z repeats along the direction `angle` after `spacing`: the amplitude of that wave in the stack
/// coordinate, over twelve spacings about the bar's middle.
double amplitude(const Bar& bar, double spacing, double angle, double z) {
  std::complex<double> sum;
  constexpr int kPoints = 600;
  for (int i = 0; i < kPoints; ++i) {
    const double u = (double(i) / kPoints - 0.5) * 12 * spacing;
    const double x = bar.length_mm / 2 + u / std::cos(angle);  // along the middle line crests stand wider apart
    sum += stack_at(bar, x, 0, z) * std::polar(1.0 / kPoints, -2 * std::numbers::pi * u / spacing);
  }
  return std::abs(sum);
}

/// Spacing along the bar's middle line at which the figure is strongest, near the one expected.
double spacing_seen(const Bar& bar, double expected, double z) {
  double best = 0, most = 0;
  for (double share = 0.9; share < 1.1; share += 0.001) {
    const double strong = amplitude(bar, expected * share, 0, z);
    if (strong > most) most = strong, best = expected * share;
  }
  return best;
}

/// The volume between the faces, by sums.
double volume_between(const Bar& bar) {
  double sum = 0;
  constexpr int kN = 3000, kM = 40;
  for (int i = 0; i < kN; ++i)
    for (int j = 0; j < kM; ++j) {
      const double x = bar.length_mm * (i + 0.5) / kN, y = bar.width_mm * ((j + 0.5) / kM - 0.5);
      sum += bar.top_at(x, y) - bar.bottom_at(x, y);
    }
  return sum * bar.length_mm / kN * bar.width_mm / kM;
}

/// Points of the bar go back to metal of the first stack, and come forth again to where they were.
void check_one_to_one(const Bar& bar, double stack) {
  auto batch = std::make_unique<Batch<double>>();
  *batch = {};
  for (int i = 0; i < kLanes; ++i) {
    const double x = 0.02 * bar.length_mm + 0.96 * bar.length_mm * i / kLanes, y = 0.45 * bar.width_mm * std::sin(i);
    const double low = bar.bottom_at(x, y), share = 0.02 + 0.96 * (i % 17) / 16.0;
    batch->x[i] = x, batch->y[i] = y, batch->z[i] = low + (bar.top_at(x, y) - low) * share;
  }
  const auto start = *batch;
  to_flat(bar, *batch);
  for (int i = 0; i < kLanes; ++i) CHECK(std::abs(batch->z[i]) <= stack / 2 + 0.02);
  from_flat(bar, *batch);
  for (int i = 0; i < kLanes; ++i)
    CHECK(std::hypot(batch->x[i] - start.x[i], batch->y[i] - start.y[i], batch->z[i] - start.z[i]) < 1e-6);
}

}  // namespace

TEST_CASE("draw: a bar with humps is forged flat first, keeps its volume and its layers, and is one to one", "[draw][property]") {
  for (const std::string& uneven : {press("spacing = \"12 mm\", depth = \"1.5 mm\""), press("spacing = \"12 mm\", depth = \"1 mm\", sides = \"top\", angle = \"30 deg\""),
                                   std::string("{ do = \"groove\", depth = \"2 mm\", spacing = \"12 mm\" },"), std::string("{ do = \"hammer\", depth = \"0.8 mm\", spacing = \"10 mm\" },"),
                                   std::string("{ do = \"dimple\", depth = \"1 mm\", spacing = \"11 mm\" },")}) {
    INFO(uneven);
    const Forging f = steps(uneven + draw("thickness = \"5 mm\", width = \"42 mm\""));
    const Bar& bar = f.last();
    CHECK(bar.even());
    CHECK(bar.thickness_mm == Approx(5).epsilon(1e-9));
    CHECK(bar.width_mm == Approx(42));
    CHECK(bar.volume_mm3 == Approx(row(f, 1).volume_mm3).epsilon(1e-9));
    CHECK(bar.volume_mm3 == Approx(bar.length_mm * 42 * 5).epsilon(5e-5));
    CHECK(row(f, 2).removed_mm3 == Approx(0).margin(1e-6));
    CHECK(row(f, 2).layers_most == 5);
    CHECK(row(f, 2).notes.front().find("flat dies push the humps down first") != std::string::npos);
    check_one_to_one(bar, 10);
  }
}

TEST_CASE("draw: ridges stand the elongation further apart, on the map itself and in the ledger", "[draw]") {
  // The bar grows from the press to the end by so much; so must what stands along it. Identity.
  const Forging f = steps(press("spacing = \"12 mm\", depth = \"1.5 mm\"") + draw("thickness = \"5 mm\", width = \"40 mm\""));
  const double expected = 12 * f.last().length_mm / row(f, 1).length_mm;
  CHECK(row(f, 2).rung_spacing_mm == Approx(expected).epsilon(2e-3));
  CHECK(row(f, 2).along == Approx(f.last().length_mm / row(f, 1).length_mm).epsilon(2e-3));
  CHECK(spacing_seen(f.last(), expected, 1) == Approx(expected).epsilon(3e-3));
  const std::string told = fmt::format("the rungs now stand {:.1f} mm", expected);
  bool found = false;
  for (const std::string& note : row(f, 2).notes) found = found || note.rfind(told, 0) == 0;
  CHECK(found);
  CHECK(ledger_json(parse_recipe(exact_recipe(kFivePlates, ""), "test.toml"), f).find("\"rung_spacing_mm\"") != std::string::npos);
}

TEST_CASE("draw: slanted ridges turn as the bar lengthens, and so do the layers", "[draw]") {
  // Lines of slope tan a in a bar drawn out by lx along and ly across: tan a' = tan a lx / ly. Identity.
  for (const double angle : {30.0, -20.0, 60.0}) {
    const Forging f = steps(press(fmt::format("spacing = \"12 mm\", depth = \"1.2 mm\", angle = \"{} deg\"", angle)) + draw("thickness = \"6 mm\", width = \"44 mm\""));
    INFO(angle);
    const double along = f.last().length_mm / row(f, 1).length_mm, across = 1.1, slope = std::tan(angle * kDegree) * along / across;
    const LedgerRow& last = row(f, 2);
    CHECK(std::tan(last.rung_angle_rad) == Approx(slope).epsilon(5e-3));
    CHECK(last.rung_spacing_mm == Approx(12 / std::hypot(std::cos(angle * kDegree) / along, std::sin(angle * kDegree) / across)).epsilon(5e-3));
    // A spacing on along the normal, and anywhere along a rung, the figure is the same.
    const double c = std::cos(last.rung_angle_rad), s = std::sin(last.rung_angle_rad);
    double on = 0, along_rung = 0, swing = 0;
    for (int i = 0; i < 60; ++i) {
      const double x = f.last().length_mm / 2 + 0.31 * i, y = -3, z = 0.8, here = stack_at(f.last(), x, y, z);
      on = std::max(on, std::abs(stack_at(f.last(), x + last.rung_spacing_mm * c, y + last.rung_spacing_mm * s, z) - here));
      along_rung = std::max(along_rung, std::abs(stack_at(f.last(), x - 9 * s, y + 9 * c, z) - here));
      swing = std::max(swing, std::abs(here - stack_at(f.last(), f.last().length_mm / 2, y, z)));
    }
    CHECK(swing > 0.1);
    CHECK(on < 0.02 * swing);
    CHECK(along_rung < 0.02 * swing);
  }
}

TEST_CASE("draw: in one step or two the uneven bar becomes the same", "[draw]") {
  const std::string ladder = press("spacing = \"12 mm\", depth = \"1.5 mm\"");
  const Forging once = steps(ladder + draw("thickness = \"4 mm\"")), twice = steps(ladder + draw("thickness = \"6 mm\"") + draw("thickness = \"4 mm\""));
  // The first draw may also stop while floors are hollow yet.
  const Forging early = steps(ladder + draw("thickness = \"8.5 mm\"") + draw("thickness = \"4 mm\""));
  CHECK_FALSE(early.billets[0].bars[2]->even());
  CHECK(twice.last().length_mm == Approx(once.last().length_mm).epsilon(1e-9));
  for (const auto& [other, margin] : {std::pair{&twice, 1e-6}, std::pair{&early, 0.06}})
    for (int i = 0; i < 40; ++i) {
      const double x = once.last().length_mm * (0.4 + 0.005 * i), z = -1.8 + 3.6 * (i % 7) / 6.0;
      CHECK(stack_at(other->last(), x * other->last().length_mm / once.last().length_mm, 2, z) == Approx(stack_at(once.last(), x, 2, z)).margin(margin));
    }
  CHECK(row(early, 3).rung_spacing_mm == Approx(row(once, 2).rung_spacing_mm).epsilon(5e-3));
}

TEST_CASE("draw: stopped before the floors have come up, it leaves them hollow and says so", "[draw]") {
  for (const std::string& uneven : {press("spacing = \"12 mm\", depth = \"1.5 mm\", angle = \"15 deg\""), std::string("{ do = \"hammer\", depth = \"0.8 mm\", spacing = \"10 mm\" },")}) {
    const Forging f = steps(uneven + draw("thickness = \"9.3 mm\", width = \"43 mm\""));
    INFO(uneven);
    CHECK_FALSE(f.last().even());
    CHECK(f.last().thickness_mm == Approx(9.3).epsilon(5e-3));
    CHECK(f.last().width_mm == Approx(43));
    CHECK(row(f, 2).notes.front().find("hollow") != std::string::npos);
    CHECK(volume_between(f.last()) == Approx(f.last().volume_mm3).epsilon(1e-3));
    CHECK(f.last().volume_mm3 == Approx(row(f, 1).volume_mm3).epsilon(1e-9));
    check_one_to_one(f.last(), 10);
    // Faces are the metal's own: the skin is skin.
    for (double x = 60; x < 150; x += 1.7) CHECK(stack_at(f.last(), x, 2, f.last().top_at(x, 2)) == Approx(10).margin(0.03));
  }
}

TEST_CASE("weld and upset: an uneven bar is forged flat first", "[draw]") {
  const std::string ladder = press("spacing = \"12 mm\", depth = \"1.2 mm\"");
  const Forging welded = steps(ladder + "{ do = \"weld\", to = \"60 %\" },"), upset = steps(ladder + "{ do = \"upset\", length = \"150 mm\" },");
  CHECK(welded.last().even());
  CHECK(welded.last().thickness_mm == Approx(0.6 * row(welded, 1).thickness_mm).epsilon(1e-6));
  CHECK(upset.last().even());
  CHECK(upset.last().length_mm == Approx(150));
  for (const Forging* f : {&welded, &upset}) {
    CHECK(f->last().volume_mm3 == Approx(200 * 40 * 10.0).epsilon(1e-9));
    check_one_to_one(f->last(), 10);
  }
  CHECK(row(upset, 2).rung_spacing_mm == Approx(12 * 150 / row(upset, 1).length_mm).epsilon(5e-3));
}

TEST_CASE("draw: a pressed bar is forged round by way of a flat one", "[draw]") {
  const Forging f = forged(exact_recipe(kFivePlates, press("spacing = \"12 mm\", depth = \"1 mm\"") + draw("thickness = \"7 mm\", section = \"round\""), "",
                                        "width = \"12 mm\"\nlength = \"200 mm\"\n"));
  CHECK(f.last().section == Section::round);
  CHECK(f.last().volume_mm3 == Approx(200 * 12 * 10.0).epsilon(1e-9));
}

TEST_CASE("trim: an uneven bar may be sawn and keeps its faces", "[draw]") {
  const std::string ladder = press("spacing = \"12 mm\", depth = \"1.2 mm\", angle = \"20 deg\"");
  const Forging whole = steps(ladder), cut = steps(ladder + "{ do = \"trim\", heel = \"17 mm\", tip = \"9 mm\", sides = \"3 mm\" },");
  CHECK(cut.last().length_mm == Approx(whole.last().length_mm - 26));
  CHECK(cut.last().width_mm == Approx(34));
  CHECK(volume_between(cut.last()) == Approx(cut.last().volume_mm3).epsilon(5e-4));
  for (int i = 0; i < 50; ++i) {
    const double x = 3 + 3.3 * i, y = 15 * std::sin(i);
    CHECK(cut.last().top_at(x, y) == Approx(whole.last().top_at(x + 17, y)).margin(1e-12));
    CHECK(stack_at(cut.last(), x, y, 0.7) == Approx(stack_at(whole.last(), x + 17, y, 0.7)).margin(1e-9));
  }
  // What comes after finds the pattern where it is now.
  const Forging flat = steps(ladder + "{ do = \"trim\", heel = \"17 mm\" }, { do = \"flatten\" },");
  CHECK(row(flat, 3).rough.empty());
  for (double x = 60; x < 120; x += 1.3) CHECK(stack_at(flat.last(), x, 0, flat.last().top_at(x, 0)) == Approx(10).margin(0.03));
}

TEST_CASE("turn: a grooved bar of flat layers has its grooves on the other face", "[draw]") {
  const Forging f = steps("{ do = \"groove\", depth = \"1 mm\", spacing = \"12 mm\", sides = \"top\" }, { do = \"turn\", by = \"180 deg\" },");
  CHECK(f.last().top->form() == Relief::Form::flat);
  CHECK(f.last().bottom->highest() - f.last().bottom->lowest() == Approx(1).margin(0.01));
}

TEST_CASE("steps that need flat faces say how uneven the bar is and what to do", "[draw]") {
  const Bar pressed = steps(press("spacing = \"12 mm\", depth = \"1.5 mm\"")).last();
  const std::string told = fmt::format("humps stand up to {:.2f} mm (0.0", pressed.top->highest() - pressed.top->lowest());
  for (const std::string step : {"{ do = \"restack\", pieces = 2 },", "{ do = \"fold\" },", "{ do = \"turn\" },", "{ do = \"twist\", rate = \"1 turns/in\" },"}) {
    INFO(step);
    try {
      steps(press("spacing = \"12 mm\", depth = \"1.5 mm\"") + step);
      FAIL("nothing refused");
    } catch (const Error& error) {
      const Diagnostic& d = error.diagnostics().front();
      CHECK(d.message.find(told) != std::string::npos);
      CHECK(d.message.find(" in) over the hollows") != std::string::npos);
      CHECK(d.hint.find("'grind'") != std::string::npos);
      CHECK(d.hint.find("'flatten'") != std::string::npos);
    }
  }
}

TEST_CASE("press: ridges along the bar may be pressed again, and the bar drawn out", "[draw]") {
  const std::string along = press("spacing = \"10 mm\", depth = \"1 mm\", sides = \"top\", angle = \"90 deg\"");
  const Forging f = steps(along + along + draw("thickness = \"6 mm\", width = \"40 mm\""));
  CHECK(row(f, 2).rough.empty());
  CHECK(f.last().volume_mm3 == Approx(200 * 40 * 10.0).epsilon(1e-9));
  check_one_to_one(f.last(), 10);
}
