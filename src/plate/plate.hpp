#pragma once
/// \file plate.hpp — the calm ground a picture lies on, and metal laid onto it window by window.

#include <memory>
#include <string>
#include <vector>

#include "coverage/sampler.hpp"
#include "etchcast/render.hpp"

namespace etchcast {

/// One piece of metal on the plate.
struct Panel {
  std::unique_ptr<View> view;
  std::shared_ptr<const Bar> bar;
  Scratches scratches = Scratches::along;
  int column = 0, row = 0;  ///< pixel of the plate at the view's upper left corner
};

/// Pixels a panel takes.
int panel_columns(const Panel& panel, double px_per_mm);
int panel_rows(const Panel& panel, double px_per_mm);

/// Fills the image with the ground: a soft pool of light on a warm grey card, and the panels' shadows on it.
void lay_ground(Image& image, const std::vector<Panel>& panels);

/// A piece of a panel, in its pixels: with the halo about it a window whose arrays fit in a core's cache.
struct Tile {
  int column, row, columns, rows;
};
inline constexpr int kTileColumns = 250, kTileRows = 90;  // with the halo whole squares of a survey, 16 x 6 of them
std::vector<Tile> tiles_of(int columns, int rows);
/// Makes `field` the window of a tile of a view that is so high.
void place_field(Field& field, const View& view, const Tile& tile, double px_per_mm, int steels);

/// Samples and lights a panel, and lays it on the image.
void lay_metal(Image& image, const Panel& panel, const Recipe& recipe, bool plain, RenderTimes& times);

/// A bar of a round length near a fifth of the plate's width, with its length in both systems.
void draw_scale_bar(Image& image, double x, double baseline, double text_px, System first);

}  // namespace etchcast
