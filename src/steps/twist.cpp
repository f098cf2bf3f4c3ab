// twist: the bar turned about its length, at an even rate.
#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "tape/section_map.hpp"
#include "tape/squaring.hpp"
#include "workpiece/workpiece.hpp"

namespace etchcast {
namespace {

constexpr double kTwoPi = 2 * squaring::kPi;
constexpr Parameter kParameters[] = {
    {"rate", Unit::turns_per_length, 0, 5, "", false, "", "Turns per length, e.g. \"1.25 turns/in\"."},
    {"turns", Unit::turns, 0, 1000, "", false, "", "Turns in all, instead of a rate."},
    {"hand", Unit::word, 0, 0, "right", false, "right|left", "Right: like a right-hand screw."},
    {"from", Unit::length, 0, 20000, "", false, "", "Where the twisted part begins, from the heel end. Default: the end."},
    {"to", Unit::length, 0, 20000, "", false, "", "Where it ends. Default: the other end."},
    {"after", Unit::word, 0, 0, "square", false, "square|round|none",
     "Squared up again, forged round, or left as twisted with its corners standing out."},
};
constexpr Example kExamples[] = {
    {R"({ do = "twist", rate = "1 turns/in" })", "nodes every half inch on a plane through the axis"},
};

/// Left as twisted: every section turned rigidly, corners and all.
struct RigidTwistMotion {
  static constexpr const char* kName = "twist";
  Turning turning;
  template <class Real>
  void before_from_after(Point<Dual<Real>>& p) const { turn(p, Turns<Real>(turning, -1)); }
  template <class Real>
  void after_from_before(Point<Dual<Real>>& p) const { turn(p, Turns<Real>(turning, 1)); }

 private:
  template <class Real>
  static void turn(Point<Dual<Real>>& p, const Turns<Real>& turns) {
    const squaring::Unfolded<Real> fold(turns.quarters(p.x.v));
    Real s_eighth, c_eighth, s, c;
    sine_cosine_eighth(Real(squaring::kPi / 4) * fold.eighth, s_eighth, c_eighth);
    fold.out(c_eighth, s_eighth, c, s);
    const Dual<Real> angle = chain(Real(0), Real(squaring::kPi / 2) * turns.slope(p.x.v), p.x);
    const Dual<Real> sine = chain(s, c, angle), cosine = chain(c, -s, angle), y = p.y * cosine - p.z * sine;
    p.z = p.y * sine + p.z * cosine;
    p.y = y;
  }
};

void check_section(const Arguments& a, const Workpiece& w) {
  const double ratio = w.width() / w.thickness();
  if (w.bar().section == Section::rect && (ratio > 1.05 || ratio < 1 / 1.05))
    a.refuse("do", fmt::format("a bar of {:.2f} x {:.2f} mm does not twist evenly", w.width(), w.thickness()),
             fmt::format("draw it square first, e.g. both to {:.1f} mm", std::sqrt(w.width() * w.thickness())));
}

void apply(const Arguments& a, Workpiece& w) {
  w.need_even(a, false);
  if (a.has("rate") == a.has("turns")) a.refuse("do", "a twist needs either 'rate' or 'turns'", "e.g. rate = \"1.25 turns/in\"");
  w.heat(a, false, 1);
  check_section(a, w);
  w.set_rungs({});
  const double from = a.has("from") ? a.number("from") : 0, to = a.has("to") ? std::min(a.number("to"), w.length()) : w.length();
  if (to <= from) a.refuse("to", fmt::format("the twisted part would end before it begins ({:.1f} to {:.1f} mm)", from, to));
  const double turns_per_mm = a.has("rate") ? a.number("rate") / kTwoPi : a.number("turns") / (to - from);
  const double rate = kTwoPi * turns_per_mm * (a.word("hand") == "left" ? -1 : 1);
  const double shear = std::abs(rate) * w.thickness() / 2;
  if (shear > 3)
    w.warn(a.call().place, fmt::format("{:.2f} turns/in on a bar {:.1f} mm thick shears the skin by {:.1f}: above about 3 it tears",
                                       turns_per_mm * 25.4, w.thickness(), shear));
  const bool square_before = w.bar().section == Section::rect;
  const std::string after = a.word("after");
  if (after == "none" || (!square_before && after == "round")) {
    w.bend(make_map(RigidTwistMotion{{rate, from, to}}));
  } else {
    const double side = square_before ? 0 : w.thickness() * std::sqrt(squaring::kPi) / 2;
    const double half_w = square_before ? w.width() / 2 : side / 2, half_t = square_before ? w.thickness() / 2 : side / 2;
    const double mean = std::sqrt(half_w * half_t);
    const RingedSection square{true, half_w, half_t}, round{false, mean, mean};
    w.bend(twist_map(square_before ? square : round, after == "square" ? square : round, {rate, from, to}));
    if (after == "square") {
      w.set_section(Section::rect);
      w.set_size(w.length(), 2 * half_w, 2 * half_t);
      w.set_faces(Relief::flat(-half_t), Relief::flat(half_t));
      return;
    }
    const double diameter = 4 * std::sqrt(half_w * half_t / squaring::kPi);
    w.set_size(w.length(), diameter, diameter);
  }
  if (after == "none" && square_before) {
    const double inside = std::min(w.width(), w.thickness());
    w.note(fmt::format("corners stand out as a screw; the sound round inside is {:.2f} mm", inside));
    w.set_size(w.length(), inside, inside);
    w.settle_volume(w.length() * squaring::kPi / 4 * inside * inside);
  }
  w.set_section(Section::round);
}

}  // namespace

namespace steps {
extern const Step twist{
    "twist", "Twist the bar about its length.", Kind::bulk, kParameters, kExamples,
    "Needs a round bar or a square one within 5 %. Each section turns rigidly; length and section keep their size (a real bar "
    "shortens by 2 to 8 %, not followed). Squaring up uses a map that keeps area exactly, is the identity near the axis and "
    "creases only at the corners. Surface shear is pi times diameter times turns per length; above about 3 bars tear. "
    "Common rates: loose 1 turn in 2 in, medium 1-1.5 in 1 in, tight 2-4. On a plane at distance c from the axis the layer "
    "met is c cos(wx) - y sin(wx): slanting stripes near the skin, stars with a node every half turn at the axis.",
    apply};
}  // namespace steps
}  // namespace etchcast
