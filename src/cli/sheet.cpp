// sheet: the page by the forge.
#include <filesystem>

#include <fmt/format.h>

#include "cli/commands.hpp"
#include "cli/terminal.hpp"
#include "etchcast/output.hpp"
#include "etchcast/sheet.hpp"

namespace etchcast::cli {

int sheet_command(const SheetCall& call) {
  const std::string stem = call.recipe == "-" ? "etchcast" : std::filesystem::path(call.recipe).stem().string();
  const std::string name = call.out.empty() ? stem + ".html" : call.out == "-" ? "/dev/stdout" : call.out;
  need_folder(name);
  const Recipe recipe = read_recipe(call.recipe);
  const Forging forging = forge(recipe);
  std::string page;
  {
    const Progress progress("drawing the sheet", call.quiet);
    page = sheet_html(recipe, forging);
  }
  write_file(name, {reinterpret_cast<const std::uint8_t*>(page.data()), page.size()});
  if (!call.quiet && name != "/dev/stdout")
    print(fmt::format("{}: {:.1f} MB; print it at 100 %, on A4 or Letter\n", name, double(page.size()) / 1e6));
  return 0;
}

}  // namespace etchcast::cli
