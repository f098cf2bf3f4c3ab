// The program as a user meets it: every command, exit codes, wrong input, nothing left behind.

#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <csignal>
#include <thread>

#include "cli_helpers.hpp"

using namespace etchcast;

namespace {

constexpr const char* kCommands[] = {"render", "probe", "sheet", "ledger", "check", "steels", "steps", "shapes", "new"};

}  // namespace

TEST_CASE("cli: help with examples for the program and for every command", "[cli]") {
  const Workshop shop;
  const Answer all = etchcast_in(shop, "--help");
  CHECK(all.code == 0);
  for (const std::string command : kCommands) {
    CHECK(holds(all.out, command));
    const Answer one = etchcast_in(shop, command + " --help");
    CHECK(one.code == 0);
    CHECK(holds(one.out, "Examples:\n  etchcast " + command));
  }
  CHECK(etchcast_in(shop, "--version").code == 0);
  CHECK(shop.files() == 0);
}

TEST_CASE("cli: a wrong command line is exit 2 and says what to do", "[cli]") {
  const Workshop shop;
  for (const char* words :
       {"", "forge x.toml", "render", "render --colour x.toml", "probe", "new", "render a.toml b.toml"}) {
    const Answer answer = etchcast_in(shop, words);
    INFO(words);
    CHECK(answer.code == 2);
    CHECK(holds(answer.out, "error: "));
    CHECK(holds(answer.out, "--help'"));
  }
  CHECK(holds(etchcast_in(shop, "forge x.toml").out, "there is no command \"forge\""));
}

TEST_CASE("cli: a recipe that is not there is exit 2, one that is none exit 1 with its place", "[cli]") {
  const Workshop shop;
  shop.write("prose.toml", "This is no recipe.\n");
  shop.write("typo.toml", "[steels]\ndark = \"1084\"\n[[billet]]\nname = \"bar\"\nstak = [\"dark 3 mm\"]\n");
  for (const std::string command : {"render", "ledger", "check"}) {
    CHECK(etchcast_in(shop, command + " none.toml").code == 2);
    CHECK(holds(etchcast_in(shop, command + " none.toml").out, "none.toml"));
    CHECK(etchcast_in(shop, command + " prose.toml").code == 1);
    CHECK(holds(etchcast_in(shop, command + " prose.toml").out, "prose.toml:1:"));
    CHECK(etchcast_in(shop, command + " typo.toml").code == 1);
    CHECK(holds(etchcast_in(shop, command + " typo.toml").out, "stack"));
  }
}

TEST_CASE("cli: new writes a recipe that forges, and never over another file", "[cli]") {
  Workshop shop;
  with_recipe(shop);
  const std::string text = shop.read("ladder.toml");
  CHECK(holds(text, "[[billet]]"));
  shop.write("ladder.toml", "mine");
  CHECK(etchcast_in(shop, "new ladder").code == 2);
  CHECK(etchcast_in(shop, "new ladder.toml").code == 2);
  CHECK(shop.read("ladder.toml") == "mine");
  CHECK(etchcast_in(shop, "new ''").code == 2);
  fs::create_symlink("nowhere", shop.folder() / "link.toml");
  CHECK(etchcast_in(shop, "new link").code == 2);
}

TEST_CASE("cli: render writes a picture under the recipe's name and says how large", "[cli]") {
  Workshop shop;
  with_recipe(shop);
  const Answer answer = etchcast_in(shop, "render ladder.toml --resolution '2 px/mm'");
  INFO(answer.out);
  CHECK(answer.code == 0);
  CHECK(holds(answer.out, "ladder.png: "));
  CHECK(holds(answer.out, "2 px/mm"));
  CHECK(shop.read("ladder.png").substr(1, 3) == "PNG");
  CHECK(shop.files() == 2);
  const Answer quiet = etchcast_in(
      shop, "render ladder.toml --resolution '50.8 dpi' --side left --plain -o left.png --data left.npy --quiet");
  INFO(quiet.out);
  CHECK(quiet.code == 0);
  CHECK(quiet.out.empty());
  CHECK(shop.read("left.npy").substr(1, 5) == "NUMPY");
}

TEST_CASE("cli: a recipe may come from standard input, a picture go to standard output", "[cli]") {
  Workshop shop;
  with_recipe(shop);
  CHECK(holds(etchcast_in(shop, "ledger - < ladder.toml").out, "Steel stacked"));
  CHECK(etchcast_in(shop, "render - --resolution '1 px/mm' -o - -q < ladder.toml > out.png").code == 0);
  CHECK(shop.read("out.png").substr(1, 3) == "PNG");
}

TEST_CASE("cli: absurd resolutions are refused before the work", "[cli]") {
  Workshop shop;
  with_recipe(shop);
  for (const char* words :
       {"'1000000 px/mm'", "'0.01 px/mm'", "'0 dpi'", "'-3 px/mm'", "'12'", "'12 mm'", "'nan px/mm'", "'inf dpi'"}) {
    const Answer answer = etchcast_in(shop, std::string("render ladder.toml --resolution=") + words + " -o a.png");
    INFO(words << ": " << answer.out);
    CHECK(answer.code == 2);
  }
  CHECK(etchcast_in(shop, "render ladder.toml --resolution '1999 px/mm' -o a.png").code == 2);  // too many pixels
  CHECK(etchcast_in(shop, "render ladder.toml --at nostep -o a.png").code == 2);
  CHECK(!fs::exists(shop.folder() / "a.png"));
}

