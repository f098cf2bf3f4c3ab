// The recipe that a command works on, and options that need another.
#include <fmt/format.h>

#include "base/words.hpp"
#include "cli/commands.hpp"

namespace etchcast::cli {

Recipe read(const RecipeCall& call) {
  std::vector<Setting> settings;
  for (const std::string& text : call.set) {
    const size_t equals = text.find('=');
    if (equals == 0 || equals == std::string::npos)
      throw Error(Fault::use, fmt::format("--set {} does not say what to set to what", in_quotes(text)),
                  "write WHERE=VALUE, e.g. --set ladder.spacing=\"8 mm\" or --set blade.length=\"6 in\"");
    settings.push_back({text.substr(0, equals), text.substr(equals + 1)});
  }
  return read_recipe(call.recipe, settings);
}

void goes_with(bool given, const char* option, bool with, const char* other) {
  if (given && !with)
    throw Error(Fault::use, fmt::format("{} goes with {}, which is not given", option, other), fmt::format("leave out {}, or give {} too", option, other));
}

}  // namespace etchcast::cli
