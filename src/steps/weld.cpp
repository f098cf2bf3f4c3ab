// weld: the stack becomes one bar at welding heat.
#include <cmath>

#include <fmt/format.h>

#include "workpiece/flattening.hpp"

namespace etchcast {
namespace {

constexpr Parameter kParameters[] = {
    {"to", Unit::share, 0.1, 0.98, "60 %", false, "", "Height of the welded bar as a share of the stack's height."},
    {"setting", Unit::count, 0, 20, "2", false, "",
     "Light heats that set the weld before the stack is squeezed; 2 or 3 are usual. Not used where `heats` tells them all."},
    {"seams", Unit::word, 0, 0, "flux", false, "flux|sealed",
     "How scale is kept out of the seams: borax flux at a dull red, or seams welded shut all round and no flux."},
    {"handle", Unit::flag, 0, 1, "true", false, "",
     "Whether a handle is welded to the heel end to work the stack by. Its mass is not counted. false: tongs hold the stack."},
    {"spread", Unit::number, 0, 1, "0.5", false, "",
     "How much of the squeeze goes into width: width grows by (height before / after) to this power."},
};
constexpr Example kExamples[] = {
    {R"({ do = "weld", heat = "1260 C", soak = "8 min", to = "60 %" })", "a stack of 27.2 mm becomes a bar of 16.3 mm"},
    {R"({ do = "weld", to = "65 %", setting = 3, seams = "sealed", handle = false })",
     "no flux, three light heats first, held in tongs"},
};

// Common practice: 50 to 67 % of the height while the stack is still at welding heat.
constexpr double kLeastSqueezed = 0.67;

void tell(const Arguments& a, Workpiece& w) {
  const int setting = w.row().setting, squeezing = w.row().heats - setting;
  std::string how = a.word("seams") == "flux" ? "flux in the seams" : "the seams are welded shut, no flux";
  if (setting > 0)
    how += fmt::format("; {} light heat{} to set the weld, {} to squeeze it{}", setting, setting == 1 ? "" : "s", squeezing,
                       a.has("heats") ? "" : " (estimate)");
  if (a.flag("handle")) how += "; a handle on the heel end, its mass is not counted";
  w.note(how);
}

void apply(const Arguments& a, Workpiece& w) {
  w.need_even(a, true, true);
  const double through = a.number("to"), spread = a.number("spread");
  if (a.flag("handle")) w.weld_handle();
  w.heat_down(a, true, {std::pow(1 / through, spread), through}, -std::log(through), int(a.number("setting")));
  tell(a, w);
  if (through > kLeastSqueezed)
    w.warn(a.call().place,
           fmt::format("the weld is squeezed to {:.0f} % of the stack's height. Common practice is 50 to 67 % while the "
                       "stack is still at welding heat. A weld squeezed less may open later",
                       through * 100));
  const double to = through * w.thickness();
  flatten_first(w, to, a);
  const double left = to / w.thickness(), across = std::pow(1 / left, spread);
  w.stretch(1 / (left * across), across, left);
}

}  // namespace

namespace steps {
extern const Step weld{
    "weld", "Forge-weld the stack into one bar.", Kind::bulk, kParameters, kExamples,
    "Takes scale off the outside of the stack and squeezes it to the stated share of its height. All layers thin by the same share, "
    "and volume is kept. The usual welding heat is 1200 to 1260 C (2200 to 2300 F), and `check` warns where a steel comes near melting. "
    "Common practice is to set the weld in 2 or 3 light heats and then to squeeze the "
    "stack to 50 to 67 % of its height while it is at welding heat, before any work on its edges. The heats that squeeze it are an "
    "estimate from its thickness and the shop's tool. Each heat costs its scale.",
    apply};
}  // namespace steps
}  // namespace etchcast
