// The program as a user meets it: every command, exit codes, wrong input, nothing left behind.

#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <cmath>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <thread>

#include "catch.hpp"
#include "forge_helpers.hpp"
#include "etchcast/error.hpp"

namespace fs = std::filesystem;

namespace {

/// A folder of its own for each case, gone afterwards.
class Workshop {
 public:
  Workshop() {
    std::string name = (fs::temp_directory_path() / "etchcast-cli-XXXXXX").string();
    folder_ = mkdtemp(name.data());
  }
  ~Workshop() { fs::remove_all(folder_); }
  const fs::path& folder() const { return folder_; }
  fs::path write(const std::string& name, const std::string& text) const {
    std::ofstream(folder_ / name) << text;
    return folder_ / name;
  }
  std::string read(const std::string& name) const {
    std::ifstream stream(folder_ / name);
    std::stringstream text;
    text << stream.rdbuf();
    return text.str();
  }
  size_t files() const { return size_t(std::distance(fs::directory_iterator(folder_), fs::directory_iterator{})); }

 private:
  fs::path folder_;
};

struct Answer {
  int code = -1;
  std::string out;  ///< standard output and error together
};

/// Runs `etchcast` with those words in the folder, as a shell does.
Answer etchcast_in(const Workshop& shop, const std::string& words, const std::string& before = "") {
  const std::string line =
      "cd '" + shop.folder().string() + "' && " + before + " '" ETCHCAST_BINARY "' " + words + " 2>&1";
  Answer answer;
  std::FILE* pipe = popen(line.c_str(), "r");
  char buffer[4096];
  while (const size_t n = fread(buffer, 1, sizeof buffer, pipe)) answer.out.append(buffer, n);
  const int status = pclose(pipe);
  answer.code = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
  return answer;
}

bool holds(const std::string& text, const std::string& words) { return text.find(words) != std::string::npos; }

/// A workshop with ladder.toml in it.
Workshop& with_recipe(Workshop& shop) {
  REQUIRE(etchcast_in(shop, "new ladder").code == 0);
  return shop;
}

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
  CHECK(holds(etchcast_in(shop, "ledger - < ladder.toml").out, "Steel piled"));
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

TEST_CASE("cli: probe tells points of a side, of a line, of the bar and of a section as CSV", "[cli]") {
  Workshop shop;
  with_recipe(shop);
  const std::string heading = "blade_x_mm,blade_y_mm,x_mm,y_mm,z_mm,stack_mm,billet,layer,steel\n";
  const Answer at = etchcast_in(shop, "probe ladder.toml --side left --at 75,12.5 --at -10,20");
  INFO(at.out);
  CHECK(at.code == 0);
  CHECK(at.out.starts_with(heading + "75.0000,12.5000,"));
  CHECK(std::count(at.out.begin(), at.out.end(), '\n') == 3);
  const Answer line = etchcast_in(shop, "probe ladder.toml --line 0,10:160,10 --count 17");
  CHECK(std::count(line.out.begin(), line.out.end(), '\n') == 18);
  CHECK(holds(line.out, "160.0000,10.0000,,,,,,,\n"));  // past the tip
  CHECK(
      etchcast_in(shop, "probe ladder.toml --inside 60,0,0.5").out.starts_with(heading + ",,60.0000,0.0000,0.500000,"));
  const Answer section = etchcast_in(shop, "probe ladder.toml --section 60 --step 1");
  CHECK(std::count(section.out.begin(), section.out.end(), '\n') == 12);  // eleven plates
  CHECK(holds(section.out, "\n11,60.0000,0.0000,"));
}

TEST_CASE("cli: exact cases hold through the program too", "[cli][twist][ladder]") {
  // Identities: twist s = c cos wx - y sin wx; plane sections s = T (z - zb) / h. Cells are told to 1e-4 mm or finer.
  Workshop shop;
  const auto stack = [&](const std::string& words) {
    const std::string out = etchcast_in(shop, words).out, row = out.substr(out.find('\n') + 1);
    size_t at = 0;
    for (int comma = 0; comma < 5; ++comma) at = row.find(',', at) + 1;
    return std::stod(row.substr(at));
  };
  const std::string pile = "stack = [\"dark 4 mm\", \"bright 4 mm\"]\nrepeat = 2\ntop = \"dark 4 mm\"";
  shop.write("twist.toml", etchcast::exact_recipe(pile, R"({ do = "draw", thickness = "20 mm", width = "20 mm" }, { do = "twist", rate = "1 turns/in", after = "none" })"));
  const double w = 2 * 3.14159265358979 / 25.4;
  for (const double x : {31.0, 57.3})
    CHECK(stack("probe twist.toml --inside " + std::to_string(x) + ",4.5,2.5") == Approx(10 + 2.5 * std::cos(w * x) - 4.5 * std::sin(w * x)).margin(2e-4));
  shop.write("sine.toml", etchcast::exact_recipe(etchcast::kFivePlates, R"({ do = "press", die = "sine", spacing = "12 mm", depth = "1.5 mm", sides = "top", flow = "plane" })"));
  for (const double x : {30.0, 34.5}) {
    const double h = 10 - 0.75 * (1 + std::cos(2 * 3.14159265358979 * x / 12));
    CHECK(stack("probe sine.toml --inside " + std::to_string(x) + ",3,1.5") == Approx(10 * (1.5 + 5) / h).margin(2e-4));
  }
}

TEST_CASE("cli: probe refuses places where there is no metal and numbers it cannot read", "[cli]") {
  Workshop shop;
  with_recipe(shop);
  for (const char* words : {"--at 500,10", "--at 75,80", "--at 75", "--at 75,1,2", "--at a,b", "--at nan,1",
                            "--line 0,1", "--line 0,1:2", "--inside 1,2", "--inside 60,0,50", "--inside -5,0,0",
                            "--section 9999", "--section 60 --across 99", "--section 60 --at 1,2", "--at 1,10 --step 2",
                            "--section 5 --step nostep", "--line 0,1:2,3 --count 0", "--side up --at 1,2"}) {
    const Answer answer = etchcast_in(shop, std::string("probe ladder.toml ") + words);
    INFO(words << ": " << answer.out);
    CHECK(answer.code == 2);
  }
}

TEST_CASE("cli: what it knows of steels, steps and shapes", "[cli]") {
  const Workshop shop;
  CHECK(holds(etchcast_in(shop, "steels").out, "1084"));
  CHECK(holds(etchcast_in(shop, "steels 15n20").out, "75Ni8"));
  CHECK(holds(etchcast_in(shop, "steels 1804").out, "did you mean"));
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
