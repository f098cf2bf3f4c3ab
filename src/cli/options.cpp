// The command line's words. The only file that includes CLI11 (some 4 s of compiling).
#include <CLI/CLI.hpp>

#include <fmt/format.h>

#include "cli/commands.hpp"
#include "cli/terminal.hpp"

#ifndef ETCHCAST_VERSION
#define ETCHCAST_VERSION "unknown"
#endif

namespace etchcast::cli {
namespace {

/// Everything that may be asked for; only the called command's part is filled in.
struct Calls {
  RenderCall render;
  ProbeCall probe;
  MeasureCall measure;
  SheetCall sheet;
  LedgerCall ledger;
  CheckCall check;
  LookUp steels, steps;
  RecipeCall harden;
  std::string name;
  bool quiet = false;
};

constexpr char kPreview[] = "metal under dies by a quick closed form, while you try sizes; marked rough";

CLI::App* command(CLI::App& app, const char* name, const char* what, const char* examples) {
  CLI::App* sub = app.add_subcommand(name, what);
  sub->footer(std::string("Examples:\n") + examples);
  return sub;
}

CLI::Option* take_recipe(CLI::App* sub, RecipeCall& call) {
  CLI::Option* recipe = sub->add_option("RECIPE", call.recipe, "recipe file (TOML), or - for standard input");
  sub->add_option("--set", call.set,
                  "try another value without changing the file: ladder.spacing=\"8 mm\", bar.repeat=7, bar:4.thickness=\"9 mm\", "
                  "blade.grind=convex; may be given more than once")
      ->allow_extra_args(false)
      ->type_name("WHERE=VALUE");
  return recipe;
}

void need_recipe(CLI::App* sub, RecipeCall& call) { take_recipe(sub, call)->required(); }

void add_render(CLI::App& app, Calls& calls) {
  RenderCall& c = calls.render;
  CLI::App* sub = command(app, "render", "Picture of the etched blade or bar",
                          "  etchcast render ladder.toml\n"
                          "  etchcast render ladder.toml --side left -o left.png --resolution \"300 dpi\"\n"
                          "  etchcast render ladder.toml --at ladder --view top\n"
                          "  etchcast render ladder.toml --view stages");
  need_recipe(sub, c);
  sub->add_option("-o,--out", c.out,
                  "picture to write (PNG), or - for standard output; else the recipe's name with .png, here");
  sub->add_option("--side", c.side, "side of the blade: left, right or both (default)")
      ->check(CLI::IsMember({"left", "right", "both"}));
  sub->add_option("--resolution", c.resolution, "e.g. \"12 px/mm\" or \"300 dpi\"; else about 3000 pixels across");
  sub->add_flag("--plain", c.plain, "tones without light");
  sub->add_flag("--preview", c.preview, kPreview);
  sub->add_option("--data", c.data, "also write what each pixel of the picture shows, as numbers (NumPy .npy)");
  sub->add_option("--at", c.at, "the bar after this step: its number, id or name, or BILLET:STEP");
  sub->add_option("--view", c.view, "blade, end, top, side, stages, or depths: what is left when the bar is ground down")
      ->check(CLI::IsMember({"blade", "end", "top", "side", "stages", "depths"}));
  sub->add_flag("-q,--quiet", calls.quiet, "say nothing but errors");
}

void add_probe(CLI::App& app, Calls& calls) {
  ProbeCall& c = calls.probe;
  CLI::App* sub =
      command(app, "probe", "Which metal stands at a point, as CSV",
              "  etchcast probe ladder.toml --side left --at 75,12.5\n"
              "  etchcast probe ladder.toml --line 0,10:150,10 --count 301\n"
              "  etchcast probe ladder.toml --inside 60,0,1.2 --step ladder\n"
              "  etchcast probe ladder.toml --section 75 --across -10 --step 4\n"
              "All in mm. On the blade X counts from the heel to the tip, Y from the edge line up; in the bar\n"
              "x from its heel end, y and z from its middle; stack_mm is the height in the bar as it was when its layers last lay flat.");
  need_recipe(sub, c);
  sub->add_option("--side", c.side, "side of the blade: right (default) or left")
      ->check(CLI::IsMember({"left", "right"}));
  sub->add_option("--at", c.at, "X,Y on that side; may be given more than once")->allow_extra_args(false);
  sub->add_option("--line", c.line, "X0,Y0:X1,Y1 on that side; cells stay empty where it leaves the blade");
  sub->add_option("--count", c.count, "points on the line, ends included (default 100)")->check(CLI::Range(1, 1000000));
  sub->add_option("--inside", c.inside, "x,y,z in the bar; may be given more than once")->allow_extra_args(false);
  sub->add_option("--section", c.section, "all layers through the bar's thickness at this x, bottom to top");
  sub->add_option("--across", c.across, "y of the section (default 0, the bar's middle)");
  sub->add_option("--step", c.step, "the bar after this step, for --inside and --section; else the finished bar");
}

void add_measure(CLI::App& app, Calls& calls) {
  MeasureCall& c = calls.measure;
  CLI::App* sub = command(app, "measure", "Figures read off the blade, or off a picture of your own: distance of rungs or rings, lines in a cm, bright steel",
                          "  etchcast measure ladder.toml --side right\n"
                          "  etchcast measure ladder.toml --at 20,2,60,20\n"
                          "  etchcast measure --picture bar.jpg --scale \"12 px/mm\" --at 10,5,80,20");
  take_recipe(sub, c);
  sub->add_option("--side", c.side, "side of the blade: left, right or both (default)")->check(CLI::IsMember({"left", "right", "both"}));
  sub->add_option("--at", c.at,
                  "X,Y,WIDTH,HEIGHT in mm: only this part. On the blade X counts from the heel to the tip, Y from the edge line up; "
                  "in a picture both count from its lower left corner");
  sub->add_option("--resolution", c.resolution, "how fine the blade is sampled; else 20 px/mm");
  sub->add_option("--picture", c.picture, "a PNG or JPEG of etched steel, photographed straight from above in even light");
  sub->add_option("--scale", c.scale, "scale of that picture, such as \"12 px/mm\" or \"300 dpi\"");
  sub->add_flag("--inch", c.inch, "figures of a picture in inches first; those of a recipe follow its units");
}

void add_sheet(CLI::App& app, Calls& calls) {
  SheetCall& c = calls.sheet;
  CLI::App* sub = command(app, "sheet", "The sheet by the forge: one page to print or read on a telephone",
                          "  etchcast sheet ladder.toml\n"
                          "  etchcast sheet ladder.toml -o ladder-sheet.html\n"
                          "Blade and end-crops true to scale if printed at 100 %, cut list, every step with its cautions.");
  need_recipe(sub, c);
  sub->add_option("-o,--out", c.out,
                  "page to write (HTML), or - for standard output; else the recipe's name with .html, here");
  sub->add_flag("-q,--quiet", calls.quiet, "say nothing but errors");
}

void add_books(CLI::App& app, Calls& calls) {
  CLI::App* ledger = command(app, "ledger", "The bar after each step: sizes, mass, layers, heats",
                             "  etchcast ledger ladder.toml\n  etchcast ledger ladder.toml --json > ladder.json");
  need_recipe(ledger, calls.ledger);
  auto* json = ledger->add_flag("--json", calls.ledger.json, "as JSON, in mm, g, degrees C, s");
  ledger->add_flag("--maps", calls.ledger.maps, "what the schedule came down to: band lists and maps")->excludes(json);
  ledger->add_flag("--preview", calls.ledger.preview, kPreview);
  CLI::App* check = command(app, "check", "Warnings a master would give beforehand",
                            "  etchcast check ladder.toml\n"
                            "  etchcast check ladder.toml --quiet      warnings only, no notes\n"
                            "Exit 0 even with warnings; 1 if the recipe cannot be forged or the blade does not fit.");
  need_recipe(check, calls.check);
  check->add_flag("--preview", calls.check.preview, kPreview);
  check->add_flag("-q,--quiet", calls.quiet, "warnings only, no notes");
  CLI::App* harden =
      command(app, "harden", "Which steel cuts, what is left of its carbon, how it is hardened",
              "  etchcast harden ladder.toml\n"
              "Hardening heats on record, common practice for such a bar, and what diffusion leaves of the layers.");
  need_recipe(harden, calls.harden);
}

void add_references(CLI::App& app, Calls& calls) {
  CLI::App* steels =
      command(app, "steels", "Steels it knows, with sources", "  etchcast steels\n  etchcast steels 1084\n"
              "  etchcast steels --grades my-steels.toml        your own first");
  steels->add_option("NAME", calls.steels.name, "one grade, by standard name or trade number");
  steels->add_option("--grades", calls.steels.grades, "a file of your own grades, as a recipe names it under `grades`");
  CLI::App* steps =
      command(app, "steps", "Steps it knows, with their keys", "  etchcast steps\n  etchcast steps press");
  steps->add_option("NAME", calls.steps.name, "one step");
  steps->add_flag("--markdown", calls.steps.markdown, "the whole reference, docs/steps.md");
  command(app, "shapes", "Blade outlines it knows", "  etchcast shapes");
  CLI::App* fresh = command(app, "new", "A commented recipe to start from",
                            "  etchcast new ladder       writes ladder.toml, if there is none yet");
  fresh->add_option("NAME", calls.name, "name of the recipe, with or without .toml")->required();
}

int dispatch(const std::string& name, Calls& calls) {
  calls.render.quiet = calls.sheet.quiet = calls.check.quiet = calls.quiet;
  if (name == "render") return render_command(calls.render);
  if (name == "probe") return probe_command(calls.probe);
  if (name == "measure") return measure_command(calls.measure);
  if (name == "sheet") return sheet_command(calls.sheet);
  if (name == "ledger") return ledger_command(calls.ledger);
  if (name == "check") return check_command(calls.check);
  if (name == "harden") return harden_command(calls.harden);
  if (name == "steels") return steels_command(calls.steels);
  if (name == "steps") return steps_command(calls.steps);
  if (name == "shapes") return shapes_command();
  return new_command(calls.name);
}

/// An option that is given has something to say: --out "" is a slip, as of a shell's variable that is not set.
void refuse_nothing(CLI::App& app) {
  const CLI::Validator something([](std::string& text) { return text.empty() ? std::string("nothing is given for it") : std::string(); }, "");
  for (CLI::App* sub : app.get_subcommands([](CLI::App*) { return true; }))
    for (CLI::Option* option : sub->get_options())
      if (option->get_items_expected_max() > 0) option->check(something);
}

/// The word where a command should stand, if it is none.
std::string stray_command(const CLI::App& app, int count, char** words) {
  if (count < 2 || words[1][0] == '-') return {};
  for (const CLI::App* sub : app.get_subcommands([](const CLI::App*) { return true; }))
    if (sub->get_name() == words[1]) return {};
  return words[1];
}

int use_error(const CLI::App& app, const std::string& message, const std::string& command) {
  std::string names;
  for (const CLI::App* sub : app.get_subcommands([](const CLI::App*) { return true; }))
    names += (names.empty() ? "" : ", ") + sub->get_name();
  print_error(Error(Fault::use, message,
                    command.empty() ? fmt::format("commands: {}; see 'etchcast --help'", names)
                                    : fmt::format("see 'etchcast {} --help'", command)));
  return 2;
}

}  // namespace

int run(int count, char** words) {
  CLI::App app("Forecasts the etched pattern of layered steel blades from a recipe of the work.", "etchcast");
  app.set_version_flag("--version", "etchcast " ETCHCAST_VERSION);
  app.footer(
      "Start:\n  etchcast new ladder\n  etchcast check ladder.toml\n  etchcast render ladder.toml\n"
      "'etchcast COMMAND --help' tells more. Exit 0: well; 1: the recipe is at fault; 2: the command line or a file "
      "is.");
  app.require_subcommand(1);
  Calls calls;
  add_render(app, calls);
  add_probe(app, calls);
  add_measure(app, calls);
  add_sheet(app, calls);
  add_books(app, calls);
  add_references(app, calls);
  refuse_nothing(app);
  if (const std::string stray = stray_command(app, count, words); !stray.empty())
    return use_error(app, fmt::format("there is no command \"{}\"", stray), {});
  try {
    app.parse(count, words);
  } catch (const CLI::Success& wanted) {  // --help, --version
    return app.exit(wanted) == 0 ? 0 : 2;
  } catch (const CLI::ParseError& error) {
    const auto called = app.get_subcommands();
    if (called.empty()) return use_error(app, count < 2 ? "no command given" : error.what(), {});
    return use_error(app, error.what(), called.front()->get_name());
  }
  return dispatch(app.get_subcommands().front()->get_name(), calls);
}

}  // namespace etchcast::cli