TEST_CASE("cli: a blade outside its bar is exit 1 and leaves no picture", "[cli]") {
  Workshop shop;
  with_recipe(shop);
  std::string text = shop.read("ladder.toml");
  const std::string good = "length = \"150 mm\"\nheel";
  REQUIRE(holds(text, good));
  shop.write("long.toml", text.replace(text.find(good), good.size(), "length = \"700 mm\"\nheel"));
  for (const std::string words : {"render long.toml", "check long.toml", "probe long.toml --at 10,10"}) {
    const Answer answer = etchcast_in(shop, words);
    INFO(answer.out);
    CHECK(answer.code == 1);
    CHECK(holds(answer.out, "tip runs out"));
  }
  CHECK(shop.files() == 2);
}

TEST_CASE("cli: an output that cannot be written is exit 2 and leaves nothing behind", "[cli]") {
  Workshop shop;
  with_recipe(shop);
  fs::create_directory(shop.folder() / "folder.png");
  for (const char* out : {"none/a.png", "folder.png", "/dev/full"}) {
    const Answer answer = etchcast_in(shop, std::string("render ladder.toml --resolution '1 px/mm' -o ") + out);
    INFO(out << ": " << answer.out);
    CHECK(answer.code == 2);
  }
  // A limit on the size of files stands for a full disk.
  CHECK(etchcast_in(shop, "render ladder.toml --resolution '4 px/mm' -o big.png", "ulimit -f 8 &&").code == 2);
  CHECK(shop.files() == 2);
  CHECK(etchcast_in(shop, "ledger ladder.toml > /dev/full").code == 2);
}

TEST_CASE("cli: check exits 0 with warnings, and hints at itself after a render", "[cli]") {
  Workshop shop;
  with_recipe(shop);
  std::string text = shop.read("ladder.toml");
  const std::string good = "thickness = \"6.4 mm\"";
  shop.write("lost.toml", text.replace(text.find(good), good.size(), "thickness = \"12.7 mm\""));
  const Answer answer = etchcast_in(shop, "check lost.toml");
  CHECK(answer.code == 0);
  CHECK(holds(answer.out, "warning: bar: step 9, press"));
  CHECK(!holds(answer.out, "\x1b["));  // no colour into a pipe
  CHECK(!holds(etchcast_in(shop, "check lost.toml --quiet").out, "note:"));
  CHECK(holds(etchcast_in(shop, "render lost.toml --resolution '1 px/mm'").out, "2 warnings: etchcast check lost.toml"));
}

TEST_CASE("cli: what it knows of steels, steps and shapes", "[cli]") {
  const Workshop shop;
  CHECK(holds(etchcast_in(shop, "steels").out, "1084"));
  CHECK(holds(etchcast_in(shop, "steels 15n20").out, "75Ni8"));
  CHECK(holds(etchcast_in(shop, "steels 1085").out, "known of its kind: \"1045\""));
  CHECK(etchcast_in(shop, "steels 1804").code == 2);
  CHECK(holds(etchcast_in(shop, "steps").out, "press"));
  CHECK(holds(etchcast_in(shop, "steps press").out, "spacing"));
  CHECK(holds(etchcast_in(shop, "steps pres").out, "did you mean \"press\"?"));
  CHECK(holds(etchcast_in(shop, "shapes").out, "gyuto"));
  CHECK(holds(etchcast_in(shop, "steps --markdown").out, "## press"));
}

TEST_CASE("cli: sheet writes one page, whole, by the recipe's name or as told", "[cli]") {
  Workshop shop;
  with_recipe(shop);
  const Answer answer = etchcast_in(shop, "sheet ladder.toml");
  INFO(answer.out);
  CHECK(answer.code == 0);
  CHECK(holds(answer.out, "ladder.html: "));
  CHECK(shop.read("ladder.html").starts_with("<!DOCTYPE html>"));
  CHECK(shop.read("ladder.html").ends_with("</html>\n"));
  CHECK(etchcast_in(shop, "sheet ladder.toml -q -o other.html").out.empty());
  CHECK((shop.read("other.html") == shop.read("ladder.html")));
  CHECK(etchcast_in(shop, "sheet ladder.toml -o -").out.starts_with("<!DOCTYPE html>"));
  CHECK(etchcast_in(shop, "sheet ladder.toml -o none/x.html").code == 2);
  CHECK(shop.files() == 3);
}

TEST_CASE("cli: interrupted, it dies by the signal and leaves nothing behind", "[cli]") {
  Workshop shop;
  with_recipe(shop);
  for (const int signal : {SIGINT, SIGTERM}) {
    const pid_t child = fork();
    if (child == 0) {
      if (chdir(shop.folder().c_str()) != 0) _exit(99);
      execl(ETCHCAST_BINARY, "etchcast", "render", "ladder.toml", "--resolution", "50 px/mm", "-q",
            static_cast<char*>(nullptr));
      _exit(98);
    }
    std::this_thread::sleep_for(std::chrono::milliseconds(300));
    kill(child, signal);
    int status = 0;
    waitpid(child, &status, 0);
    CHECK(WIFSIGNALED(status));
    CHECK(WTERMSIG(status) == signal);
    CHECK(shop.files() == 1);
  }
}
