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
    {"hand", Unit::word, 0, 0, "right", false, "right|left", "Which way the bar is twisted. Right: like a right-hand screw."},
    {"from", Unit::length, 0, 20000, "", false, "",
     "Where the twisted part begins, measured from the heel end. Left out: at the heel end."},
    {"to", Unit::length, 0, 20000, "", false, "", "Where the twisted part ends. Left out: at the tip end."},
    {"after", Unit::word, 0, 0, "square", false, "square|round|none",
     "What is done with the twisted bar: it is squared up again, forged round, or left with its corners standing out."},
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

/// The square that a bar can be drawn to: a little less than its section, so that there is metal for it.
std::string squaring_advice(const Workpiece& w) {
  const double side = std::floor(1.9 * std::sqrt(w.width() * w.thickness())) / 2;
  const std::string to = fmt::format("{{ do = \"draw\", thickness = \"{0:g} mm\", width = \"{0:g} mm\" }}", side);
  if (w.thickness() >= side) return "draw it square first: " + to;
  return fmt::format("stand it on edge and draw it square from there: {{ do = \"turn\" }}, {}", to);
}

void check_section(const Arguments& a, const Workpiece& w) {
  const double ratio = w.width() / w.thickness();
  if (w.bar().section == Section::rect && (ratio > 1.05 || ratio < 1 / 1.05))
    a.refuse("do", fmt::format("the bar is {}: only a square or round bar twists evenly", w.say().lengths({w.width(), w.thickness()})),
             squaring_advice(w));
}

/// Turning, then squaring up or rounding. Estimates: 3 s for a turn of the wrench, above 1050 C; corners that are struck in
/// go down by a third of the way from corner to flat.
int heats_to_twist(const Workpiece& w, double heat_c, double turns, const std::string& after) {
  constexpr double kTurn = 3, kCarry = 6, kColdest = 1050, kCorners = 0.35;  // s, s, C, ln(height)
  const double hot = hot_seconds(w.width(), w.thickness(), heat_c, std::min(kColdest, heat_c - 100));
  const int turning = std::max(1, int(std::ceil(turns * kTurn / std::max(hot - kCarry, hot / 4))));
  if (after == "none") return turning;
  return turning + heats_for({w.length(), w.width(), w.thickness(), {}, kCorners, heat_c, 900, w.tool()});
}

/// Common practice: a bar shortens by 2 to 8 % (value from memory of the trade). A forecast does not follow it.
void tell_shorter(Workpiece& w, double twisted) {
  w.note(fmt::format("a real bar gets 2 to 8 % shorter and thicker where it is twisted, here {} to {}; these sizes do not follow it",
                     w.say().length(0.02 * twisted), w.say().length(0.08 * twisted)));
}

/// The bar keeps its corners. What is sound all along is the round inside; the books count all the metal.
void leave_corners(Workpiece& w) {
  const double inside = std::min(w.width(), w.thickness()), volume = w.bar().volume_mm3;
  w.note(fmt::format("the corners stand out as a screw, {} across; the sound round inside is {}",
                     w.say().length(std::hypot(w.width(), w.thickness())), w.say().length(inside)));
  w.set_size(w.length(), inside, inside);
  w.settle_volume(volume);
  w.set_corners(true);
}

/// The twist as a motion, and the section it leaves.
void twist_bar(Workpiece& w, const Turning& turning, const std::string& after) {
  const bool square_before = w.bar().section == Section::rect;
  if (after == "none" || (!square_before && after == "round")) {
    w.bend(make_map(RigidTwistMotion{turning}));
    if (square_before) leave_corners(w);
    return w.set_section(Section::round);
  }
  const double side = w.thickness() * std::sqrt(squaring::kPi) / 2;
  const double half_w = square_before ? w.width() / 2 : side / 2, half_t = square_before ? w.thickness() / 2 : side / 2;
  const double mean = std::sqrt(half_w * half_t);
  const RingedSection square{true, half_w, half_t}, round{false, mean, mean};
  w.bend(twist_map(square_before ? square : round, after == "square" ? square : round, turning));
  if (after == "square") {
    w.set_section(Section::rect);
    w.set_size(w.length(), 2 * half_w, 2 * half_t);
    return w.set_faces(Relief::flat(-half_t), Relief::flat(half_t));
  }
  const double diameter = 4 * std::sqrt(half_w * half_t / squaring::kPi);
  w.set_size(w.length(), diameter, diameter);
  w.set_section(Section::round);
}

void apply(const Arguments& a, Workpiece& w) {
  w.need_even(a, false);
  if (a.has("rate") == a.has("turns")) a.refuse("do", "a twist needs either 'rate' or 'turns'", "e.g. rate = \"1.25 turns/in\"");
  check_section(a, w);
  w.set_rungs({});
  const std::string after = a.word("after");
  const double whole = a.has("turns") ? a.number("turns") : a.number("rate") / kTwoPi * w.length();
  w.heat(a, false, heats_to_twist(w, w.heat_of(a, false), whole, after));
  const double from = a.has("from") ? a.number("from") : 0, to = a.has("to") ? std::min(a.number("to"), w.length()) : w.length();
  if (to <= from)
    a.refuse("to", fmt::format("the twisted part would end before it begins ({} to {})", w.say().length(from), w.say().length(to)));
  const double turns_per_mm = a.has("rate") ? a.number("rate") / kTwoPi : a.number("turns") / (to - from);
  const double rate = kTwoPi * turns_per_mm * (a.word("hand") == "left" ? -1 : 1);
  w.row().twist_rad_mm = rate;
  if (rate != 0) tell_shorter(w, to - from);
  twist_bar(w, {rate, from, to}, after);
}

}  // namespace

namespace steps {
extern const Step twist{
    "twist", "Twist the bar about its length.", Kind::bulk, kParameters, kExamples,
    "Needs a round bar, or a square one within 5 %. Each section turns as a whole. Length and section keep their size: a real bar "
    "gets 2 to 8 % shorter and thicker (common practice), which is told and not followed. Squaring up uses a map that keeps area "
    "exactly, changes nothing near the axis and creases only at the corners. The metal shears by its distance from the axis times the "
    "turn per length: most at the corners of a square, where the layers open first. How much it bears depends on the heat; `check` "
    "compares ([model.md](model.md#twist)). Common rates on bars of 10 to 13 mm (3/8 to 1/2 in): loose 1 turn in 2 in, medium 1 to "
    "1.5 turns an inch, tight 2 to 4. The usual heat is 1090 to 1230 C (2000 to 2250 F), even over the length. On a plane at distance c "
    "from the axis the layer met is c cos(wx) - y sin(wx): slanting stripes near the skin, stars with a node every half turn at the axis.",
    apply};
}  // namespace steps
}  // namespace etchcast
