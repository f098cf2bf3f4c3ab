// What the program writes and where: nothing that was there before is lost.

#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include "cli_helpers.hpp"

using namespace etchcast;

namespace {

constexpr const char* kSmall = " --resolution '1 px/mm' ";

/// The first .part file in the folder, or none.
bool has_part(const Workshop& shop) {
  for (const auto& entry : fs::directory_iterator(shop.folder()))
    if (entry.path().extension() == ".part") return true;
  return false;
}

/// Exit code of a line of shell in the folder.
int shell(const Workshop& shop, const std::string& line) {
  const int status = std::system(("cd '" + shop.folder().string() + "' && " + line).c_str());
  return WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
}

const std::string kProgram = "'" ETCHCAST_BINARY "' ";

/// Starts a render with data and sends the signal once a file is half written. Returns the status of its end.
int stopped_while_writing(const Workshop& shop, int signal) {
  const pid_t child = fork();
  if (child == 0) {
    if (chdir(shop.folder().c_str()) != 0) _exit(99);
    execl(ETCHCAST_BINARY, "etchcast", "render", "ladder.toml", "--resolution", "25 px/mm", "--data", "ladder.npy", "-q",
          static_cast<char*>(nullptr));
    _exit(98);
  }
  int status = 0;
  while (!has_part(shop) && waitpid(child, &status, WNOHANG) == 0) usleep(200);
  kill(child, signal);
  waitpid(child, &status, 0);
  return status;
}

}  // namespace

TEST_CASE("cli: a picture to standard output stands where the output does, and loses nothing", "[cli][file]") {
  Workshop shop;
  with_recipe(shop);
  const std::string render = kProgram + "render ladder.toml -q" + kSmall;
  for (const std::string out : {"-", "/dev/stdout", "/dev/fd/1", "/proc/self/fd/1", "link"}) {
    if (out == "link") fs::create_symlink("/dev/stdout", shop.folder() / "link");
    INFO(out);
    shop.write("all", "before ");
    CHECK(shell(shop, render + "-o " + out + " >> all") == 0);
    CHECK(shop.read("all").starts_with("before \x89PNG"));
    CHECK(shell(shop, "{ echo one; " + render + "-o " + out + "; echo two; } > all") == 0);
    CHECK(shop.read("all").starts_with("one\n\x89PNG"));
    CHECK(shop.read("all").ends_with("two\n"));
  }
  CHECK(shell(shop, kProgram + "sheet ladder.toml -o - >> all") == 0);
  CHECK(shop.read("all").starts_with("one\n\x89PNG"));
  CHECK(shell(shop, render + "-o - --data /dev/fd/3 3>> numbers >> all") == 0);
  CHECK(shop.read("numbers").substr(1, 5) == "NUMPY");
}

TEST_CASE("cli: what a render says never mixes with a picture on standard output", "[cli][file]") {
  Workshop shop;
  with_recipe(shop);
  CHECK(shell(shop, kProgram + "render ladder.toml -o /dev/stdout > out.png 2> said" + kSmall) == 0);
  CHECK(holds(shop.read("said"), "standard output: "));
  CHECK(shop.read("out.png").starts_with("\x89PNG"));
  CHECK(!holds(shop.read("out.png"), "px/mm"));
  CHECK(shell(shop, kProgram + "render ladder.toml --data - > out.npy 2> said" + kSmall) == 0);
  CHECK(shop.read("out.npy").substr(1, 5) == "NUMPY");
  CHECK(!fs::exists(shop.folder() / "-"));
}

TEST_CASE("cli: a standard output that is closed is an error and no other file gets the picture", "[cli][file]") {
  Workshop shop;
  with_recipe(shop);
  CHECK(shell(shop, kProgram + "render ladder.toml -q -o - >&- 2> /dev/null" + kSmall) == 2);
  CHECK(shell(shop, kProgram + "render ladder.toml -o a.png >&- 2> /dev/null" + kSmall) == 2);  // says its size nowhere
  CHECK(shop.read("a.png").starts_with("\x89PNG"));
  CHECK(shop.read("a.png").ends_with("IEND\xAE\x42\x60\x82"));
  CHECK(shop.files() == 2);
}

