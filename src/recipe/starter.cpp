// The recipe that `etchcast new` writes: complete, commented, and free to be changed line by line.

#include "base/words.hpp"
#include "etchcast/recipe.hpp"

namespace etchcast {
namespace {

constexpr std::string_view kStarter = R"toml(
# Every quantity carries its unit: "3/8 in", "1 1/2 in", "9.5 mm", "2300 F", "1260 C", "8 min", "60 %", "1.25 turns/in".
# Steps are worked from the top to the bottom of the list. `etchcast steps` tells what each can do.

[steels]                         # a name of your own = a grade; `etchcast steels` lists them
dark   = "1084"                  # etches black
bright = "75Ni8"                 # the nickel in it keeps it bright

[[billet]]                       # one or more, in the order they are made; a later one may use earlier ones as bars
name   = "bar"
width  = "40 mm"                 # footprint of the first stack
length = "150 mm"
stack  = ["dark 3.2 mm", "bright 1.6 mm"]     # from bottom to top
repeat = 5                       # the stack five times over
top    = "dark 3.2 mm"           # and one plate to close it: 11 layers
steps  = [
  { do = "weld",    heat = "1260 C", soak = "8 min", to = "60 %" },        # the stack comes down to 60 % of its height
  { do = "draw",    thickness = "10 mm", width = "40 mm", heat = "1090 C" },
  { do = "restack", pieces = 4 },                                          # dark meets dark: 41 layers, not 44
  { do = "weld",    heat = "1260 C", soak = "8 min", to = "60 %" },
  { do = "draw",    thickness = "10 mm", width = "40 mm" },
  { do = "restack", pieces = 4 },                                          # 161 by counting; scale takes skins, 145 are left
  { do = "weld",    heat = "1260 C", soak = "8 min", to = "60 %" },
  { do = "draw",    thickness = "6.4 mm", width = "38 mm" },
  { do = "press",   id = "ladder", nose = "3.2 mm", spacing = "12.7 mm", depth = "1.5 mm", sides = "offset" },
  { do = "grind",   thickness = "3.2 mm" },                                # cuts through the humps: the rungs
]

[blade]                          # ground from the last billet; leave it out to look at the bar alone
shape  = "petty"
length = "150 mm"
heel   = "30 mm"                 # height at the heel
spine  = ["2.4 mm", "1.8 mm", "0.7 mm"]       # thickness at the heel, in the middle, 10 mm from the tip
edge   = "0.2 mm"                # thickness at the edge before sharpening
grind  = "flat"                  # flat, sabre, hollow, convex or single

[shop]
tool   = "press"                 # or "power hammer" or "hammer": how far the bar comes in a heat

[etch]
bath   = "ferric chloride"       # or "ferric chloride and vinegar", "vinegar", "coffee"
time   = "30 min"                # in all, wiped now and then; or depth = "15 um", the relief between the two steels
finish = "oxide"                 # bare, oxide or coffee

[hand]                           # how even the hand is; leave it out for the usual, or even = true for a perfect one
wander = "0.08 mm"               # waviness of the layers before the first step that bends them
reach  = "18 mm"                 # from one wave to the next, about
seed   = 3                       # another number, another bar of the same kind
)toml";

// A TOML string: whatever the shell passed as a name must come back out of the recipe, but for control characters.
std::string toml_text(std::string_view text) {
  std::string result = "\"";
  for (const char letter : printable(text)) result += letter == '"' || letter == '\\' ? std::string("\\") + letter : std::string(1, letter);
  return result + '"';
}

}  // namespace

std::string starter_recipe(const std::string& name) {
  const std::string title = name.empty() ? "Ladder petty" : name;
  return "# A ladder: about 135 layers in the bar, pressed across with round dies and ground flat.\n\ntitle = " +
         toml_text(title) + "\n" + std::string(kStarter);
}

}  // namespace etchcast
