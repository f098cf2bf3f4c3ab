// Where a picture's time goes, pattern by pattern.
#include <algorithm>
#include <chrono>
#include <filesystem>
#include <vector>

#include <omp.h>

#include "bench.hpp"
#include "etchcast/output.hpp"
#include "etchcast/render.hpp"

namespace etchcast::bench {

namespace {

struct Whole {
  Spent forge, render, png;
  RenderTimes times;  ///< of the last run
  double last_wall = 0;
};

Whole measure(const std::string& path, int threads, int runs) {
  omp_set_num_threads(threads);
  Whole w;
  w.forge = median_of(runs, [&] { forge(read_recipe(path)); });
  const Recipe recipe = read_recipe(path);
  const Forging forging = forge(recipe);
  Image image;
  w.render = median_of(runs, [&] {
    const auto start = std::chrono::steady_clock::now();
    image = render(recipe, forging, {}, &w.times);
    w.last_wall = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
  });
  w.png = median_of(runs, [&] { png_bytes(image); });
  return w;
}

}  // namespace

void patterns(const Options& options) {
  heading("Patterns: time");
  const int runs = options.quick ? 1 : 3;
  paragraph(
      "The default picture, both sides, about 3000 pixels across: CPU time, medians of " + std::to_string(runs) +
      ", and the whole by the clock. Coverage and light are shares of drawing; the rest is ground, blending, text.");
  columns({"pattern", "threads", "metal, Mpx", "forge, ms", "draw, ms", "coverage", "light", "PNG, ms", "all, CPU ms",
           "all, wall ms"});
  std::vector<std::filesystem::path> files;
  for (const auto& entry : std::filesystem::directory_iterator(ETCHCAST_SOURCE_DIR "/patterns"))
    files.push_back(entry.path());
  std::sort(files.begin(), files.end());
  for (const auto& file : files)
    for (const int threads : {1, 2}) {
      const Whole w = measure(file.string(), threads, runs);
      const auto ms = [](double seconds) { return figures(1e3 * seconds); };
      // Times of stages are added up over threads by the clock: good for shares, not for sums.
      const auto share = [&](double stage) { return figures(100 * stage / (threads * w.last_wall)) + " %"; };
      row({file.stem().string(), std::to_string(threads), figures(double(w.times.pixels) / 1e6), ms(w.forge.cpu),
           ms(w.render.cpu), share(w.times.sample), share(w.times.shade), ms(w.png.cpu),
           ms(w.forge.cpu + w.render.cpu + w.png.cpu), ms(w.forge.wall + w.render.wall + w.png.wall)});
    }
}

}  // namespace etchcast::bench
