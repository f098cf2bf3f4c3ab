// A smith's own grades: read, used before the built-in ones, and told what is wrong with them, line by line.

#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>

#include "catch.hpp"
#include "etchcast/check.hpp"
#include "etchcast/metallurgy.hpp"
#include "etchcast/reference.hpp"
#include "etchcast/steels.hpp"

using namespace etchcast;
namespace fs = std::filesystem;

namespace {

const std::string kFile = R"(# My steels.
["C125W"]
also     = "Plain, 1.1663"
standard = "DIN 17350"
source   = "mill's data sheet"
c        = [1.20, 1.30, 1.25]
mn       = [0.25, 0.40]
cr       = 0.3
density  = 7.84
tone     = 0.13
attack   = 0.95
melts    = "1290 C"
forge    = { from = "820 C", to = "1050 C" }
harden   = { from = "780 C", to = "810 C", source = "my kiln book" }
normalise = { from = "870 C", to = "900 C" }

[1084]
source   = "mill certificate"
c        = 0.86
mn       = 0.81
)";

class Folder {
 public:
  Folder() {
    std::string name = (fs::temp_directory_path() / "etchcast-grades-XXXXXX").string();
    path_ = mkdtemp(name.data());
  }
  ~Folder() { fs::remove_all(path_); }
  std::string write(const std::string& name, const std::string& text) const {
    fs::create_directories((path_ / name).parent_path());
    std::ofstream(path_ / name) << text;
    return (path_ / name).string();
  }

 private:
  fs::path path_;
};

/// "line: message" of the only fault in a file of grades.
std::string fault(const std::string& text) {
  try {
    parse_grades(text, "mine.toml");
  } catch (const Error& error) {
    CHECK(error.fault() == Fault::recipe);
    for (const Diagnostic& d : error.diagnostics()) UNSCOPED_INFO(d.message);
    REQUIRE(error.diagnostics().size() == 1);
    const Diagnostic& d = error.diagnostics()[0];
    CHECK(d.place.file == "mine.toml");
    CHECK_FALSE(d.excerpt.empty());
    return std::to_string(d.place.line) + ": " + d.message;
  }
  return "none";
}

std::string one(const std::string& lines) { return "[x]\nsource = \"from memory\"\nc = 0.8\n" + lines; }

const std::string kBillet =
    "[[billet]]\nname = \"bar\"\nstack = [\"dark 3 mm\", \"bright 3 mm\"]\n"
    "steps = [{ do = \"weld\", to = \"60 %\" }]\n";

}  // namespace

TEST_CASE("grade file: every column is read", "[grades]") {
  const auto book = parse_grades(kFile, "mine.toml");
  REQUIRE(book->sheets().size() == 2);
  const SteelSheet& s = *book->find("plain");
  CHECK(s.grade == "C125W");
  CHECK(s.contents[0].least == 1.20);
  CHECK(s.contents[0].nominal == 1.25);
  CHECK(s.contents[1].nominal == Approx(0.325));  // the middle, as none is told
  CHECK(s.contents[2].least == 0.3);
  CHECK(s.density == 7.84);
  CHECK(s.tone == 0.13);
  CHECK(s.attack == 0.95);
  CHECK(s.solidus_c == 1290);
  CHECK(s.forge->high_c == 1050);
  CHECK(s.forge->source == "mill's data sheet");
  CHECK(s.harden->source == "my kiln book");
  CHECK(s.normalise->high_c == 900);
  // Tone and attack that nobody told are estimated, and it is said.
  CHECK(book->find("1084")->tone == Approx(0.17 - 0.14 * 0.81));
  CHECK(book->find("1084")->source == "mill certificate; tone or attack estimated from the elements");
}

TEST_CASE("grade file: a recipe finds it beside itself, and its grades count before the built-in ones", "[grades]") {
  const Folder folder;
  folder.write("shop/steels/mine.toml", kFile);
  const std::string path = folder.write(
      "shop/knife.toml",
      "grades = \"steels/mine.toml\"\n[steels]\ndark = \"c125w\"\nbright = { grade = \"1084\", tone = 0.9 }\n" +
          kBillet);
  const Recipe recipe = read_recipe(path);
  CHECK(recipe.steels[0].grade == "C125W");
  CHECK(recipe.steels[0].carbon == 1.25);
  CHECK(recipe.steels[0].solidus_c == 1290);
  CHECK(recipe.steels[1].carbon == 0.86);  // the certificate's, not the standard's
  CHECK(recipe.steels[1].tone == 0.9);
  const Hardening all = hardening(recipe, forge(recipe));
  REQUIRE(all.steels[0].harden);
  CHECK(all.steels[0].harden->high_c == 810);
  CHECK(all.steels[0].harden->source == "my kiln book");
  CHECK_FALSE(all.steels[1].harden);  // the certificate tells none, and the built-in one is not put in its place
  // Sheets outlive the book's name in the recipe.
  Recipe copy = recipe;
  copy.own_grades.reset();
  CHECK(copy.steels[0].sheet->source == "mill's data sheet");
}

