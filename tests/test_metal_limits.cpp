// The metal's flow against closed forms, limits and symmetries.
#include <vector>

#include <fmt/format.h>

#include "catch.hpp"
#include "etchcast/error.hpp"
#include "metal/contact.hpp"
#include "metal_helpers.hpp"

using namespace metal_test;

namespace {

Shape level_bar(double half, double thickness, int cells) {
  Shape s;
  s.half = half;
  s.bottom = Face(std::vector<double>(size_t(cells), 0.0)), s.top = Face(std::vector<double>(size_t(cells), thickness));
  return s;
}

/// Vertical velocity at height z under the crest, less its mean along the bar, of a level bar whose upper face (and, if
/// `both`, lower face) is pressed with V cos kx; over V.
double wave(double kh, double thickness, bool both, double friction_top, double friction_base, double z) {
  const double half = kPi / kh, depth = 0.02;
  const int along = 12, through = 16;
  Tool form;
  form.kind = Tool::Kind::form, form.depth = depth;
  form.rise = [=](double x) { return depth / 2 * (1 - std::cos(kPi * x / half)); };
  Tool plane = form;
  plane.depth = 0, plane.rise = [](double) { return 0.0; };
  Creep creep(along, through, true, 1, false);
  const Shape shape = level_bar(half, thickness, along);
  const auto level = [](double height) { return [height](double) { return height; }; };
  Die top(form, 1, level(thickness), thickness, 1), bottom(both ? form : plane, -1, level(0), 0, 1);
  top.set_half_after(half), bottom.set_half_after(half);
  std::vector<etchcast::metal::Row> rows;
  const std::vector<double> closed(size_t(2 * along), 0.0);
  add_rows(creep.mesh(), shape, bottom, 0, closed, 1, friction_base, rows);
  add_rows(creep.mesh(), shape, top, 0, closed, 1, friction_top, rows);
  creep.set_shape(shape);
  creep.solve(rows);
  return (creep.velocity(0, z).w - creep.velocity(half, z).w) / -depth;
}

}  // namespace

TEST_CASE("metal: small waves die out as in slow viscous flow of a layer", "[metal]") {
  // Mid-plane of a layer of thickness H pressed with V cos kx. Biharmonic equation solved in closed form (identity);
  // base on a mirror plane: slips; or welded to a rigid base: sticks.
  struct Line {
    double kh, mirror_slip, mirror_stick, rigid_slip, rigid_stick;
  };
  for (const Line& l :
       {Line{1, 0.545863, 0.671815, 0.351508, 0.498762}, Line{2, 0.570804, 0.613188, 0.411349, 0.483090},
        Line{kPi, 0.486346, 0.493245, 0.406376, 0.424953}, Line{6, 0.197919, 0.197941, 0.193509, 0.193637}}) {
    INFO("kH = " << l.kh);
    CHECK(wave(l.kh, 1, false, 0, 0, 0.5) == Approx(l.mirror_slip).margin(1e-3));
    CHECK(wave(l.kh, 1, false, 0, 1, 0.5) == Approx(l.rigid_slip).margin(1e-3));
    CHECK(wave(l.kh, 1, false, 1, 1, 0.5) == Approx(l.rigid_stick).margin(1e-3));
    // Aligned dies: the mid-plane is the mirror, H half the thickness.
    CHECK(wave(l.kh, 2, true, 1, 1, 1.5) == Approx(l.mirror_stick).margin(1e-3));
  }
}

TEST_CASE("metal: a deep body dies out as (1 + kz) exp(-kz), sticking or not", "[metal]") {
  // Half-space: Turcotte and Schubert, Geodynamics, "Postglacial rebound" (value from memory; the field is an
  // identity).
  for (const double friction : {0.0, 1.0})
    for (const double kz : {0.5, 1.0, 2.0, kPi}) {
      const double kh = 12;
      CHECK(wave(kh, 1, false, friction, friction, 1 - kz / kh) == Approx((1 + kz) * std::exp(-kz)).margin(1e-3));
    }
}

