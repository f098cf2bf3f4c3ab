// What the documents say is true: their recipes forge, their commands run, their links lead somewhere, and the
// generated reference is that of this program.

#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <cctype>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <regex>
#include <set>
#include <sstream>
#include <string>
#include <vector>

#include "catch.hpp"
#include "etchcast/forging.hpp"
#include "etchcast/render.hpp"

using namespace etchcast;
namespace fs = std::filesystem;

namespace {

const fs::path kSource = ETCHCAST_SOURCE_DIR;

std::string read_text(const fs::path& path) {
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

/// A document taken apart: its fenced blocks, and its prose with everything between backticks blanked.
struct Document {
  std::vector<Block> blocks;
  std::vector<std::string> prose;  ///< one entry a line of the file; empty within blocks
};

std::string without_code(const std::string& line) { return std::regex_replace(line, std::regex("`[^`]*`"), "``"); }

Document read_document(const fs::path& path) {
  Document document;
  std::ifstream stream(path);
  std::string line;
  bool inside = false;
  for (int number = 1; std::getline(stream, line); ++number) {
    const size_t start = line.find_first_not_of(' ');
    const bool fence = start != std::string::npos && line.compare(start, 3, "```") == 0;
    document.prose.push_back(inside || fence ? "" : line);
    if (fence && !inside) document.blocks.push_back({line.substr(start + 3), number + 1, {}});
    if (!fence && inside) document.blocks.back().lines.push_back(line);
    inside = inside != fence;
  }
  REQUIRE_FALSE(inside);  // a block is never closed
  return document;
}

/// Every .md file of the project; not those of hidden or build folders.
std::vector<fs::path> documents() {
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
std::vector<fs::path> manuals() {
  std::vector<fs::path> all = documents();
  std::erase_if(all, [](const fs::path& path) {
    return path != kSource / "README.md" && path.parent_path() != kSource / "docs";
  });
  return all;
}

/// A whole recipe, not a line of one.
bool is_recipe(const Block& block) {
  return block.language == "toml" &&
         std::find(block.lines.begin(), block.lines.end(), "[[billet]]") != block.lines.end();
}

/// "own.toml" from a first line `# own.toml — …`: the name under which the reader is told to save the recipe.
std::string file_of(const Block& block) {
  std::smatch found;
  const bool named = std::regex_search(block.lines.front(), found, std::regex(R"(^# ([\w-]+\.toml)\b)"));
  return named ? found[1].str() : "";
}

/// A folder with the patterns in it, gone afterwards.
class Bench {
 public:
  Bench() {
    std::string name = (fs::temp_directory_path() / "etchcast-docs-XXXXXX").string();
    folder_ = mkdtemp(name.data());
    fs::create_directory_symlink(kSource / "patterns", folder_ / "patterns");
    fs::create_directory(folder_ / "gallery");
  }
  ~Bench() { fs::remove_all(folder_); }
  void save(const std::string& name, const std::string& text) const { std::ofstream(folder_ / name) << text; }
  /// Exit code of a line of shell; its output goes to `out`.
  int run(const std::string& line, std::string& out) const {
    const std::string script = "cd '" + folder_.string() + "' || exit 99\n" + line;
    save("line.sh", script);
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

/// The shell line behind a line of a document: this program, at a coarse resolution where none is asked for. Empty if
/// the line is not one to be run: builds, installs and remarks.
std::string runnable(const std::string& line) {
  if (line.starts_with("sed ") || line.starts_with("cp ")) return line;  // how the documents change a recipe
  std::smatch found;
  if (!std::regex_search(line, found, std::regex(R"(^(?:\./)?(?:scripts/)?etchcast )"))) return "";
  std::string rest = found.suffix();
  if (rest.starts_with("render ") && rest.find("--resolution") == std::string::npos)
    rest = "render --resolution \"2 px/mm\"" + rest.substr(6);
  return "'" ETCHCAST_BINARY "' " + rest;
}

/// Lines of a block with those that end in a backslash joined.
std::vector<std::string> shell_lines(const Block& block) {
  std::vector<std::string> all;
  std::string joined;
  for (const std::string& line : block.lines) {
    joined += line;
    if (joined.ends_with('\\')) {
      joined.back() = ' ';
      continue;
    }
    all.push_back(joined);
    joined.clear();
  }
  return all;
}

/// The anchor that a heading gets on the usual hosts: small letters, blanks as hyphens, no punctuation.
std::string anchor_of(const std::string& heading) {
  std::string anchor;
  for (const char letter : heading) {
    const auto byte = static_cast<unsigned char>(letter);
    if (byte == ' ')
      anchor += '-';
    else if (std::isalnum(byte) || byte == '-' || byte == '_' || byte >= 0x80)
      anchor += char(std::tolower(byte));
  }
  return anchor;
}

std::set<std::string> anchors_of(const fs::path& path) {
  std::set<std::string> anchors;
  for (const std::string& line : read_document(path).prose)
    if (const size_t text = line.find_first_not_of('#'); text != 0 && text != std::string::npos && line[text] == ' ')
      anchors.insert(anchor_of(line.substr(text + 1)));
  return anchors;
}

/// Where the links and pictures of a line lead, Markdown's and HTML's.
std::vector<std::string> links_of(const std::string& line) {
  static const std::regex link(R"re(\]\(([^)\s]+)[^)]*\)|(?:src|href)="([^"]+)")re");
  std::vector<std::string> targets;
  for (std::sregex_iterator at(line.begin(), line.end(), link), end; at != end; ++at)
    targets.push_back((*at)[1].matched ? (*at)[1].str() : (*at)[2].str());
  return targets;
}

/// What is wrong with a link from `path`; empty if nothing is.
std::string fault_of(const fs::path& path, const std::string& target) {
  if (std::regex_search(target, std::regex("^[a-z]+:"))) return "";  // elsewhere; not asked here
  const size_t hash = target.find('#');
  const fs::path file = hash == 0 ? path : path.parent_path() / target.substr(0, hash);
  if (!fs::exists(file)) return "there is no " + fs::weakly_canonical(file).string();
  if (hash == std::string::npos || file.extension() != ".md") return "";
  return anchors_of(file).contains(target.substr(hash + 1)) ? "" : "no heading for #" + target.substr(hash + 1);
}

}  // namespace

TEST_CASE("docs: every whole recipe in them forges and its blade fits", "[docs]") {
  int recipes = 0;
  for (const fs::path& path : manuals()) {
    for (const Block& block : read_document(path).blocks) {
      if (!is_recipe(block)) continue;
      ++recipes;
      const std::string name = path.filename().string() + ":" + std::to_string(block.line);
      INFO(name);
      try {
        const Recipe recipe = parse_recipe(block.text(), name);
        const Forging forging = forge(recipe);
        REQUIRE(!forging.billets.empty());
        if (!recipe.blade) continue;
        const Bar& bar = *forging.story(recipe.blade->from).bars.back();
        CHECK(fit_blade(bar, Blade(*recipe.blade), *recipe.blade).problems.empty());
      } catch (const Error& error) {
        for (const Diagnostic& diagnostic : error.diagnostics()) FAIL_CHECK(to_text(diagnostic));
      }
    }
  }
  CHECK(recipes >= 2);
}

TEST_CASE("docs: every command in README.md and the guide runs as shown", "[docs]") {
  for (const fs::path& path : {kSource / "README.md", kSource / "docs/guide.md"}) {
    if (!fs::exists(path)) continue;
    const Bench bench;
    const std::string file = path.filename().string();
    int commands = 0;
    for (const Block& block : read_document(path).blocks) {
      if (is_recipe(block) && !file_of(block).empty()) bench.save(file_of(block), block.text());
      if (block.language != "sh") continue;
      for (const std::string& line : shell_lines(block)) {
        const std::string command = runnable(line);
        if (command.empty()) continue;
        ++commands;
        std::string out;
        const int code = bench.run(command, out);
        INFO(file << ":" << block.line << ": " << line << "\n" << out);
        CHECK(code == 0);
      }
    }
    INFO(file);
    CHECK(commands >= 1);
  }
}

TEST_CASE("docs: the reference of steps is the program's own", "[docs]") {
  const Bench bench;
  std::string out;
  REQUIRE(bench.run("'" ETCHCAST_BINARY "' steps --markdown", out) == 0);
  // To renew it: build/etchcast steps --markdown > docs/steps.md
  CHECK((read_text(kSource / "docs/steps.md") == out));
}

TEST_CASE("docs: every link within the project leads somewhere", "[docs]") {
  int links = 0;
  for (const fs::path& path : documents()) {
    const auto prose = read_document(path).prose;
    for (size_t i = 0; i < prose.size(); ++i) {
      for (const std::string& target : links_of(without_code(prose[i]))) {
        ++links;
        INFO(fs::relative(path, kSource).string() << ":" << i + 1 << ": " << target);
        CHECK(fault_of(path, target) == "");
      }
    }
  }
  CHECK(links >= 10);
}
