// render: the picture, and the numbers behind it.
#include <algorithm>

#include <fmt/format.h>

#include "base/words.hpp"
#include "cli/commands.hpp"
#include "cli/target.hpp"
#include "cli/terminal.hpp"
#include "etchcast/check.hpp"
#include "etchcast/output.hpp"
#include "etchcast/render.hpp"

namespace etchcast::cli {
namespace {

/// The recipe's name in the current folder, and what sets this picture apart from the recipe's others.
std::string picture_name(const RenderCall& call) {
  if (!call.out.empty()) return call.out;
  std::string apart;
  for (const std::string& part : {call.at, call.side == "both" ? std::string() : call.side,
                                  call.view == "blade" ? std::string() : call.view, std::string(call.plain ? "plain" : "")})
    if (!part.empty()) apart += "-" + part;
  const auto odd = [](unsigned char c) { return c < 0x21 || c == '/' || c == ':' || c == 0x7F; };  // "bar:4", for one
  std::replace_if(apart.begin(), apart.end(), odd, '-');
  return stem_of(call.recipe) + apart + ".png";
}

/// Options that go with one kind of picture, given with another.
void need_fitting(const RenderCall& call) {
  const auto refuse = [](std::string message, std::string hint) { throw Error(Fault::use, std::move(message), std::move(hint)); };
  const std::string step = "--at " + shell_word(call.at);
  const bool blade = call.view == "blade" || (call.view.empty() && call.at.empty());
  if (call.view == "blade" && !call.at.empty())
    refuse("--at and --view blade do not go together: the blade is ground from the finished bar",
           fmt::format("leave out {0}, or look at the bar after that step: {0} --view end", step));
  if (call.view == "stages" && !call.at.empty())
    refuse("--at and --view stages do not go together: the stages show the bar after every step",
           fmt::format("leave out {0}, or look at the bar after that step: {0} --view end", step));
  if (call.view == "stages" && !call.data.empty())
    refuse("--data and --view stages do not go together: the stages are many pictures in one",
           "ask for the numbers of one step: --at STEP --view end");
  if (!call.side.empty() && !blade)
    refuse(fmt::format("--side is a side of the blade, but {} shows the bar", call.view.empty() ? step : "--view " + call.view),
           "leave out --side, or leave out --view and --at to see the blade");
}

RenderOptions options_of(const RenderCall& call) {
  need_fitting(call);
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

std::vector<Target> targets_of(const RenderCall& call) {
  std::vector<Target> targets{Target(kPicture, picture_name(call))};
  if (!call.data.empty()) targets.emplace_back(kNumbers, call.data);
  return targets;
}

void report(const RenderCall& call, std::span<const Target> targets, const Image& image, const Recipe& recipe,
            const Forging& forging) {
  std::string text = fmt::format("{}: {} x {} px, {:.4g} px/mm\n", targets[0].shown(), image.columns, image.rows, image.px_per_mm);
  if (targets.size() > 1)
    text += fmt::format("{}: the same pixels as numbers: share of each steel, stack coordinate, height, metal, ground bright\n", targets[1].shown());
  const auto warnings = check(recipe, forging);
  const auto count = std::count_if(warnings.begin(), warnings.end(),
                                   [](const Warning& w) { return w.weight == Warning::Weight::warning; });
  if (count > 0) {
    std::string words = shell_word(call.recipe);
    for (const std::string& setting : call.set) words += " --set " + shell_word(setting);
    text += fmt::format("{} warning{}: etchcast check {}\n", count, count == 1 ? "" : "s", words);
  }
  if (std::ranges::any_of(targets, &Target::standard_output))
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

int render_command(const RenderCall& call) {
  const RenderOptions options = options_of(call);
  const std::vector<Target> targets = targets_of(call);
  const Recipe recipe = read(call);
  need_apart(targets, recipe.files);
  if (!call.side.empty() && !recipe.blade)
    throw Error(Fault::use, "--side is a side of the blade, but the recipe has no [blade]", "leave out --side");
  const Forging forging = forge(recipe, {.preview = call.preview});
  Image image;
  std::vector<std::uint8_t> png, npy;
  {
    const Progress progress("rendering", call.quiet);
    image = render(recipe, forging, options);
    png = png_bytes(image);
    if (targets.size() > 1) {
      const DataArray data = render_data(recipe, forging, options);
      npy = npy_bytes(data.values, data.shape);
    }
  }
  targets[0].write(png);
  if (targets.size() > 1) targets[1].write(npy);
  if (!call.quiet) tell_letters(letters_without_shape(recipe, forging, options));
  if (!call.quiet) report(call, targets, image, recipe, forging);
  return 0;
}

}  // namespace etchcast::cli
