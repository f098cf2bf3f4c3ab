// Benchmarks as Markdown. Reports, never judges: timings are no tests.
//   etchcast_bench [--quick] [SECTION...]     all sections, or those named
#include <cstdio>
#include <string>
#include <string_view>
#include <vector>

#include "bench.hpp"

using namespace etchcast::bench;

namespace {

struct Section {
  const char* name;
  void (*run)(const Options&);
};

constexpr Section kSections[] = {
    {"machine", machine}, {"workload", workload}, {"levels", levels},
    {"peers", peers},     {"quality", quality},   {"quality-patterns", quality_of_patterns},
    {"growth", growth},   {"memory", memory},     {"shaping", shaping},
    {"patterns", patterns},
};

}  // namespace

int main(int count, char** words) {
  if (count == 3 && std::string_view(words[1]) == "draw") return draw_workload(words[2]), 0;
  if (count == 2 && std::string_view(words[1]) == "time-level") return time_level(), 0;
  if (count == 3 && std::string_view(words[1]) == "memory-rows")
    return memory_rows(std::string_view(words[2]) == "quick"), 0;
  if (count == 2 && std::string_view(words[1]) == "shaping-rows") return shaping_rows(), 0;
  Options options;
  std::vector<std::string_view> wanted;
  for (int i = 1; i < count; ++i) {
    if (std::string_view(words[i]) == "--quick")
      options.quick = true;
    else
      wanted.push_back(words[i]);
  }
  for (const std::string_view name : wanted) {
    bool known = false;
    for (const Section& section : kSections) known = known || name == section.name;
    if (known) continue;
    std::fprintf(stderr, "no section '%s'; there are:", std::string(name).c_str());
    for (const Section& section : kSections) std::fprintf(stderr, " %s", section.name);
    std::fprintf(stderr, "\n");
    return 2;
  }
  for (const Section& section : kSections) {
    bool run = wanted.empty();
    for (const std::string_view name : wanted) run = run || name == section.name;
    if (run) section.run(options);
  }
}
