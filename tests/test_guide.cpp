// Commands in the documents do what the documents show. A block ```console holds commands after "$ " and beneath each
// what it prints, to the letter; a block ```sh holds commands alone. `scripts/guide` writes what they print now.

#include "doc_helpers.hpp"

using namespace etchcast;

namespace {

/// One command of a block; its lines as written, those that end in a backslash joined to the next.
struct Command {
  std::vector<std::string> written;
  std::string line;
};

std::vector<Command> commands_of(const Block& block) {
  const bool console = block.language == "console";
  std::vector<Command> all;
  bool goes_on = false;
  for (const std::string& line : block.lines) {
    const bool begins = !goes_on && (!console || line.starts_with("$ "));
    if (begins) all.emplace_back();
    if (!begins && !goes_on) continue;  // what an earlier build printed
    Command& command = all.back();
    command.written.push_back(line);
    command.line += (command.line.empty() ? "" : "\n") + (begins && console ? line.substr(2) : line);
    goes_on = line.ends_with('\\');
  }
  return all;
}

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> lines;
  std::istringstream stream(text);
  for (std::string line; std::getline(stream, line);) lines.push_back(line);
  while (!lines.empty() && lines.back().empty()) lines.pop_back();
  return lines;
}

/// The shell line behind a line of an sh block, at a coarse resolution where none is asked for; what installs or builds
/// is not run.
std::string runnable(std::string line) {
  const bool ours = std::regex_search(line, std::regex(R"(^(scripts/)?etchcast )"));
  if (!ours && !line.starts_with("sed ") && !line.starts_with("cp ")) return "";
  const size_t render = line.find("etchcast render ");
  if (render != std::string::npos && line.find("--resolution") == std::string::npos)
    line.insert(render + 16, "--resolution \"2 px/mm\" ");
  return line;
}

/// A document with its commands carried out in order, in a folder of their own.
struct Tried {
  std::vector<std::string> lines;      ///< the document with what its commands print now
  std::vector<std::string> failures;   ///< commands that fail and do not show an error
  int commands = 0;
};

void try_command(const Bench& bench, const Block& block, const Command& command, Tried& tried) {
  const bool console = block.language == "console";
  const std::string line = console ? command.line : runnable(command.line);
  if (console) tried.lines.insert(tried.lines.end(), command.written.begin(), command.written.end());
  if (line.empty()) return;
  ++tried.commands;
  std::string out;
  const int code = bench.run(line, out);
  // A refused recipe may be shown on purpose; its command then prints the error.
  if (code != 0 && !(console && out.find("error: ") != std::string::npos))
    tried.failures.push_back(std::to_string(block.line) + ": " + line + "\n" + out);
  if (!console) return;
  const auto shown = lines_of(out);
  tried.lines.insert(tried.lines.end(), shown.begin(), shown.end());
}

Tried try_document(const fs::path& path) {
  const Bench bench;
  const Manual document = read_document(path);
  Tried tried;
  size_t next = 0;  // line not yet copied, from 0
  for (const Block& block : document.blocks) {
    if (!file_of(block).empty()) bench.save(file_of(block), block.text());
    const bool console = block.language == "console";
    if (!console && block.language != "sh") continue;
    const size_t begin = size_t(block.line) - 1, end = begin + block.lines.size(), copied = console ? begin : end;
    tried.lines.insert(tried.lines.end(), document.lines.begin() + long(next), document.lines.begin() + long(copied));
    for (const Command& command : commands_of(block)) try_command(bench, block, command, tried);
    next = end;
  }
  tried.lines.insert(tried.lines.end(), document.lines.begin() + long(next), document.lines.end());
  return tried;
}

/// The first line in which a document differs from what it would say now.
std::string first_difference(const std::vector<std::string>& shown, const std::vector<std::string>& now) {
  for (size_t i = 0; i < std::max(shown.size(), now.size()); ++i) {
    const std::string a = i < shown.size() ? shown[i] : "(end)", b = i < now.size() ? now[i] : "(end)";
    if (a != b) return "line " + std::to_string(i + 1) + "\n  shown: " + a + "\n  now:   " + b;
  }
  return "";
}

void write_lines(const fs::path& path, const std::vector<std::string>& lines) {
  std::ofstream stream(path);
  for (const std::string& line : lines) stream << line << '\n';
}

}  // namespace

TEST_CASE("docs: every command in README.md and the guide runs and prints what is shown", "[docs]") {
  const bool write = std::getenv("ETCHCAST_WRITE_DOCS") != nullptr;  // set by scripts/guide
  for (const fs::path& path : {kSource / "README.md", kSource / "docs/guide.md"}) {
    const std::string file = path.filename().string();
    const Tried tried = try_document(path);
    for (const std::string& failure : tried.failures) FAIL_CHECK(file << ":" << failure);
    CHECK(tried.commands >= 1);
    const auto shown = read_document(path).lines;
    if (write && tried.lines != shown) write_lines(path, tried.lines);
    INFO(file << ": scripts/guide writes what is printed now");
    if (!write) CHECK(first_difference(shown, tried.lines) == "");
  }
}

TEST_CASE("docs: a console block is rewritten with what its commands print now", "[docs]") {
  const fs::path path = fs::temp_directory_path() / ("etchcast-console-" + std::to_string(getpid()) + ".md");
  write_lines(path, {"Before", "```toml", "# a.toml", "x", "```", "```console", "$ cat \\", "  a.toml", "old", "", "$ true",
                     "$ etchcast steps pres", "stale", "```", "```sh", "cp none a.toml", "```", "After"});
  const Tried tried = try_document(path);
  fs::remove(path);
  CHECK(tried.commands == 4);
  REQUIRE(tried.failures.size() == 1);  // a wrong step prints its error, which may be shown; a failing cp may not
  CHECK(tried.failures[0].starts_with("16: cp none"));
  const std::vector<std::string> expected{"Before", "```toml", "# a.toml", "x", "```", "```console", "$ cat \\", "  a.toml",
                                          "# a.toml", "x", "$ true", "$ etchcast steps pres"};
  REQUIRE(tried.lines.size() > expected.size());
  CHECK(std::equal(expected.begin(), expected.end(), tried.lines.begin()));
  CHECK(tried.lines[expected.size()].starts_with("error: "));
  CHECK(tried.lines.back() == "After");
}
