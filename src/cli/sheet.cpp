// sheet: the page by the forge.
#include <fmt/format.h>

#include "cli/commands.hpp"
#include "cli/target.hpp"
#include "cli/terminal.hpp"
#include "etchcast/sheet.hpp"

namespace etchcast::cli {

int sheet_command(const SheetCall& call) {
  const std::vector<Target> targets{Target(kPage, call.out.empty() ? stem_of(call.recipe) + ".html" : call.out)};
  const Recipe recipe = read(call);
  need_apart(targets, recipe.files);
  const Forging forging = forge(recipe);
  std::string page;
  {
    const Progress progress("drawing the sheet", call.quiet);
    page = sheet_html(recipe, forging);
  }
  const Target& target = targets.front();
  target.write({reinterpret_cast<const std::uint8_t*>(page.data()), page.size()});
  if (!call.quiet && !target.standard_output())
    print(fmt::format("{}: {:.1f} MB; print it at 100 %, on A4 or Letter\n", target.shown(), double(page.size()) / 1e6));
  return 0;
}

}  // namespace etchcast::cli
