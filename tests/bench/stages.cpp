// Workload W in stages, by threads and by instruction set.
#include "stages.hpp"

#include <algorithm>
#include <cstdio>
#include <memory>

#include <omp.h>

#include "etchcast/output.hpp"
#include "levels/level.hpp"
#include "machine.hpp"

namespace etchcast::bench {

namespace {

/// Every pixel's centre through all maps, and nothing else.
void evaluate_plate(const Job& job, double px) {
  const int columns = columns_at(px), rows = rows_at(px);
#pragma omp parallel for schedule(dynamic, 4)
  for (int r = 0; r < rows; ++r) {
    Batch<double> places;
    Batch<float> batch;
    Origins<float> origins;
    double u[kLanes], v[kLanes];
    float right[kLanes], up[kLanes];
    std::fill(v, v + kLanes, kPlateHeight - (r + 0.5) * px);
    for (int first = 0; first < columns; first += kLanes) {
      for (int i = 0; i < kLanes; ++i) u[i] = (std::min(first + i, columns - 1) + 0.5) * px;
      job.view.points(u, v, kLanes, places, right, up);
      std::copy_n(places.x, kLanes, batch.x), std::copy_n(places.y, kLanes, batch.y), std::copy_n(places.z, kLanes, batch.z);
      std::copy_n(places.xp, kLanes, batch.xp), std::copy_n(places.yp, kLanes, batch.yp), std::copy_n(places.zp, kLanes, batch.zp);
      std::copy_n(places.xq, kLanes, batch.xq), std::copy_n(places.yq, kLanes, batch.yq), std::copy_n(places.zq, kLanes, batch.zq);
      job.bar().origins(batch, origins);
    }
  }
}

struct Lit {
  Field field;
  Tile tile;
};

std::vector<Lit> tiles_to_light(const Job& job, double px) {
  std::vector<Lit> tiles;
  map_plate(job, px, [&](Field& field, const Tile& tile) {
#pragma omp critical
    tiles.push_back({field, tile});
  });
  return tiles;
}

Image blank(double px) {
  Image image{columns_at(px), rows_at(px), 1 / px, {}};
  image.rgb.resize(size_t(image.columns) * image.rows * 3);
  return image;
}

void light_all(const Job& job, std::vector<Lit>& tiles, Image& image) {
#pragma omp parallel
  {
    Lighting lighting = lighting_of(job);
#pragma omp for schedule(dynamic, 1)
    for (size_t i = 0; i < tiles.size(); ++i) light_tile(lighting, tiles[i].field, tiles[i].tile, image);
  }
}

void add_rows(const char* threads, const Stages& s) {
  const auto add = [&](const char* what, const Spent& spent) {
    row({what, threads, ns_text(spent.wall, s.pixels), ns_text(spent.cpu, s.pixels)});
  };
  add("maps alone, one evaluation a pixel", s.maps);
  add("maps and coverage: the picture's metal", s.coverage);
  add("light: relief, lamps, sRGB bytes", s.light);
  add("PNG in memory", s.png);
}

void add_shares(const Stages& s) {
  const double rate = kOperationsPerEvaluation * s.pixels / s.maps.cpu;
  const double equal = kOperationsPerEvaluation * s.pixels / s.coverage.cpu;
  paragraph("One evaluation takes 879 float operations (counted in the compiled loops; a division or a root is one). The maps alone so run at " +
            figures(rate / 1e9) + " GF/s: " + figures(100 * rate / peak().fused) +
            " % of this processor's fused peak, " + figures(100 * rate / peak().plain) +
            " % of what it reaches without fusing, as the program is built. A picture that evaluated "
            "every pixel once and paid nothing for coverage would do " +
            figures(equal / 1e9) + " GF/s in the time of maps and coverage: " + figures(100 * equal / peak().fused) +
            " % of the fused peak.");
  const double all = s.coverage.cpu + s.light.cpu + s.png.cpu;
  paragraph("Of one thread's time for metal, light and PNG together, the PNG takes " + figures(100 * s.png.cpu / all) +
            " %.");
}

}  // namespace

Spent coverage_of(const Job& job, double px, int threads, int runs) {
  omp_set_num_threads(threads);
  return median_of(runs, [&] { map_plate(job, px, [](Field&, const Tile&) {}); });
}

Stages stages_of(const Job& job, int threads, int runs) {
  omp_set_num_threads(threads);
  Stages s;
  s.pixels = double(columns_at(kPixel)) * rows_at(kPixel);
  s.maps = median_of(runs, [&] { evaluate_plate(job, kPixel); });
  s.coverage = coverage_of(job, kPixel, threads, runs);
  std::vector<Lit> tiles = tiles_to_light(job, kPixel);
  Image image = blank(kPixel);
  s.light = median_of(runs, [&] { light_all(job, tiles, image); });
  s.png = median_of(runs, [&] { png_bytes(image); });
  return s;
}

void workload(const Options& options) {
  heading("Workload W");
  paragraph(
      "3840 x 1000 pixels of 0.05 mm on a plane through a pressed twist: 15 plates, squeezed to a quarter, cut in 4, "
      "squeezed, "
      "cut in 5 (300 layers), drawn 22 mm square, twisted 0.15 turns/cm, drawn to 9 x 50 mm, pressed both sides with "
      "sine ridges "
      "12 mm apart and 2.5 mm deep (plane sections). ns per pixel, medians of " +
      std::to_string(options.runs()) + " runs.");
  const Job job(recipe_text());
  columns({"stage", "threads", "wall, ns/px", "CPU, ns/px"});
  const Stages one = stages_of(job, 1, options.runs());
  add_rows("1", one);
  add_rows("2", stages_of(job, 2, options.runs()));
  const Spent forging = median_of(options.runs(), [] { Job again(recipe_text()); });
  add_shares(one);
  paragraph("Reading the recipe and forging, once a picture: " + figures(1e3 * forging.cpu) + " ms.");
}

void time_level() {
  const Job job(recipe_text());
  const Stages s = stages_of(job, 1, 5);
  std::printf("%d %.9g %.9g %.9g\n", running_level(), s.maps.cpu / s.pixels, s.coverage.cpu / s.pixels,
              s.light.cpu / s.pixels);
}

void levels(const Options&) {
  heading("Instruction sets");
  paragraph(
      "W again, one thread, CPU ns per pixel. The same object code; the choice between its clones is told that the "
      "processor "
      "knows less. PNG is packed by a shared library that makes its own choice.");
  columns({"instruction set", "maps alone", "maps and coverage", "light"});
  for (const char* program : {ETCHCAST_BENCH_V1, ETCHCAST_BENCH_V3, "/proc/self/exe"}) {
    const Child child = *program ? run_child({program, "time-level"}) : Child{};
    int level = 0;
    double maps = 0, coverage = 0, light = 0;
    if (!child.ran || std::sscanf(child.text.c_str(), "%d %lg %lg %lg", &level, &maps, &coverage, &light) != 4)
      continue;
    const char* name = level == 4   ? "x86-64-v4 (AVX-512)"
                       : level == 3 ? "x86-64-v3 (AVX2)"
                                    : "x86-64 (SSE2), or another processor's";
    row({name, ns_text(maps, 1), ns_text(coverage, 1), ns_text(light, 1)});
  }
}

void draw_workload(const std::string& png) {
  const Job job(recipe_text());
  Image image = blank(kPixel);
  std::vector<std::unique_ptr<Lighting>> lightings;  // one a thread, as in the program
  for (int i = 0; i < omp_get_max_threads(); ++i) lightings.emplace_back(new Lighting(lighting_of(job)));
  map_plate(job, kPixel, [&](Field& field, const Tile& tile) {
    light_tile(*lightings[size_t(omp_get_thread_num())], field, tile, image);
  });
  write_file(png, png_bytes(image));
}

}  // namespace etchcast::bench
