// measure: figures read off a forecast, or off a picture of one's own.
#include <fmt/format.h>

#include "cli/commands.hpp"
#include "cli/terminal.hpp"
#include "etchcast/measure.hpp"

namespace etchcast::cli {
namespace {

constexpr double kUsual = 20;  // px/mm; lines of 0.1 mm are two pixels wide

std::optional<Part> part_asked(const std::string& at) {
  if (at.empty()) return {};
  const std::vector<double> n = read_numbers("--at", at, 4);
  if (n[2] <= 0 || n[3] <= 0)
    throw Error(Fault::use, fmt::format("--at \"{}\" has no size", at),
                "write X,Y,WIDTH,HEIGHT in mm, for example 20,2,60,20");
  return Part{n[0], n[1], n[2], n[3]};
}

int measure_picture(const MeasureCall& call) {
  if (!call.recipe.empty())
    throw Error(Fault::use, "measure takes a recipe or --picture, not both", "leave one of them out");
  if (call.scale.empty())
    throw Error(Fault::use, "the scale of the picture is needed",
                "lay a rule beside the steel, count, and add --scale \"12 px/mm\"");
  Tones tones = read_picture(call.picture, read_resolution(call.scale, "--scale"));
  if (const auto part = part_asked(call.at)) tones = part_of(tones, *part);
  print(fmt::format("{}\n{}", call.picture, figures_text(measure(tones), call.inch ? System::inch : System::metric)));
  return 0;
}

}  // namespace

int measure_command(const MeasureCall& call) {
  if (!call.picture.empty()) return measure_picture(call);
  if (call.recipe.empty())
    throw Error(Fault::use, "there is nothing to measure", "give a recipe, or --picture FILE with --scale");
  if (!call.scale.empty())
    throw Error(Fault::use, "--scale belongs to --picture",
                "the scale of a recipe's blade is known: leave --scale out");
  const double px = call.resolution.empty() ? kUsual : read_resolution(call.resolution);
  const auto part = part_asked(call.at);
  const Recipe recipe = read_recipe(call.recipe);
  const Forging forging = forge(recipe);
  std::string text;
  for (const Side side : {Side::right, Side::left}) {
    if (call.side == (side == Side::right ? "left" : "right")) continue;
    text += fmt::format("{}, {} side\n{}", call.recipe, side == Side::right ? "right" : "left",
                        figures_text(measure(blade_tones(recipe, forging, side, px, part)), recipe.units));
  }
  print(text);
  return 0;
}

}  // namespace etchcast::cli
