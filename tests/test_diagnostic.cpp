// How faults are printed, and what is said of files that cannot be read.

#include <filesystem>

#include "catch.hpp"
#include "etchcast/recipe.hpp"

using namespace etchcast;

namespace {

Error failure_of(const std::string& path) {
  try {
    read_recipe(path);
  } catch (const Error& error) {
    return error;
  }
  FAIL("read: " << path);
  throw 0;
}

}  // namespace

TEST_CASE("diagnostic: the caret stands under the column, letters beyond ASCII counted as one", "[diagnostic]") {
  const Diagnostic fault{{"a.toml", 3, 9}, "x", "depth is wrong", "write less", "d\u00E9pth = 4  # deep"};
  CHECK(to_text(fault) == "a.toml:3:9: depth is wrong\n    d\u00E9pth = 4  # deep\n            ^\n  write less");
}

TEST_CASE("diagnostic: without a place or an excerpt only the message is printed", "[diagnostic]") {
  CHECK(to_text({{}, "", "no", "", ""}) == "no");
  CHECK(to_text({{"a.toml", 0, 0}, "", "no", "yes", ""}) == "a.toml: no\n  yes");
}

TEST_CASE("diagnostic: of a long line only the part round the caret is shown", "[diagnostic]") {
  const Diagnostic fault{{"a", 1, 501}, "", "m", "", std::string(500, '.') + "X" + std::string(500, '.')};
  const std::string text = to_text(fault);
  CHECK(text.size() < 250);
  const std::size_t line = text.find('\n') + 1, caret = text.find('\n', line) + 1;
  CHECK(text.find('X') - line == text.find('^') - caret);
}

TEST_CASE("diagnostic: control characters of a recipe never reach the terminal", "[diagnostic]") {
  const std::string text = to_text({{"a", 1, 1}, "", "bad \x1B[31m", "\x07", "\x1B[2J\t\x7F"});
  for (const char letter : text) CHECK((letter == '\n' || static_cast<unsigned char>(letter) >= 0x20));
}

TEST_CASE("diagnostic: what() holds every fault", "[diagnostic]") {
  const Error error(Fault::recipe, {{{"a", 1, 2}, "", "one", "", ""}, {{"a", 3, 4}, "", "two", "", ""}});
  CHECK(std::string(error.what()) == "a:1:2: one\na:3:4: two");
  CHECK(std::string(Error(Fault::use, "no file", "name one").what()) == "no file\n  name one");
}

TEST_CASE("diagnostic: a file that is missing or a folder is a fault of use", "[diagnostic][recipe]") {
  CHECK(failure_of("/nowhere/at/all.toml").fault() == Fault::use);
  CHECK(failure_of("/nowhere/at/all.toml").diagnostics()[0].message == "there is no file \"/nowhere/at/all.toml\"");
  const std::string folder = std::filesystem::temp_directory_path().string();
  CHECK(failure_of(folder).fault() == Fault::use);
  CHECK(failure_of(folder).diagnostics()[0].message == "\"" + folder + "\" is a folder, not a recipe");
  CHECK(failure_of("").fault() == Fault::use);
}

TEST_CASE("diagnostic: an endless file is read no further than a recipe may go", "[diagnostic][recipe]") {
  if (!std::filesystem::exists("/dev/zero")) return;
  CHECK(failure_of("/dev/zero").diagnostics()[0].message == "the recipe is larger than 4 MB");
}
