// render: the picture, and the numbers behind it.
#include <algorithm>
#include <filesystem>

#include <fmt/format.h>

#include "cli/commands.hpp"
#include "cli/terminal.hpp"
#include "etchcast/check.hpp"
#include "etchcast/output.hpp"
#include "etchcast/render.hpp"

namespace etchcast::cli {
namespace {

namespace fs = std::filesystem;

/// The recipe's name with .png in the current folder.
std::string picture_name(const RenderCall& call) {
  if (!call.out.empty()) return call.out;
  return call.recipe == "-" ? "etchcast.png" : fs::path(call.recipe).stem().string() + ".png";
}

RenderOptions options_of(const RenderCall& call) {
  RenderOptions options;
  constexpr std::pair<std::string_view, Looking> kViews[] = {{"blade", Looking::blade},
                                                             {"end", Looking::end},
                                                             {"top", Looking::top},
                                                             {"side", Looking::side},
                                                             {"stages", Looking::stages},
                                                             {"depths", Looking::depths}};
  for (const auto& [name, view] : kViews)
    if (call.view == name) options.view = view;
  options.right = call.side != "left";
  options.left = call.side != "right";
  options.at = call.at;
  options.plain = call.plain;
  if (!call.resolution.empty()) options.px_per_mm = read_resolution(call.resolution);
  return options;
}

void report(const RenderCall& call, const std::string& name, const Image& image, const Recipe& recipe,
            const Forging& forging) {
  std::string text = fmt::format("{}: {} x {} px, {:.4g} px/mm\n", name, image.columns, image.rows, image.px_per_mm);
  if (!call.data.empty())
    text += fmt::format("{}: the same pixels as numbers: share of each steel, stack coordinate, height, metal, ground bright\n", call.data);
  const auto warnings = check(recipe, forging);
  const auto count = std::count_if(warnings.begin(), warnings.end(),
                                   [](const Warning& w) { return w.weight == Warning::Weight::warning; });
  if (count > 0) text += fmt::format("{} warning{}: etchcast check {}\n", count, count == 1 ? "" : "s", call.recipe);
  if (name == "/dev/stdout")
    std::fputs(text.c_str(), stderr);
  else
    print(text);
}

/// "U+5200" of a letter in UTF-8.
std::string code_of(const std::string& letter) {
  unsigned code = (unsigned char)(letter[0]);
  if (letter.size() > 1) code &= 0x7Fu >> letter.size();
  for (size_t i = 1; i < letter.size(); ++i) code = code << 6 | ((unsigned char)(letter[i]) & 0x3Fu);
  return fmt::format("U+{:04X}", code);
}

void tell_letters(const std::vector<std::string>& letters) {
  if (letters.empty()) return;
  std::string all;
  for (const std::string& letter : letters) all += fmt::format("{}{} ({})", all.empty() ? "" : ", ", letter, code_of(letter));
  std::fputs(fmt::format("note: the picture's typefaces do not have {}. It shows ? there. Write the title in other letters.\n", all).c_str(), stderr);
}

}  // namespace

void need_folder(const std::string& file) {
  const fs::path folder = fs::path(file).parent_path();
  std::error_code ignored;
  if (!folder.empty() && !fs::is_directory(folder, ignored))
    throw Error(Fault::use, fmt::format("{} cannot be written: there is no folder {}", file, folder.string()),
                "make the folder first");
}

int render_command(const RenderCall& call) {
  const RenderOptions options = options_of(call);
  const std::string name = call.out == "-" ? "/dev/stdout" : picture_name(call);
  need_folder(name);
  if (!call.data.empty()) need_folder(call.data);
  const Recipe recipe = read_recipe(call.recipe);
  const Forging forging = forge(recipe, {.preview = call.preview});
  Image image;
  std::vector<std::uint8_t> png, npy;
  {
    const Progress progress("rendering", call.quiet);
    image = render(recipe, forging, options);
    png = png_bytes(image);
    if (!call.data.empty()) {
      const DataArray data = render_data(recipe, forging, options);
      npy = npy_bytes(data.values, data.shape);
    }
  }
  write_file(name, png);
  if (!call.data.empty()) write_file(call.data, npy);
  if (!call.quiet) tell_letters(letters_without_shape(recipe, forging, options));
  if (!call.quiet) report(call, name, image, recipe, forging);
  return 0;
}

}  // namespace etchcast::cli
