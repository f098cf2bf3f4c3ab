// Customary cautions of the trade, in the project's own words; common practice, no source and no standard.
#include "sheet/cautions.hpp"

#include <algorithm>
#include <utility>

namespace etchcast {
namespace {

struct Caution {
  Stage stage;
  std::string_view full, reminder;
};

constexpr Caution kCautions[] = {
    {Stage::stock,
     "Use known steel with a data sheet. Nothing galvanised, chromed or leaded goes into a fire. Protect eyes and "
     "lungs when "
     "you grind mill scale off. Tack-weld under a helmet and in moving air, and never on parts cleaned with "
     "chlorinated "
     "solvents. Give a sealed can or box a vent hole, or it bursts.",
     "Known, clean steel only. A sealed can needs a vent hole."},
    {Stage::fire,
     "A fire of any fuel makes carbon monoxide, which you cannot smell. Work in the open, or run an exhaust fan, and "
     "have a "
     "carbon monoxide alarm that works. Test gas lines for leaks and use a sound regulator. Seal a lining of ceramic "
     "fibre. "
     "Keep an extinguisher at hand and the way out clear, and do not work alone.",
     "Exhaust fan on, carbon monoxide alarm on, way out clear."},
    {Stage::weld,
     "Flux and scale fly at the first blow. Wear leather and natural fibre and a face shield, and let nobody stand "
     "opposite. "
     "Look into the fire only through glass that stops infrared, shade 3 to 5. Kerosene (lamp oil) flashes when it "
     "goes into "
     "the fire. Do not breathe the fumes of flux. A billet that throws sparks is burnt: scrap it.",
     "Leather, infrared glass, nobody opposite the first blow. A billet that throws sparks is burnt."},
    {Stage::hammer,
     "Protect eyes and ears; scale burns. Tongs must fit the bar. Never hold a square bar on its corner between flat "
     "dies: it "
     "spins out of the tongs. Use V dies. Stop when the bar is below its forging heat.",
     "Tongs that fit. No square bar on its corner in flat dies. Stop when the bar is too cold."},
    {Stage::press,
     "Keep fingers out of dies and stops. Lock the machine before you set stops. Put a guard over the hoses and a stop "
     "switch "
     "within reach. Loose dies and cutters can be thrown: stand to the side.",
     "Fingers out of dies and stops. Stand to the side of loose tools."},
    {Stage::twist,
     "A long hot bar can whip, and a wrench swings wide: clear the circle it sweeps. Heat the bar evenly: a cold place "
     "does "
     "not turn, a hot one shears. Let nobody stand in line with the bar.",
     "Clear the wrench's swing. Heat evenly."},
    {Stage::cut,
     "Guards on, work clamped, face shield and ear protection on. Hot cutters and cut pieces can be thrown. A hot "
     "piece looks "
     "like a cold one: mark it. Mark the top and the heel end before every cut.",
     "Guards on, work clamped. Mark the top and the heel end."},
    {Stage::grind,
     "Wear a P100 respirator against metal dust, a face shield and ear protection; keep guards on. No gloves and no "
     "loose "
     "cloth near belts and wheels. Sparks light wood dust and vapours: clean the dust collector first.",
     "P100 respirator, face shield, no gloves at the belt, no wood dust near sparks."},
    {Stage::quench,
     "Hot oil can catch fire. Use a metal tank with a metal lid and enough oil to cover the whole blade, far below the "
     "rim. "
     "Keep water away from hot oil: a drop throws it out of the tank. Have an extinguisher for oil fires at hand and a "
     "way out "
     "behind you. Wear gloves and a face shield. Go in all at once, so that no hot steel stands out of the oil. "
     "Hardened steel "
     "that is not yet tempered breaks like glass: do not drop, flex or straighten it cold, and temper it at once.",
     "Lid at hand, the whole blade under the oil at once, no water near hot oil. Untempered steel breaks like glass."},
    {Stage::etch,
     "Pour acid into water, never water into acid. Wear gloves and goggles, and work in the open or under a hood. Use "
     "no "
     "galvanised vessel. Never let acid or etchant come together with bleach. Neutralise with a solution of baking "
     "soda in "
     "water, a little at a time: it foams. Spent etchant holds iron, nickel and chromium. It is hazardous waste and "
     "does not "
     "go down the drain.",
     "Acid into water. Gloves, goggles, open air. Spent etchant is hazardous waste."},
    {Stage::finished,
     "Tape the edge whenever you handle the blade. Neutralise, rinse and oil a blade for food, with an oil that is fit "
     "to eat.",
     "Edge taped. Blades for food neutralised, rinsed and oiled."},
};

const Caution& row_of(Stage stage) {
  return *std::find_if(std::begin(kCautions), std::end(kCautions), [&](const Caution& c) { return c.stage == stage; });
}

}  // namespace

std::string_view caution_of(Stage stage) { return row_of(stage).full; }
std::string_view reminder_of(Stage stage) { return row_of(stage).reminder; }

Stage stage_of(std::string_view step) {
  constexpr std::pair<std::string_view, Stage> kSteps[] = {
      {"pile", Stage::stock},   {"weld", Stage::weld},     {"twist", Stage::twist}, {"press", Stage::press},
      {"dimple", Stage::press}, {"flatten", Stage::press}, {"restack", Stage::cut}, {"fold", Stage::cut},
      {"trim", Stage::cut},     {"groove", Stage::cut},    {"drill", Stage::cut},   {"grind", Stage::grind}};
  for (const auto& [name, stage] : kSteps)
    if (name == step) return stage;
  return Stage::hammer;
}

}  // namespace etchcast
