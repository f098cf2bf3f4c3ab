// Every recipe in patterns/: it renders, its books are sound, and its blade looks as it did (as characters, never as bytes
// of a picture). ETCHCAST_WRITE_GOLDENS=1 writes tests/goldens.txt anew; read the difference before you keep it.
#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>

#include <omp.h>

#include "catch.hpp"
#include "data_helpers.hpp"
#include "etchcast/check.hpp"
#include "etchcast/render.hpp"

using namespace etchcast;

namespace {

std::vector<std::string> recipes() {
  std::vector<std::string> all;
  for (const auto& file : std::filesystem::directory_iterator(ETCHCAST_SOURCE_DIR "/patterns"))
    if (file.path().extension() == ".toml") all.push_back(file.path().string());
  std::sort(all.begin(), all.end());
  return all;
}

/// The right side as 72 x 20 characters: ' ' no metal, '#' mostly the first steel, '.' mostly another, '?' too near to call.
std::string as_characters(const Recipe& recipe, const Forging& forging) {
  RenderOptions options;
  options.left = false;
  options.px_per_mm = 4;
  const MetalData data(render_data(recipe, forging, options), recipe.steels.size());
  std::string text;
  for (size_t j = 0; j < 20; ++j) {
    std::string line;
    for (size_t i = 0; i < 72; ++i) {
      const float* pixel = data.at((2 * j + 1) * data.rows() / 40, (2 * i + 1) * data.columns() / 144);
      line += !data.metal(pixel) ? ' ' : pixel[0] > 0.8f ? '#' : pixel[0] < 0.2f ? '.' : '?';
    }
    line.erase(line.find_last_not_of(' ') + 1);
    text += line + "|\n";
  }
  return text;
}

std::string golden(const std::string& name) {
  std::ifstream file(ETCHCAST_SOURCE_DIR "/tests/goldens.txt");
  std::string line, text;
  bool inside = false;
  while (std::getline(file, line)) {
    if (line.rfind("== ", 0) == 0)
      inside = line == "== " + name;
    else if (inside)
      text += line + "\n";
  }
  return text;
}

/// Places where both are sure and yet differ.
int differences(const std::string& a, const std::string& b) {
  if (a.size() != b.size()) return 1000;
  int n = 0;
  for (size_t i = 0; i < a.size(); ++i) n += a[i] != b[i] && a[i] != '?' && b[i] != '?';
  return n;
}

}  // namespace

TEST_CASE("every pattern forges, fits its blade, and looks as it did", "[patterns]") {
  const bool write = std::getenv("ETCHCAST_WRITE_GOLDENS") != nullptr;
  std::ofstream out;
  if (write) out.open(ETCHCAST_SOURCE_DIR "/tests/goldens.txt");
  REQUIRE(recipes().size() >= 10);
  for (const std::string& path : recipes()) {
    const std::string name = std::filesystem::path(path).stem().string();
    INFO(name);
    const Recipe recipe = read_recipe(path);
    const Forging forging = forge(recipe);
    CHECK(recipe.comment.size() > 80);  // what a smith would say of it
    REQUIRE(recipe.blade);
    CHECK(fit_blade(forging.last(), Blade(*recipe.blade), *recipe.blade).problems.empty());
    for (const BilletStory& story : forging.billets)
      for (const LedgerRow& row : story.rows) {
        CHECK(row.yield <= 1 + 1e-9);
        CHECK(row.yield > 0.05);
        CHECK(row.layers_least >= 1);
        CHECK(row.thinnest_mm > 0);
      }
    const std::string now = as_characters(recipe, forging);
    if (write) out << "== " << name << "\n" << now;
    else {
      const std::string then = golden(name);
      INFO("now:\n" << now << "then:\n" << then);
      CHECK(differences(now, then) <= 4);
    }
  }
}

TEST_CASE("every pattern's whole plate renders, every view of it", "[patterns]") {
  for (const std::string& path : recipes()) {
    INFO(path);
    const Recipe recipe = read_recipe(path);
    const Forging forging = forge(recipe);
    for (const Looking view : {Looking::blade, Looking::end, Looking::top, Looking::side, Looking::stages}) {
      RenderOptions options;
      options.view = view;
      options.px_per_mm = 2;
      const Image image = render(recipe, forging, options);
      CHECK(image.rgb.size() == size_t(image.columns) * image.rows * 3);
      int dark = 0, light = 0;
      for (size_t i = 0; i < image.rgb.size(); i += 3) dark += image.rgb[i] < 90, light += image.rgb[i] > 180;
      CHECK(dark > 50);
      CHECK(light > 50);
    }
  }
}

TEST_CASE("the same recipe gives the same pixels for any number of threads", "[patterns]") {
  const Recipe recipe = read_recipe(ETCHCAST_SOURCE_DIR "/patterns/twist.toml");
  const Forging forging = forge(recipe);
  RenderOptions options;
  options.px_per_mm = 5;
  const Image many = render(recipe, forging, options);
  const int threads = omp_get_max_threads();
  omp_set_num_threads(1);
  const Image one = render(recipe, forging, options);
  omp_set_num_threads(5);
  const Image five = render(recipe, forging, options);
  omp_set_num_threads(threads);
  CHECK(many.rgb == five.rgb);
  CHECK(many.rgb == one.rgb);
}
