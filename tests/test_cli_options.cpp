// Options are obeyed or refused, never passed over.

#include "cli_helpers.hpp"

using namespace etchcast;

TEST_CASE("cli: an option that would have no effect is refused by name", "[cli]") {
  Workshop shop;
  with_recipe(shop);
  std::string bar = shop.read("ladder.toml");
  const size_t blade = bar.find("[blade]");
  shop.write("bar.toml", bar.erase(blade, bar.find("[etch]") - blade));
  const std::pair<std::string, std::string> cases[] = {
      {"render ladder.toml --view blade --at 2", "--at and --view blade"},
      {"render ladder.toml --view stages --side left", "--side is a side of the blade"},
      {"render ladder.toml --view end --side left", "--side is a side of the blade"},
      {"render ladder.toml --at 2 --side left", "--side is a side of the blade"},
      {"render bar.toml --side left", "no [blade]"},
      {"render ladder.toml --view stages --at 2", "--at and --view stages"},
      {"render ladder.toml --view stages --data a.npy", "--data and --view stages"},
      {"render ladder.toml -o ''", "--out"},
      {"render ladder.toml --at ''", "--at"},
      {"render ladder.toml --resolution=", "--resolution"},
      {"render ''", "RECIPE"},
      {"probe ladder.toml --section 60 --count 5", "--count goes with --line"},
      {"probe ladder.toml --at 60,5 --across 2", "--across goes with --section"},
      {"probe ladder.toml --inside 60,0,0 --side left", "--side goes with --at or --line"},
      {"ledger ladder.toml --quiet", "--quiet"}};
  for (const auto& [words, told] : cases) {
    const Answer answer = etchcast_in(shop, words);
    INFO(words << ": " << answer.out);
    CHECK(answer.code == 2);
    CHECK(holds(answer.out, told));
  }
  CHECK(shop.files() == 2);
}

TEST_CASE("cli: every command that reads a recipe takes keys from the command line", "[cli][settings]") {
  Workshop shop;
  with_recipe(shop);
  for (const std::string command : {"ledger", "check", "harden", "sheet -o -", "render --resolution '1 px/mm' -o - -q",
                                    "probe --section 60"}) {
    const Answer good = etchcast_in(shop, command + " ladder.toml --set ladder.spacing='8 mm' --set bar.repeat=4");
    INFO(command << ": " << good.out.substr(0, 500));
    CHECK(good.code == 0);
    CHECK((good.out != etchcast_in(shop, command + " ladder.toml").out));
    const Answer bad = etchcast_in(shop, command + " ladder.toml --set ladder.spacing=8");
    INFO(bad.out);
    CHECK(bad.code == 1);
    CHECK(holds(bad.out, "error: --set ladder.spacing: spacing needs a unit: write \"8 mm\""));
  }
  CHECK(etchcast_in(shop, "check ladder.toml --set ladder.spacing").code == 2);
  CHECK(etchcast_in(shop, "check ladder.toml --set '=3'").code == 2);
}

TEST_CASE("cli: hints can be pasted into a shell", "[cli]") {
  Workshop shop;
  const Answer fresh = etchcast_in(shop, "new \"Tom's ladder\"");
  INFO(fresh.out);
  CHECK(holds(fresh.out, "etchcast render 'Tom'\\''s ladder.toml'\n"));
  const Answer lost = etchcast_in(shop, "render \"Tom's ladder.toml\" --resolution '1 px/mm' --set 8.thickness='12.7 mm'");
  INFO(lost.out);
  CHECK(holds(lost.out, ": etchcast check 'Tom'\\''s ladder.toml' --set '8.thickness=12.7 mm'\n"));
}

TEST_CASE("cli: names with control characters do not reach the terminal", "[cli]") {
  Workshop shop;
  const Answer fresh = etchcast_in(shop, "new \"$(printf 'a\\033[31mb')\"");
  CHECK(fresh.code == 0);
  CHECK(!holds(fresh.out, "\x1b"));
  const std::string name = "\"$(printf 'a\\033[31mb.toml')\"";
  for (const std::string words : {"check ", "ledger ", "render --resolution '1 px/mm' ", "sheet "}) {
    INFO(words);
    CHECK(!holds(etchcast_in(shop, words + name).out, "\x1b"));
  }
}
