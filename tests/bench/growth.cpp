// How cost grows: with layers, steps, pixels, threads; a preview; memory.
#include <cmath>
#include <cstdio>
#include <filesystem>

#include <omp.h>

#include "bench.hpp"
#include "files.hpp"
#include "stages.hpp"

namespace etchcast::bench {

namespace {

std::string mega(double pixels) { return figures(pixels / 1e6); }

void add(const std::string& what, const Job& job, double px, int runs) {
  const double pixels = double(columns_at(px)) * rows_at(px);
  const Spent one = coverage_of(job, px, 1, runs), two = coverage_of(job, px, 2, runs);
  row({what, std::to_string(job.bar().bands.size()), std::to_string(job.bar().maps.size()), mega(pixels),
       ns_text(one.cpu, pixels), ns_text(one.wall, pixels), ns_text(two.cpu, pixels), ns_text(two.wall, pixels),
       figures(one.wall / two.wall)});
}

/// Raw pixels of a small picture, as a window on a screen would take them.
void add_preview(int runs) {
  constexpr double kPreview = kPlateWidth / 1600;
  const Job job(recipe_text());
  Image image{columns_at(kPreview), rows_at(kPreview), 1 / kPreview, {}};
  image.rgb.resize(size_t(image.columns) * image.rows * 3);
  omp_set_num_threads(1);
  const Spent spent = median_of(
      runs, [&] { map_plate(job, kPreview, [&](Field& field, const Tile& tile) { light_tile(job, field, tile, image); }); });
  paragraph("Preview, " + std::to_string(image.columns) + " x " + std::to_string(image.rows) +
            " pixels of W to sRGB bytes, one thread: " + figures(1e3 * spent.cpu) + " ms CPU, " +
            figures(1e3 * spent.wall) + " ms wall.");
}

}  // namespace

void growth(const Options& options) {
  heading("Growth");
  paragraph(
      "Maps and coverage of W's plane, ns per pixel. Layers: by restacks of pieces end for end. Twists: W's twist "
      "dealt out over so "
      "many, with slight drawings between, each of which leaves a map. Pixels: the same plane at other sizes of "
      "pixel.");
  columns({"what", "bands", "maps", "Mpx", "1 thread, CPU", "wall", "2 threads, CPU", "wall", "gain"});
  const int runs = options.quick ? 1 : 3;
  const std::vector<std::pair<int, std::vector<int>>> stacks = {
      {15, {}}, {60, {4}}, {300, {4, 5}}, {1500, {4, 5, 5}}, {15000, {4, 5, 5, 10}}};
  for (const auto& [layers, restacks] : stacks)
    add(std::to_string(layers) + " layers", Job(recipe_text(restacks)), kPixel, runs);
  for (const int twists : {1, 2, 5, 10, 20})
    add(std::to_string(twists) + " twists", Job(recipe_text({4, 5}, twists)), kPixel, runs);
  const Job job(recipe_text());
  for (const double million : {0.5, 2.0, 8.0, 64.0}) {
    if (options.quick && million > 8) break;
    add("W", job, std::sqrt(kPlateWidth * kPlateHeight / (million * 1e6)), million >= 8 ? 1 : runs);
  }
  add_preview(options.runs());
}

void memory(const Options& options) {
  heading("Memory");
  paragraph(
      "`etchcast render patterns/twist-stars.toml`, whole process. Beyond: greatest resident set less the picture in "
      "memory (3 bytes a "
      "pixel) and its file.");
  columns({"px/mm", "Mpx", "picture, MB", "PNG, MB", "peak, MB", "beyond, MB", "wall, s", "CPU, s"});
  // In a process of its own: what a child is begun with, a copy of its parent, counts for its peak.
  std::printf("%s", run_child({"/proc/self/exe", "memory-rows", options.quick ? "quick" : "full"}).text.c_str());
}

void memory_rows(bool quick) {
  const std::string png = scratch("memory.png");
  for (const char* resolution : {"10", "20", "40", "58"}) {
    if (quick && std::string(resolution) == "58") break;
    const Child child = run_child({ETCHCAST_BINARY, "render", ETCHCAST_SOURCE_DIR "/patterns/twist-stars.toml",
                                   "--resolution", std::string(resolution) + " px/mm", "--quiet", "-o", png});
    if (!child.ran) return paragraph("the program failed: " + child.text);
    const double pixels = pixels_of(png), picture = 3 * pixels, file = double(std::filesystem::file_size(png));
    row({resolution, mega(pixels), figures(picture / 1e6), figures(file / 1e6), figures(child.peak_bytes / 1e6),
         figures((child.peak_bytes - picture - file) / 1e6), figures(child.spent.wall), figures(child.spent.cpu)});
  }
}

}  // namespace etchcast::bench
