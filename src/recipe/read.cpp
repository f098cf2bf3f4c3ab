// Reads a recipe from a file or from standard input.

#include <fmt/format.h>

#include <filesystem>
#include <fstream>
#include <iostream>
#include <sstream>

#include "base/words.hpp"
#include "etchcast/recipe.hpp"
#include "recipe/document.hpp"

namespace etchcast {
namespace {

// At most one byte more than a recipe may have: enough to see that it is too large, whatever the source is. Room grows
// with what comes, as clearing the most a recipe may have would take longer than to read most of them.
std::string read_bounded(std::istream& stream) {
  std::string text;
  for (std::size_t room = 16 << 10; stream && text.size() <= kLargestRecipe; room *= 4) {
    const std::size_t had = text.size();
    text.resize(std::min<std::size_t>(room, kLargestRecipe + 1));
    stream.read(text.data() + had, static_cast<std::streamsize>(text.size() - had));
    text.resize(had + static_cast<std::size_t>(stream.gcount()));
  }
  return text;
}

}  // namespace

std::string beside(const std::string& recipe, const std::string& file) {
  return (std::filesystem::path(recipe).parent_path() / file).string();  // an absolute `file` replaces what stands before it
}

std::string read_file(const std::string& path, std::string_view what, const std::string& if_none) {
  std::error_code ignored;
  if (std::filesystem::is_directory(path, ignored))
    throw Error(Fault::use, fmt::format("{} is a folder, not {}", in_quotes(path), what), "name a file in it");
  if (!std::filesystem::exists(path, ignored))
    throw Error(Fault::use, fmt::format("there is no file {}", in_quotes(path)), if_none);
  std::ifstream stream(path, std::ios::binary);
  if (!stream) throw Error(Fault::use, fmt::format("{} cannot be opened", in_quotes(path)), "may you read that file?");
  std::string text = read_bounded(stream);
  if (stream.bad()) throw Error(Fault::use, fmt::format("{} cannot be read to its end", in_quotes(path)));
  return text;
}

RecipeText::RecipeText(const std::string& path) {
  if (path.empty()) throw Error(Fault::use, "no recipe is named", "give the path of a recipe, or - for standard input");
  const bool file = path != "-";
  const std::string text = file ? read_file(path, "a recipe", "`etchcast new NAME` writes a recipe to start from") : read_bounded(std::cin);
  Document document = parse_document(text, file ? path : "standard input");
  if (file) document.path = path;
  document_ = std::make_shared<const Document>(std::move(document));
}

Recipe read_recipe(const std::string& path, std::span<const Setting> settings) { return RecipeText(path).with(settings); }

Error with_lines(const Error& error, const Recipe& recipe) {
  std::vector<std::string> lines;
  std::istringstream stream(recipe.text);
  for (std::string line; std::getline(stream, line);) lines.push_back(line);
  std::vector<Diagnostic> all = error.diagnostics();
  for (Diagnostic& d : all)
    if (d.excerpt.empty() && d.place.line > 0 && size_t(d.place.line) <= lines.size()) d.excerpt = lines[size_t(d.place.line) - 1];
  return Error(error.fault(), all);
}

}  // namespace etchcast
