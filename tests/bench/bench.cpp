// Where a picture's time goes, pattern by pattern. Reports, never judges: timings are no tests.
//   etchcast_bench RECIPE...      prints a Markdown table; medians of five runs, wall time
#include <algorithm>
#include <chrono>
#include <cstdio>
#include <filesystem>
#include <vector>

#include <omp.h>

#include "etchcast/output.hpp"
#include "etchcast/render.hpp"

using namespace etchcast;

namespace {

double now() { return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count(); }

double median(std::vector<double> v) {
  std::sort(v.begin(), v.end());
  return v[v.size() / 2];
}

struct Row {
  double forge, sample, shade, rest, png, total;
  RenderTimes times;
};

Row measure(const std::string& path, int threads) {
  omp_set_num_threads(threads);
  std::vector<double> forging, sample, shading, rest, png, total;
  Row row{};
  for (int run = 0; run < 5; ++run) {
    const double start = now();
    const Recipe recipe = read_recipe(path);
    const Forging f = forge(recipe);
    const double forged = now();
    const Image image = render(recipe, f, {}, &row.times);
    const double rendered = now();
    const auto bytes = png_bytes(image);
    const double end = now();
    // Stages are added up over threads; their share of the clock is that over the number of threads.
    forging.push_back(forged - start), sample.push_back(row.times.sample / threads), shading.push_back(row.times.shade / threads);
    rest.push_back(rendered - forged - (row.times.sample + row.times.shade) / threads), png.push_back(end - rendered), total.push_back(end - start);
  }
  row.forge = median(forging), row.sample = median(sample), row.shade = median(shading), row.rest = median(rest);
  row.png = median(png), row.total = median(total);
  return row;
}

}  // namespace

int main(int count, char** words) {
  std::printf("| pattern | threads | metal, Mpx | divided | recipe and forge, ms | map and coverage, ns/px | light, ns/px | ground, text, ms | PNG, ms | all, ms |\n");
  std::printf("|---|---|---|---|---|---|---|---|---|---|\n");
  for (int i = 1; i < count; ++i)
    for (const int threads : {1, 2}) {
      const Row r = measure(words[i], threads);
      const double px = double(r.times.pixels);
      std::printf("| %s | %d | %.2f | %.1f %% | %.0f | %.0f | %.0f | %.0f | %.0f | %.0f |\n", std::filesystem::path(words[i]).stem().c_str(), threads,
                  px / 1e6, 100.0 * double(r.times.divided) / px, 1e3 * r.forge, 1e9 * r.sample / px, 1e9 * r.shade / px, 1e3 * r.rest, 1e3 * r.png,
                  1e3 * r.total);
      std::fflush(stdout);
    }
}
