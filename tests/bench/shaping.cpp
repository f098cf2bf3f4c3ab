// Studs, blows and holes that once took minutes or gigabytes: sparse, tiny, crowded.
#include <stdlib.h>

#include <cstdio>
#include <filesystem>
#include <fstream>

#include "bench.hpp"

namespace etchcast::bench {

namespace {

struct Shaping {
  const char *name, *step;
};

constexpr Shaping kShapings[] = {
    {"hammer, blows 500 mm apart", R"({ do = "hammer", spacing = "500 mm" },)"},
    {"dimple, radius 0.5 mm, 1 mm apart, random",
     R"({ do = "dimple", radius = "0.5 mm", depth = "0.2 mm", spacing = "1 mm", set = "random" },)"},
    {"dimple, 500 mm apart", R"({ do = "dimple", depth = "1 mm", spacing = "500 mm" },)"},
    {"drill, 500 mm apart, forged flat", R"({ do = "drill", depth = "1.5 mm", spacing = "500 mm" }, { do = "flatten" },)"},
    {"dimple, 5 mm apart, random",
     R"({ do = "dimple", radius = "2 mm", depth = "0.5 mm", spacing = "5 mm", set = "random" },)"},
    {"hammer, blows 60 mm apart", R"({ do = "hammer", spacing = "60 mm" },)"},
};

std::string recipe_of(const Shaping& shaping) {
  return std::string(R"([steels]
dark   = "1084"
bright = "75Ni8"
[[billet]]
name   = "bar"
width  = "40 mm"
length = "150 mm"
stack  = ["dark 3.2 mm", "bright 1.6 mm"]
repeat = 5
steps  = [
  { do = "weld", heat = "1260 C", soak = "8 min", to = "60 %" },
  { do = "draw", thickness = "10 mm", heat = "1090 C" },
  { do = "restack", pieces = 2 },
  { do = "weld", heat = "1260 C", soak = "8 min", to = "60 %" },
  { do = "draw", thickness = "8 mm" },
  )") + shaping.step +
         R"(
  { do = "grind", thickness = "3.2 mm" },
]
[blade]
shape  = "petty"
length = "120 mm"
grind  = "flat"
)";
}

}  // namespace

void shaping(const Options&) {
  heading("Bars shaped by single tools");
  paragraph(
      "`etchcast ledger` of one bar of 40 x 150 mm, drawn to 8 mm, that step, ground to 3.2 mm: whole process, seconds by "
      "the clock. First: nothing in the cache on disk. Picture: `etchcast render` after that.");
  columns({"step", "first, s", "peak, MB", "again, s", "peak, MB", "picture, s", "preview, s"});
  // In a process of its own, as for the table of memory.
  std::printf("%s", run_child({"/proc/self/exe", "shaping-rows"}).text.c_str());
}

void shaping_rows() {
  const std::string recipe = scratch("shaping.toml"), png = scratch("shaping.png"), home = scratch("shaping-cache");
  setenv("XDG_CACHE_HOME", home.c_str(), 1);
  for (const Shaping& shaping : kShapings) {
    std::filesystem::remove_all(home);
    std::ofstream(recipe) << recipe_of(shaping);
    const Child first = run_child({ETCHCAST_BINARY, "ledger", recipe}), again = run_child({ETCHCAST_BINARY, "ledger", recipe});
    const Child picture = run_child({ETCHCAST_BINARY, "render", recipe, "--quiet", "-o", png});
    const Child preview = run_child({ETCHCAST_BINARY, "ledger", recipe, "--preview"});
    if (!first.ran || !again.ran || !picture.ran || !preview.ran) return paragraph("the program failed: " + first.text);
    row({shaping.name, figures(first.spent.wall), figures(first.peak_bytes / 1e6), figures(again.spent.wall),
         figures(again.peak_bytes / 1e6), figures(picture.spent.wall), figures(preview.spent.wall)});
  }
}

}  // namespace etchcast::bench
