// Workload W.
#include "workload.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "coverage/rim.hpp"

namespace etchcast::bench {

std::string recipe_text(const std::vector<int>& restacks, int twists) {
  // Each pile is squeezed back to the thickness of a piece. Width grows by 1.25 for a squeeze to a quarter: 4^0.161.
  std::string steps;
  int higher = 4;
  for (const int pieces : restacks) {
    steps += fmt::format("  {{ do = \"weld\", to = \"{:.6f} %\", spread = 0.1610 }},\n", 100.0 / higher);
    steps += fmt::format("  {{ do = \"restack\", pieces = {}, flip = \"end\" }},\n", pieces);
    higher = pieces;
  }
  steps += "  { do = \"draw\", thickness = \"22 mm\", width = \"22 mm\" },\n";
  for (int k = 0; k < twists; ++k) {
    // Several twists share the one rate, and lie between slight drawings that keep their maps apart.
    steps += fmt::format("  {{ do = \"twist\", rate = \"{:.6f} turns/cm\" }},\n", 0.15 / twists);
    if (k + 1 < twists)
      steps += fmt::format("  {{ do = \"draw\", thickness = \"{0:.2f} mm\", width = \"{0:.2f} mm\" }},\n",
                           22 - 0.1 * (k + 1));
  }
  steps +=
      "  { do = \"draw\", thickness = \"9 mm\", width = \"50 mm\" },\n"
      "  { do = \"press\", die = \"sine\", spacing = \"12 mm\", depth = \"2.5 mm\", sides = \"offset\", flow = "
      "\"plane\" },\n";
  return "title = \"W\"\nlosses = false\n[steels]\nbright = \"75Ni8\"\ndark = \"1084\"\n[[billet]]\nname = "
         "\"bar\"\nwidth = \"40 mm\"\n"
         "length = \"100 mm\"\nstack = [\"bright 4 mm\", \"dark 3 mm\"]\nrepeat = 7\ntop = \"bright 4 mm\"\nsteps = "
         "[\n" +
         steps + "]\n[hand]\neven = true\n";
}

PlaneView::PlaneView() {
  width_ = kPlateWidth, height_ = kPlateHeight;
  outline_ = {{0, 0}, {width_, 0}, {width_, height_}, {0, height_}};
}

Point<double> PlaneView::at(double u, double v) {
  const double y = kPlateHeight / 2 - v;
  return {u, y, 0.95 - 0.04 * y};
}

void PlaneView::points(const double* u, const double* v, int n, Batch<double>& b, float* slope_right,
                       float* slope_up) const {
  for (int i = 0; i < n; ++i) {
    const Point<double> p = at(u[i], v[i]);
    b.x[i] = float(p.x), b.y[i] = float(p.y), b.z[i] = float(p.z);
    b.xp[i] = 1, b.yp[i] = 0, b.zp[i] = 0;
    b.xq[i] = 0, b.yq[i] = -1, b.zq[i] = 0.04f;
    slope_right[i] = 0, slope_up[i] = 0.04f;
  }
}

Job::Job(const std::string& text) : recipe(parse_recipe(text, "W")), forging(forge(recipe)) {}

int columns_at(double mm_per_px) { return int(std::lround(kPlateWidth / mm_per_px)); }
int rows_at(double mm_per_px) { return int(std::lround(kPlateHeight / mm_per_px)); }

void map_plate(const Job& job, double mm_per_px, const UseTile& use) {
  const Sampler sampler(job.bar(), job.steels());
  const std::vector<Tile> tiles = tiles_of(columns_at(mm_per_px), rows_at(mm_per_px));
#pragma omp parallel
  {
    Field field;
    Sampler::Desk desk = sampler.desk();
#pragma omp for schedule(dynamic, 1)
    for (size_t i = 0; i < tiles.size(); ++i) {
      place_field(field, job.view, tiles[i], 1 / mm_per_px, job.steels());
      sampler.sample(job.view, field, desk);
      use(field, tiles[i]);
    }
  }
}

std::vector<float> shares_of_plate(const Job& job, double mm_per_px) {
  const int columns = columns_at(mm_per_px);
  std::vector<float> shares(size_t(columns) * rows_at(mm_per_px));
  map_plate(job, mm_per_px, [&](Field& field, const Tile& tile) {
    for (int r = 0; r < tile.rows; ++r)
      std::copy_n(&field.coverage[field.index(r + Field::kHalo, Field::kHalo)], tile.columns,
                  &shares[size_t(tile.row + r) * columns + tile.column]);
  });
  return shares;
}

Lighting lighting_of(const Job& job) { return {job.recipe.steels, job.recipe.etch, Scratches::along, false}; }

void light_tile(Lighting& lighting, Field& field, const Tile& tile, Image& image) {
  static const Rim kRim(PlaneView().outline());
  thread_local Rim::Desk desk;
  kRim.tilt(field, desk);
  lighting.lay(field, image, tile.column, tile.row);
}

void light_tile(const Job& job, Field& field, const Tile& tile, Image& image) {
  Lighting lighting = lighting_of(job);
  light_tile(lighting, field, tile, image);
}

}  // namespace etchcast::bench
