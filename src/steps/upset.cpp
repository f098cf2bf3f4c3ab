// upset: shorter and stouter.
#include <cmath>

#include <fmt/format.h>

#include "workpiece/flattening.hpp"

namespace etchcast {
namespace {

constexpr Parameter kParameters[] = {
    {"length", Unit::length, 1, 20000, "", true, "", "Length after upsetting."},
};
constexpr Example kExamples[] = {
    {R"({ do = "upset", length = "120 mm" })", "width and thickness grow alike"},
};

void apply(const Arguments& a, Workpiece& w) {
  w.need_even(a, false, true);
  w.heat(a, false, 1);
  flatten_first(w, w.thickness() / 3, a);
  w.need_even(a, false);
  const double along = a.number("length") / w.length();
  if (along > 1 + 1e-9)
    a.refuse("length", fmt::format("the bar is only {:.1f} mm long here", w.length()), "'draw' makes it longer");
  w.stretch(along, 1 / std::sqrt(along), 1 / std::sqrt(along));
}

}  // namespace

namespace steps {
extern const Step upset{
    "upset", "Drive the bar shorter and stouter.", Kind::bulk, kParameters, kExamples,
    "Shortens the bar to a stated length; width and thickness grow by the same factor, so layers thicken. Volume is kept. "
    "Bulging at the ends is not followed.",
    apply};
}  // namespace steps
}  // namespace etchcast