TEST_CASE("grade file: one's own metal that melts below a welding heat is warned of", "[grades][check]") {
  const Folder folder;
  folder.write("mine.toml", "[redmetal]\nsource = \"from memory\"\nc = 0\nmelts = \"1083 C\"\n");
  const std::string path =
      folder.write("knife.toml",
                   "grades = \"mine.toml\"\n[steels]\ndark = \"1084\"\nred = \"redmetal\"\n[[billet]]\nname = "
                   "\"bar\"\nwidth = \"40 mm\"\nlength = \"100 mm\"\nstack = [\"dark 3 mm\", \"red 1 mm\", "
                   "\"dark 3 mm\"]\nsteps = [{ do = \"weld\", heat = \"1260 C\", to = \"60 %\" }]\n");
  const Recipe recipe = read_recipe(path);
  bool warned = false;
  for (const Warning& one : check(recipe, forge(recipe)))
    warned = warned || one.text.find("where red (redmetal) begins to melt") != std::string::npos;
  CHECK(warned);
}

TEST_CASE("grade file: what is wrong is told with the file's own line", "[grades][fault]") {
  CHECK(fault("[x]\nc = 0.8\n") == "1: grade \"x\" needs a source");
  CHECK(fault("[x]\nsource = \"from memory\"\n") == "1: grade \"x\" needs c");
  CHECK(fault(one("nickel = 2\n")) == "4: grade \"x\" has no key \"nickel\"");
  CHECK(fault("[x]\nsource = \"m\"\nc = [0.9, 0.8]\n") == "3: the shares of c are out of order");
  CHECK(fault("[x]\nsource = \"m\"\nc = [0.7, 0.8, 0.9]\n") == "3: the shares of c are out of order");
  CHECK(fault("[x]\nsource = \"m\"\nc = [0.7]\n") == "3: c needs two or three shares, not 1");
  CHECK(fault("[x]\nsource = \"m\"\nc = \"0.8\"\n") == "3: c must be a plain number without quotes, not \"0.8\"");
  CHECK(fault(one("ni = 70\ncr = 34\n")) == "1: the elements add up to 104.8 %, more than the whole steel");
  CHECK(fault(one("forge = \"1050 C\"\n")) == "4: forge must be a table, not text");
  CHECK(fault(one("forge = { from = \"1050 C\", to = \"900 C\" }\n")) == "4: forge goes from 1050 C down to 900 C");
  CHECK(fault(one("harden = { from = \"800 C\" }\n")) == "4: harden needs to");
  CHECK(fault(one("harden = { from = 800, to = \"820 C\" }\n")).starts_with("4: from needs a unit"));
  CHECK(fault(one("tone = 2\n")) == "4: tone = 2 is too large: it may be 0 to 1");
  CHECK(fault("x = 3\n") == "1: \"x\" must be a table of its figures, not a whole number");
  CHECK(fault(one("[X]\nsource = \"m\"\nc = 1\n")) == "4: there is a grade \"X\" in this file already");
}

TEST_CASE("grade file: its faults and the recipe's are told together, each in its own file", "[grades][fault]") {
  const Folder folder;
  folder.write("mine.toml", "[x]\nc = 9\nsource = \"m\"\n");
  const std::string path =
      folder.write("knife.toml", "grades = \"mine.toml\"\n[steels]\ndark = \"1084\"\nbright = \"75Ni9\"\n" + kBillet);
  try {
    read_recipe(path);
    FAIL("two faults");
  } catch (const Error& error) {
    REQUIRE(error.diagnostics().size() == 2);
    CHECK(error.diagnostics()[0].place.file.ends_with("mine.toml"));
    CHECK(error.diagnostics()[0].place.line == 2);
    CHECK(error.diagnostics()[0].excerpt == "c = 9");
    CHECK(error.diagnostics()[1].place.file.ends_with("knife.toml"));
  }
  const std::string lost =
      folder.write("lost.toml", "grades = \"none.toml\"\n[steels]\ndark = \"1084\"\nbright = \"75Ni8\"\n" + kBillet);
  try {
    read_recipe(lost);
    FAIL("no such file");
  } catch (const Error& error) {
    CHECK(error.fault() == Fault::recipe);
    CHECK(error.diagnostics()[0].place.line == 1);
    CHECK(error.diagnostics()[0].message.find("there is no file") != std::string::npos);
    CHECK(error.diagnostics()[0].hint == "the path counts from the recipe's own folder");
  }
}

TEST_CASE("grade file: the tables of steels show it first", "[grades][books]") {
  const auto book = parse_grades(kFile, "mine.toml");
  const std::string all = steels_text(book.get());
  CHECK(all.find("C125W") < all.find("above: mine.toml"));
  CHECK(all.find("75Ni8") > all.find("above: mine.toml"));
  CHECK(steel_text("C125W", book.get()).find("my kiln book") != std::string::npos);
  CHECK(steel_text("1084", book.get()).find("C about 0.86 %") != std::string::npos);
  CHECK(steel_text("1084").find("C 0.80-0.93 %") != std::string::npos);
  CHECK_THROWS_AS(steel_text("C125W"), Error);
}