TEST_CASE("metal: a wave on one face of a thin sticking layer dies out as 3 s^2 - 2 s^3", "[metal]") {
  // Lubrication limit kH -> 0, m = 1: identity.
  for (const double s : {0.2, 0.4, 0.5, 0.7, 0.9})
    CHECK(wave(0.1, 1, false, 1, 1, s) == Approx(3 * s * s - 2 * s * s * s).margin(1e-3));
}

TEST_CASE("metal: flat platens upset evenly, whatever the friction", "[metal]") {
  // Anvils stretch with the bar: every section stays plane. Exact.
  for (const double friction : {0.0, 0.4, 1.0})
    for (const double m : {0.17, 1.0}) {
      Problem p;
      p.half_repeat = 0.4, p.repeat_before = true, p.sensitivity = m, p.friction = friction;
      p.top.depth = 0.3;
      const auto t_kept = solve(p, {10, 8, 12, 32, 16}).table;
      const FlowTable& t = *t_kept;
      CHECK(t.lengthening() == Approx(1 / 0.7).epsilon(1e-9));
      for (const double c : {0.0, 0.13, 0.5, 0.9, 1.0}) {
        const auto w = t.jet(0.31, c);
        CHECK(w.x == Approx(0.7 * c).margin(2e-4));
        CHECK(std::abs(w.slide) < 2e-4);
      }
    }
}

TEST_CASE("metal: long waves under slipping forms keep sections plane", "[metal]") {
  // Limit of flow = "plane": z = c h(x). The rest is of order (kH)^2 = 0.02.
  const Problem p = pressing("A", 40, 0.2, false, 1);
  const auto t_kept = solve(p, fineness_for(p)).table;
  const FlowTable& t = *t_kept;
  for (double x = 0; x <= t.half_after(); x += t.half_after() / 9)
    for (const double c : {0.1, 0.5, 0.8}) CHECK(t.jet(x, c).x == Approx(c * t.jet(x, 1.0).x).margin(0.01 * 0.2));
}

TEST_CASE("metal: symmetric dies give symmetric answers", "[metal]") {
  const Problem aligned = [] {
    Problem p = pressing("E", 1, 0.15, true, 0.3);
    p.bottom.crest = 0;
    return p;
  }();
  const auto a_kept = solve(aligned, fineness_for(aligned)).table;
  const FlowTable& a = *a_kept;
  const Problem staggered = pressing("E", 1, 0.15, false, 0.3);
  const auto s_kept = solve(staggered, fineness_for(staggered)).table;
  const FlowTable& s = *s_kept;
  for (int i = 0; i <= 20; ++i)
    for (const double c : {0.05, 0.3, 0.5, 0.8, 1.0}) {
      const double x = a.half_after() * i / 20, y = s.half_after() * i / 20;
      CHECK(a.jet(x, c).x == Approx(1 - a.jet(x, 1 - c).x).margin(0.01 * 0.15));
      // Staggered: half a turn about the middle.
      CHECK(s.jet(y, c).x == Approx(1 - s.jet(s.half_after() - y, 1 - c).x).margin(0.01 * 0.15));
    }
}

TEST_CASE("metal: half the mesh and half the steps change little", "[metal]") {
  for (const auto& [name, m] : {std::pair{"A", 0.2}, {"C", 0.2}, {"D", 1.0}, {"D", 0.17}, {"E", 1.0}}) {
    const Problem p = pressing(name, 1, 0.2, true, m);
    const Fineness f = fineness_for(p);
    const Fineness twice{2 * f.along, 2 * f.through, 2 * f.steps, f.columns, f.lines};
    const double change = difference(*solve(p, f).table, *solve(p, twice).table);
    INFO(fmt::format("{} m = {}: {:.3f} % of the depth", name, m, 100 * change / 0.2));
    CHECK(change < 0.005 * 0.2);
  }
}

