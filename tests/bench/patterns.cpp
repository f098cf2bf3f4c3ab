// Where a picture's time goes, pattern by pattern.
#include <algorithm>
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
  RenderTimes times;
};

Whole measure(const std::string& path, int threads, int runs) {
  omp_set_num_threads(threads);
  Whole w;
  w.forge = median_of(runs, [&] { forge(read_recipe(path)); });
  const Recipe recipe = read_recipe(path);
  const Forging forging = forge(recipe);
  Image image;
  w.render = median_of(runs, [&] { image = render(recipe, forging, {}, &w.times); });
  w.png = median_of(runs, [&] { png_bytes(image); });
  return w;
}

}  // namespace

void patterns(const Options& options) {
  heading("Patterns: time");
  paragraph("The default picture, both sides, about 3000 pixels across; wall time, medians of " +
            std::to_string(options.quick ? 1 : 3) + ". Coverage and light: thread time of the last run.");
  columns({"pattern", "threads", "metal, Mpx", "forge, ms", "coverage, ns/px", "light, ns/px", "render, ms", "PNG, ms",
           "all, ms", "all, CPU ms"});
  std::vector<std::filesystem::path> files;
  for (const auto& entry : std::filesystem::directory_iterator(ETCHCAST_SOURCE_DIR "/patterns"))
    files.push_back(entry.path());
  std::sort(files.begin(), files.end());
  for (const auto& file : files)
    for (const int threads : {1, 2}) {
      const Whole w = measure(file.string(), threads, options.quick ? 1 : 3);
      const double pixels = double(w.times.pixels);
      const auto ms = [](double seconds) { return figures(1e3 * seconds); };
      row({file.stem().string(), std::to_string(threads), figures(pixels / 1e6), ms(w.forge.wall),
           ns_text(w.times.sample, pixels), ns_text(w.times.shade, pixels), ms(w.render.wall), ms(w.png.wall),
           ms(w.forge.wall + w.render.wall + w.png.wall), ms(w.forge.cpu + w.render.cpu + w.png.cpu)});
    }
}

}  // namespace etchcast::bench
