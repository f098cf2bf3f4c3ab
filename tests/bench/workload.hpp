#pragma once
/// \file workload.hpp — workload W: one recipe with something of everything, cut by one plane.

#include <functional>
#include <string>
#include <vector>

#include "coverage/sampler.hpp"
#include "etchcast/render.hpp"
#include "plate/plate.hpp"

namespace etchcast::bench {

inline constexpr double kPlateWidth = 192, kPlateHeight = 50;  // mm
inline constexpr double kPixel = 0.05;                         // mm; 3840 x 1000 pixels

/// The recipe. W itself has restacks {4, 5} and one twist: 300 layers. Others are for the tables of growth.
std::string recipe_text(const std::vector<int>& restacks = {4, 5}, int twists = 1);

/// The ground plane z = 0.95 - 0.04 y of a finished bar, heel end left, from its side y = 25 at the bottom upwards.
class PlaneView final : public View {
 public:
  PlaneView();
  void points(const double* u, const double* v, int n, Batch<double>& batch, float* slope_right,
              float* slope_up) const override;
  static Point<double> at(double u, double v);
};

/// A recipe forged, and the plane through it.
struct Job {
  explicit Job(const std::string& text);
  const Bar& bar() const { return forging.last(); }
  int steels() const { return int(recipe.steels.size()); }
  Recipe recipe;
  Forging forging;
  PlaneView view;
};

/// How many pixels the plate has at a size of pixel.
int columns_at(double mm_per_px);
int rows_at(double mm_per_px);

/// The plate's fields, tile by tile as the program cuts a picture, each given away with its place. The tiles are shared
/// among the threads; `use` is called from all of them.
using UseTile = std::function<void(Field& field, const Tile& tile)>;
void map_plate(const Job& job, double mm_per_px, const UseTile& use);

/// Share of the first steel, row by row, without halo.
std::vector<float> shares_of_plate(const Job& job, double mm_per_px);

/// What lights the plate; a thread has its own.
Lighting lighting_of(const Job& job);

/// Light and bytes of a tile, laid at its place in the image. The field's slopes are changed where edges are broken.
void light_tile(Lighting& lighting, Field& field, const Tile& tile, Image& image);
/// By a light of its own.
void light_tile(const Job& job, Field& field, const Tile& tile, Image& image);

}  // namespace etchcast::bench