TEST_CASE("metal: friction between slipping and sticking lies between them", "[metal]") {
  std::vector<double> lengthening;
  for (const double friction : {0.0, 0.3, 1.0}) {
    Problem p = pressing("E", 2, 0.2, true, 1);
    p.friction = friction;
    lengthening.push_back(solve(p, fineness_for(p)).table->lengthening());
  }
  CHECK(lengthening[0] > lengthening[1]);
  CHECK(lengthening[1] > lengthening[2]);
}

TEST_CASE("metal: the repeat asked for is the one seen afterwards", "[metal]") {
  Problem p = pressing("E", 1, 0.2, false, 0.17);
  p.repeat_before = false;
  const auto after_kept = solve(p, fineness_for(p)).table;
  const FlowTable& after = *after_kept;
  CHECK(after.half_after() == 0.5);
  Problem q = p;
  q.repeat_before = true, q.half_repeat = after.half_before();
  const auto before_kept = solve(q, fineness_for(q)).table;
  const FlowTable& before = *before_kept;
  CHECK(before.half_after() == Approx(0.5).epsilon(0.01));
  CHECK(difference(after, before) < 0.01 * 0.2);
}

TEST_CASE("metal: a grooved bar forged between platens, and ridges pressed into it, are the same calculation",
          "[metal]") {
  // A cosine groove of a fifth of the thickness on the upper face.
  const double share = 1 / 0.9;
  Problem p;
  p.half_repeat = 0.5, p.repeat_before = true, p.friction = 0.3;
  p.top_before = [=](double xi) { return share * (1 - 0.1 * (1 + std::cos(kPi * xi))); };
  p.bottom_before = [](double) { return 0.0; };
  p.top.depth = share * 0.2;
  const Flow flat = solve(p, fineness_for(p));
  const auto height = [&](const Flow& f, double part) { return f.table->jet(part * f.table->half_after(), 1.0).x; };
  CHECK(height(flat, 1) == Approx(share * 0.8).margin(2e-3));
  CHECK(height(flat, 0) < share * 0.8 + 2e-3);
  CHECK(height(flat, 1) - height(flat, 0) < 0.35 * share * 0.2);  // most of the hollow has closed
  CHECK(flat.touch_top > 0.4);
  // A form of no relief closes it wholly: lengthening is mean over final thickness.
  p.top.kind = Tool::Kind::form, p.top.rise = [](double) { return 0.0; };
  const Flow closed = solve(p, fineness_for(p));
  CHECK(closed.table->lengthening() == Approx(1 / (share * 0.8)).epsilon(1e-4));
  CHECK(height(closed, 0) == Approx(height(closed, 1)).margin(2e-3));
  // A ridge in the groove: first touch is below the old face.
  p.top.kind = Tool::Kind::ridge, p.top.rise = round_nose(0.2), p.top.depth = 0.35;
  CHECK(height(solve(p, fineness_for(p)), 0) == Approx(share - 0.35).margin(2e-3));
}

TEST_CASE("metal: what cannot be pressed is refused in plain words", "[metal]") {
  const auto words = [](const Problem& p) -> std::string {
    try {
      solve(p, fineness_for(p));
    } catch (const Error& error) {
      return error.diagnostics().front().message;
    }
    return "";
  };
  CHECK(words(pressing("D", 1, 1.1, true, 1)).find("deeper than the bar") != std::string::npos);
  Problem meeting = pressing("E", 1, 0.55, true, 1);
  meeting.bottom.crest = 0;
  CHECK(words(meeting).find("dies would meet") != std::string::npos);
  CHECK(words(pressing("E0", 1, 0.35, true, 0.2)).find("fill completely") != std::string::npos);
  CHECK(!words(pressing("E", 1000, 0.2, true, 1)).empty());
}
