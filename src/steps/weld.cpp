// weld: the pile becomes one bar at welding heat.
#include <cmath>

#include <fmt/format.h>

#include "workpiece/workpiece.hpp"

namespace etchcast {
namespace {

constexpr Parameter kParameters[] = {
    {"to", Unit::share, 0.1, 0.98, "60 %", false, "", "Height of the welded bar as a share of the pile's height."},
    {"spread", Unit::number, 0, 1, "0.5", false, "",
     "How much of the squeeze goes into width: width grows by (height before / after) to this power."},
};
constexpr Example kExamples[] = {
    {R"({ do = "weld", heat = "1260 C", soak = "8 min", to = "60 %" })", "a 27.2 mm pile becomes a 16.3 mm bar"},
};

void apply(const Arguments& a, Workpiece& w) {
  w.need_even(a);
  w.heat(a, true, 1);
  const double through = a.number("to");
  if (through > 0.67)
    w.warn(a.call().place, fmt::format("welded to {:.0f} % of the pile's height: common practice is 50 to 67 % while still "
                                       "at welding heat, or seams may open later", through * 100));
  const double across = std::pow(1 / through, a.number("spread"));
  w.stretch(1 / (through * across), across, through);
}

}  // namespace

namespace steps {
extern const Step weld{
    "weld",
    "Forge-weld the pile into one bar.",
    Kind::bulk,
    kParameters,
    kExamples,
    "Takes scale off the pile's faces, then squeezes it to the stated share of its height. Layers thin by the same "
    "share; "
    "volume is kept. Customary welding heat is 1200-1260 C (2200-2300 F): `check` warns "
    "where a steel comes near melting. A squeeze to 50-67 % of the pile's height at welding heat is common practice.",
    apply};
}  // namespace steps
}  // namespace etchcast
