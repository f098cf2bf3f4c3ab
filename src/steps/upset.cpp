// upset: shorter and stouter.
#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "workpiece/flattening.hpp"

namespace etchcast {
namespace {

constexpr Parameter kParameters[] = {
    {"length", Unit::length, 1, 20000, "", true, "", "Length after upsetting."},
};
constexpr Example kExamples[] = {
    {R"({ do = "upset", length = "120 mm" })", "width and thickness grow by the same factor"},
};

void apply(const Arguments& a, Workpiece& w) {
  w.need_even(a, false, true);
  const auto wider = [&] { return std::sqrt(w.length() / a.number("length")); };
  w.heat_down(a, false, {wider(), wider()}, 2 * std::log(std::max(1.0, wider())));
  flatten_first(w, w.thickness() / 3, a);
  w.need_even(a, false);
  if (wider() < 1 - 1e-9)
    a.refuse("length", fmt::format("the bar is only {} long here", w.say().length(w.length())), "'draw' makes it longer");
  w.stretch(1 / (wider() * wider()), wider(), wider());
}

}  // namespace

namespace steps {
extern const Step upset{
    "upset", "Drive the bar shorter and stouter.", Kind::bulk, kParameters, kExamples,
    "Shortens the bar to a stated length. Width and thickness grow by the same factor, so layers thicken, and volume is kept. Heats "
    "are estimated as for 'draw'. The bulge at the ends is not followed.",
    apply};
}  // namespace steps
}  // namespace etchcast
