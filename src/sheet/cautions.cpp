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
     "Known steel with a data sheet; nothing galvanised, chromed or leaded goes into a fire. Grind mill scale off with "
     "eyes "
     "and lungs protected. Tack-weld under a helmet and in moving air; never on parts cleaned with chlorinated "
     "solvents. A "
     "sealed can or box needs a vent, or it bursts.",
     "Known, clean steel only. A sealed can needs a vent."},
    {Stage::fire,
     "A fire of any fuel makes carbon monoxide: open air or forced draught, and an alarm that works. Leak-test gas "
     "lines; a "
     "sound regulator; seal ceramic-fibre lining. Keep an extinguisher and a clear way out, and do not work alone.",
     "Draught on, alarm on, way out clear."},
    {Stage::weld,
     "Flux and scale fly at the first blow: leather and natural fibre, face shield, nobody opposite. Look into the "
     "fire only "
     "through glass that stops infrared, shade 3 to 5. Paraffin flashes on entry; flux fume is not to be breathed. "
     "Sparks "
     "from the billet mean burnt steel: that is scrap.",
     "Leather, infrared glass, nobody opposite the first blow; sparks mean burnt steel."},
    {Stage::hammer,
     "Eyes and ears protected, scale burns. Tongs must fit the bar. Never hold a square bar on its corner between flat "
     "dies: "
     "it spins out; use V dies. Do not go on below the forging heat.",
     "Tongs that fit; no square bar on its corner in flat dies; stop when it is cold."},
    {Stage::press,
     "Fingers out of dies and stops; set stops with the machine locked. Guard over the hoses, a way to stop within "
     "reach. "
     "Loose dies and cutters can be thrown: stand to the side.",
     "Fingers out of dies and stops; stand to the side of loose tools."},
    {Stage::twist,
     "A long hot bar can whip and a wrench swings wide: clear its circle. Twist at an even heat; a cold place does not "
     "turn, "
     "a hot one shears. Let nobody stand in line with the bar.",
     "Clear the wrench's swing; even heat."},
    {Stage::cut,
     "Guards on, work clamped, face shield, ears. Hot cutters and cut pieces can be thrown; a hot piece looks like a "
     "cold one: "
     "mark it. Mark top and heel end before every cut.",
     "Guards on, work clamped; mark top and heel end."},
    {Stage::grind,
     "Respirator P100 for metal dust, face shield, ears, guards on. No gloves or loose cloth near belts and wheels. "
     "Sparks "
     "light wood dust and vapours: clean the collector before.",
     "P100, face shield, no gloves at the belt, no wood dust near sparks."},
    {Stage::quench,
     "Oil flashes: metal tank with a metal lid, enough oil for full immersion, no water near it, a way out behind you, "
     "extinguisher at hand. Hardened and not yet tempered steel breaks like glass: do not drop, flex or straighten it "
     "cold; "
     "temper at once.",
     "Lid at hand, no water near hot oil; untempered steel is glass."},
    {Stage::etch,
     "Acid into water, never water into acid. Gloves, goggles, open air or a hood; no galvanised vessel; never "
     "together with "
     "bleach. Neutralise and rinse with care. Spent etchant holds iron, nickel and chromium: hazardous waste, not for "
     "the "
     "drain.",
     "Acid into water; gloves, goggles, air; spent etchant is hazardous waste."},
    {Stage::finished,
     "Tape the edge whenever the blade is handled. A blade for food is fully neutralised, rinsed and oiled with an oil "
     "fit to "
     "eat.",
     "Edge taped; food blades neutralised, rinsed, oiled."},
};

const Caution& row_of(Stage stage) {
  return *std::find_if(std::begin(kCautions), std::end(kCautions), [&](const Caution& c) { return c.stage == stage; });
}

}  // namespace

std::string_view caution_of(Stage stage) { return row_of(stage).full; }
std::string_view reminder_of(Stage stage) { return row_of(stage).reminder; }

Stage stage_of(std::string_view step) {
  constexpr std::pair<std::string_view, Stage> kSteps[] = {
      {"stack", Stage::stock},  {"weld", Stage::weld},     {"twist", Stage::twist}, {"press", Stage::press},
      {"dimple", Stage::press}, {"flatten", Stage::press}, {"restack", Stage::cut}, {"fold", Stage::cut},
      {"trim", Stage::cut},     {"groove", Stage::cut},    {"drill", Stage::cut},   {"grind", Stage::grind}};
  for (const auto& [name, stage] : kSteps)
    if (name == step) return stage;
  return Stage::hammer;
}

}  // namespace etchcast