TEST_CASE("cli: an output is never a file the recipe is read from, nor another output", "[cli][file]") {
  Workshop shop;
  with_recipe(shop);
  const std::string text = shop.read("ladder.toml");
  shop.write("plain", text);
  shop.write("own.png", text);
  shop.write("steels", "[\"W2\"]\nc = 0.95\nmn = 0.25\nsource = \"from memory\"\n");
  shop.write("graded.toml", "grades = \"steels\"\n" + text);
  fs::create_symlink("plain", shop.folder() / "link.png");
  fs::create_symlink("graded.toml", shop.folder() / "again.toml");
  fs::create_hard_link(shop.folder() / "plain", shop.folder() / "hard.png");
  fs::create_directory(shop.folder() / "sub");
  const size_t before = shop.files();
  for (const std::string words :
       {"plain -o plain", "plain -o ./plain", "plain -o sub/../plain", "plain -o link.png", "plain -o hard.png", "own.png",
        "graded.toml -o steels", "again.toml -o steels", "plain --data plain", "plain -o new --data new",
        "plain -o new --data ./sub/../new", "plain -o - --data -", "plain -o /dev/stdout --data -"}) {
    const Answer answer = etchcast_in(shop, "render " + words + kSmall);
    INFO(words << ": " << answer.out);
    CHECK(answer.code == 2);
    CHECK((holds(answer.out, "is read from") || holds(answer.out, "both to be written")));
    CHECK(shop.files() == before);
  }
  CHECK(shop.read("plain") == text);
  CHECK(shop.read("own.png") == text);
  CHECK(etchcast_in(shop, "sheet plain -o plain").code == 2);
  CHECK(etchcast_in(shop, std::string("render plain -o /dev/null --data /dev/null") + kSmall).code == 0);
}

TEST_CASE("cli: each picture of a recipe has a name of its own", "[cli][file]") {
  Workshop shop;
  with_recipe(shop);
  const std::pair<std::string, std::string> names[] = {{"", "ladder.png"},
                                                       {"--side both", "ladder.png"},
                                                       {"--side left", "ladder-left.png"},
                                                       {"--view blade --side right", "ladder-right.png"},
                                                       {"--view stages", "ladder-stages.png"},
                                                       {"--view top", "ladder-top.png"},
                                                       {"--at ladder --view side", "ladder-ladder-side.png"},
                                                       {"--at bar:4", "ladder-bar-4.png"},
                                                       {"--plain", "ladder-plain.png"}};
  for (const auto& [options, name] : names) {
    const Answer answer = etchcast_in(shop, "render ladder.toml " + options + kSmall);
    INFO(options << ": " << answer.out);
    CHECK(answer.code == 0);
    CHECK(answer.out.starts_with(name + ": "));
    CHECK(fs::exists(shop.folder() / name));
  }
}

TEST_CASE("cli: names that would mislead are refused with the right one", "[cli][file]") {
  Workshop shop;
  with_recipe(shop);
  fs::create_directory(shop.folder() / "folder");
  fs::create_symlink("nowhere.png", shop.folder() / "dangling.png");
  const std::pair<std::string, std::string> cases[] = {
      {"render ladder.toml -o a.jpg", "write -o \"a.png\""},     {"render ladder.toml -o a.JPEG", "\"a.png\""},
      {"render ladder.toml -o ladder.toml", "\"ladder.png\""},   {"render ladder.toml --data a.csv", "write --data \"a.npy\""},
      {"sheet ladder.toml -o a.pdf", "write -o \"a.html\""},     {"render ladder.toml -o folder", "is a folder"},
      {"render ladder.toml -o none/a.png", "no folder \"none\""}, {"render ladder.toml -o dangling.png --resolution '1 px/mm'", "a link to a file that is not there"}};
  for (const auto& [words, right] : cases) {
    const Answer answer = etchcast_in(shop, words);
    INFO(words << ": " << answer.out);
    CHECK(answer.code == 2);
    CHECK(holds(answer.out, right));
  }
  CHECK(shop.files() == 3);
  CHECK(etchcast_in(shop, std::string("render ladder.toml -o a.PNG") + kSmall).code == 0);
}

TEST_CASE("cli: stopped by a signal while a file is half written, it leaves none", "[cli][file]") {
  Workshop shop;
  with_recipe(shop);
  for (const int signal : {SIGINT, SIGTERM, SIGHUP, SIGQUIT, SIGXCPU, SIGALRM, SIGUSR1}) {
    INFO(signal);
    const int status = stopped_while_writing(shop, signal);
    CHECK(WIFSIGNALED(status));
    CHECK(WTERMSIG(status) == signal);
    CHECK(!has_part(shop));
  }
}
