// What the documents say is true: their recipes forge, their links lead somewhere, and the generated reference is that
// of this program.

#include <cctype>
#include <set>

#include "doc_helpers.hpp"
#include "etchcast/forging.hpp"
#include "etchcast/render.hpp"

using namespace etchcast;

namespace {

std::string without_code(const std::string& line) { return std::regex_replace(line, std::regex("`[^`]*`"), "``"); }

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

TEST_CASE("docs: the reference of steps is the program's own", "[docs]") {
  const Bench bench;
  std::string out;
  REQUIRE(bench.run("etchcast steps --markdown", out) == 0);
  // To renew it: scripts/guide
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
