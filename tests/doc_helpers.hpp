#pragma once
/// \file doc_helpers.hpp — the project's documents taken apart, and a folder in which what they show can be tried.

#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <regex>
#include <sstream>
#include <string>
#include <vector>

#include "catch.hpp"

namespace etchcast {

namespace fs = std::filesystem;

inline const fs::path kSource = ETCHCAST_SOURCE_DIR;

inline std::string read_text(const fs::path& path) {
  std::ifstream stream(path);
  std::stringstream text;
  text << stream.rdbuf();
  return text.str();
}

/// A fenced block of a document.
struct Block {
  std::string language;
  int line = 0;  ///< of its first line of content
  std::vector<std::string> lines;
  std::string text() const {
    std::string all;
    for (const std::string& line : lines) all += line + "\n";
    return all;
  }
};

/// A document taken apart: its fenced blocks, and its prose.
struct Manual {
  std::vector<std::string> lines;
  std::vector<Block> blocks;
  std::vector<std::string> prose;  ///< one entry a line of the file; empty within blocks
};

inline Manual read_document(const fs::path& path) {
  Manual document;
  std::ifstream stream(path);
  std::string line;
  bool inside = false;
  for (int number = 1; std::getline(stream, line); ++number) {
    const size_t start = line.find_first_not_of(' ');
    const bool fence = start != std::string::npos && line.compare(start, 3, "```") == 0;
    document.lines.push_back(line);
    document.prose.push_back(inside || fence ? "" : line);
    if (fence && !inside) document.blocks.push_back({line.substr(start + 3), number + 1, {}});
    if (!fence && inside) document.blocks.back().lines.push_back(line);
    inside = inside != fence;
  }
  REQUIRE_FALSE(inside);  // a block is never closed
  return document;
}

/// Every .md file of the project; not those of hidden or build folders.
inline std::vector<fs::path> documents() {
  std::vector<fs::path> all;
  for (auto at = fs::recursive_directory_iterator(kSource); at != fs::recursive_directory_iterator(); ++at) {
    const std::string name = at->path().filename().string();
    if (at->is_directory() && (name.starts_with('.') || name.starts_with("build")))
      at.disable_recursion_pending();
    else if (at->path().extension() == ".md")
      all.push_back(at->path());
  }
  std::sort(all.begin(), all.end());
  return all;
}

/// README.md, if it is there, and docs/*.md.
inline std::vector<fs::path> manuals() {
  std::vector<fs::path> all = documents();
  std::erase_if(all, [](const fs::path& path) {
    return path != kSource / "README.md" && path.parent_path() != kSource / "docs";
  });
  return all;
}

/// A whole recipe, not a line of one.
inline bool is_recipe(const Block& block) {
  return block.language == "toml" &&
         std::find(block.lines.begin(), block.lines.end(), "[[billet]]") != block.lines.end();
}

/// "own.toml" from a first line `# own.toml — …`: the name under which the reader is told to save the block.
inline std::string file_of(const Block& block) {
  if (block.language != "toml" || block.lines.empty()) return "";
  std::smatch found;
  const bool named = std::regex_search(block.lines.front(), found, std::regex(R"(^# ([\w-]+\.toml)\b)"));
  return named ? found[1].str() : "";
}

/// A folder like the project's to whoever follows a document: `etchcast` and `scripts/etchcast` are this program, the
/// patterns are there. Gone afterwards.
class Bench {
 public:
  Bench() {
    std::string name = (fs::temp_directory_path() / "etchcast-docs-XXXXXX").string();
    folder_ = mkdtemp(name.data());
    fs::create_directory_symlink(kSource / "patterns", folder_ / "patterns");
    fs::create_directory(folder_ / "gallery");
    fs::create_directory(folder_ / "scripts");
    fs::create_symlink(ETCHCAST_BINARY, folder_ / "scripts/etchcast");
  }
  ~Bench() { fs::remove_all(folder_); }
  void save(const std::string& name, const std::string& text) const { std::ofstream(folder_ / name) << text; }
  /// Exit code of a line of shell; its output and errors go to `out`.
  int run(const std::string& line, std::string& out) const {
    save("line.sh", "cd '" + folder_.string() + "' || exit 99\nPATH=\"$PWD/scripts:$PATH\"\n" + line + "\n");
    std::FILE* pipe = popen(("sh '" + (folder_ / "line.sh").string() + "' 2>&1").c_str(), "r");
    char buffer[4096];
    out.clear();
    while (const size_t n = fread(buffer, 1, sizeof buffer, pipe)) out.append(buffer, n);
    const int status = pclose(pipe);
    return WIFEXITED(status) ? WEXITSTATUS(status) : 128;
  }

 private:
  fs::path folder_;
};

}  // namespace etchcast
