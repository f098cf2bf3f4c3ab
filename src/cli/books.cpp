// ledger, check, steels, steps, shapes, new: what is told without a picture.
#include <filesystem>

#include <fmt/format.h>

#include "cli/commands.hpp"
#include "cli/terminal.hpp"
#include "etchcast/check.hpp"
#include "etchcast/metallurgy.hpp"
#include "etchcast/output.hpp"
#include "etchcast/reference.hpp"
#include "etchcast/render.hpp"
#include "etchcast/steels.hpp"

namespace etchcast::cli {
namespace {

std::string warning_text(const Warning& warning) {
  const bool note = warning.weight == Warning::Weight::note;
  const std::string word = coloured(stdout, note ? Colour::cyan : Colour::yellow, note ? "note" : "warning");
  std::string place = warning.place.file;
  if (warning.place.line > 0) place += fmt::format(":{}", warning.place.line);
  if (!place.empty()) place += ": ";
  return fmt::format("{}{}: {}\n", place, word, warning.about) + paragraph(warning.text) + "\n";
}

bool fits(const Recipe& recipe, const Forging& forging) {
  if (!recipe.blade) return true;
  const Bar& bar = recipe.blade->from.empty() ? forging.last() : *forging.story(recipe.blade->from).bars.back();
  return fit_blade(bar, Blade(*recipe.blade), *recipe.blade).problems.empty();
}

}  // namespace

int ledger_command(const LedgerCall& call) {
  const Recipe recipe = read_recipe(call.recipe);
  const Forging forging = forge(recipe, {.preview = call.preview});
  print(call.json ? ledger_json(recipe, forging) : call.maps ? maps_text(forging) : ledger_text(recipe, forging));
  return 0;
}

int check_command(const CheckCall& call) {
  const Recipe recipe = read_recipe(call.recipe);
  const Forging forging = forge(recipe, {.preview = call.preview});
  std::string text;
  int warnings = 0, notes = 0;
  for (const Warning& warning : check(recipe, forging)) {
    const bool note = warning.weight == Warning::Weight::note;
    ++(note ? notes : warnings);
    if (!note || !call.quiet) text += warning_text(warning);
  }
  if (!call.quiet)
    text += fmt::format("{} warning{}, {} note{}\n", warnings, warnings == 1 ? "" : "s", notes, notes == 1 ? "" : "s");
  print(text);
  return fits(recipe, forging) ? 0 : 1;
}

int harden_command(const std::string& path) {
  const Recipe recipe = read_recipe(path);
  const Forging forging = forge(recipe);
  print(hardening_text(recipe, forging) + "\n" + diffusion_text(recipe, forging) + "\n");
  return 0;
}

int steels_command(const LookUp& call) {
  const auto own = call.grades.empty() ? nullptr : read_grades(call.grades);
  print(call.name.empty() ? steels_text(own.get()) : steel_text(call.name, own.get()));
  return 0;
}

int steps_command(const LookUp& call) {
  print(call.markdown ? steps_markdown() : call.name.empty() ? steps_text() : step_text(call.name));
  return 0;
}

int shapes_command() {
  print(shapes_text());
  return 0;
}

int new_command(const std::string& name) {
  const std::filesystem::path asked(name);
  const std::string path = asked.extension() == ".toml" ? name : name + ".toml";
  const std::string title = std::filesystem::path(path).stem().string();
  if (title.empty() || asked.filename().empty())
    throw Error(Fault::use, fmt::format("\"{}\" is no name for a recipe", name), "e.g. etchcast new ladder");
  std::error_code ignored;
  if (std::filesystem::exists(std::filesystem::symlink_status(path, ignored)))
    throw Error(Fault::use, fmt::format("{} is there already and stays as it is", path),
                "take another name, or remove it first");
  const std::string text = starter_recipe(title);
  write_file(path, {reinterpret_cast<const std::uint8_t*>(text.data()), text.size()});
  print(fmt::format("{} written. Next: etchcast render \"{}\"\n", path, path));
  return 0;
}

}  // namespace etchcast::cli
