// Renders recipes to standard output: for each the level, columns and rows in a line of text, then its bytes.
//   etchcast_picture PX_PER_MM RECIPE...
#include <cstdio>
#include <cstdlib>

#include "etchcast/render.hpp"
#include "level.hpp"

int main(int count, char** words) {
  for (int i = 2; i < count; ++i) {
    const etchcast::Recipe recipe = etchcast::read_recipe(words[i]);
    etchcast::RenderOptions options;
    options.px_per_mm = std::atof(words[1]);
    const etchcast::Image image = etchcast::render(recipe, etchcast::forge(recipe), options);
    std::printf("%d %d %d\n", running_level(), image.columns, image.rows);
    std::fwrite(image.rgb.data(), 1, image.rgb.size(), stdout);
  }
}
