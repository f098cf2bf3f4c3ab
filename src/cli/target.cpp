// Names of outputs: judged before the work, so that nothing is lost after it.
#include "cli/target.hpp"

#include <algorithm>
#include <cctype>
#include <filesystem>

#include <fmt/format.h>

#include "base/words.hpp"
#include "cli/terminal.hpp"
#include "etchcast/output.hpp"

namespace etchcast::cli {
namespace {

namespace fs = std::filesystem;

constexpr int kStandardOutput = 1;

std::string small(std::string text) {
  std::ranges::transform(text, text.begin(), [](unsigned char c) { return char(std::tolower(c)); });
  return text;
}

void need_ending(const Ware& ware, const std::string& name) {
  const std::string ending = small(fs::path(name).extension().string());
  if (ending.empty() || std::ranges::find(ware.endings, ending) != ware.endings.end()) return;
  throw Error(Fault::use, fmt::format("{} {} would be {}, and its name says otherwise", ware.option, in_quotes(name), ware.what),
              fmt::format("write {} {}", ware.option,
                          in_quotes(fs::path(name).replace_extension(std::string(ware.endings.front())).string())));
}

void need_folder(const Ware& ware, const std::string& name) {
  std::error_code ignored;
  if (fs::is_directory(name, ignored))
    throw Error(Fault::use, fmt::format("{} {} is a folder", ware.option, in_quotes(name)), "name a file in it");
  const fs::path folder = fs::path(name).parent_path();
  if (!folder.empty() && !fs::is_directory(folder, ignored))
    throw Error(Fault::use, fmt::format("{} cannot be written: there is no folder {}", in_quotes(name), in_quotes(folder.string())),
                "make the folder first");
}

}  // namespace

const Ware kPicture{"-o", "a PNG picture", {".png"}};
const Ware kNumbers{"--data", "a NumPy array", {".npy"}};
const Ware kPage{"-o", "an HTML page", {".html", ".htm"}};

Target::Target(const Ware& ware, const std::string& name)
    : option_(ware.option), name_(name), standard_output_(name == "-" || descriptor_named(name) == kStandardOutput) {
  if (standard_output_ || descriptor_named(name)) return;
  need_ending(ware, name);
  need_folder(ware, name);
}

std::string Target::shown() const { return standard_output_ ? "standard output" : printable(name_); }

void Target::write(std::span<const std::uint8_t> bytes) const {
  if (standard_output_)
    print({reinterpret_cast<const char*>(bytes.data()), bytes.size()});
  else
    write_file(name_, bytes);
}

void need_apart(std::span<const Target> outputs, std::span<const std::string> inputs) {
  for (size_t i = 0; i < outputs.size(); ++i) {
    const Target& one = outputs[i];
    for (const std::string& input : inputs)
      if (!one.standard_output() && same_file(one.name(), input))
        throw Error(Fault::use, fmt::format("{} {} is a file that the recipe is read from", one.option(), in_quotes(one.name())),
                    "it stays as it is; give the output another name");
    for (const Target& other : outputs.subspan(i + 1))
      if (one.standard_output() ? other.standard_output() : !other.standard_output() && same_file(one.name(), other.name()))
        throw Error(Fault::use, fmt::format("{} and {} are both to be written to {}", one.option(), other.option(), one.shown()),
                    "give one of them another name");
  }
}

std::string stem_of(const std::string& recipe) {
  const std::string stem = recipe == "-" ? "" : fs::path(recipe).stem().string();
  return stem.empty() ? "etchcast" : stem;
}

}  // namespace etchcast::cli
