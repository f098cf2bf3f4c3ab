// How far the patterns' pictures are from what is true, at three resolutions.
#include <algorithm>
#include <array>
#include <cmath>
#include <filesystem>
#include <limits>

#include <omp.h>

#include "bench.hpp"
#include "coverage/sampler.hpp"
#include "etchcast/render.hpp"
#include "reference.hpp"

namespace etchcast::bench {

namespace {

constexpr int kFiner = 8, kPoints = 1024;
/// Pixels compared with a finer picture at most; a larger side is seen through three windows of a third of them,
/// where the picture is busiest.
constexpr double kMostPixels = 180e3;

/// The right side of a recipe's blade.
struct BladeSide {
  explicit BladeSide(const std::string& path)
      : recipe(read_recipe(path)),
        forging(forge(recipe)),
        bar(bar_of(recipe, forging)),
        blade(std::make_shared<const Blade>(*recipe.blade)) {
    view = blade_view(*bar, blade, place_in(*bar, *blade, *recipe.blade), Side::right, recipe.blade->edge_angle_rad);
    for (const auto& p : blade->outline()) heel = std::min(heel, p.x()), base = std::min(base, p.y());
  }
  static std::shared_ptr<const Bar> bar_of(const Recipe& recipe, const Forging& forging) {
    return forging.story(recipe.blade->from).bars.back();
  }
  int steels() const { return int(recipe.steels.size()); }

  Recipe recipe;
  Forging forging;
  std::shared_ptr<const Bar> bar;
  std::shared_ptr<const Blade> blade;
  std::unique_ptr<View> view;
  double heel = 0, base = 0;  ///< of the outline, mm in the blade's frame
};

/// Coverage of a crop, planes without halo; NaN where a pixel is not wholly metal.
std::vector<float> covered(const BladeSide& side, const Crop& crop, double px_per_mm) {
  constexpr int kHalo = Field::kHalo;
  Field field;
  field.resize(crop.columns + 2 * kHalo, crop.rows + 2 * kHalo, side.steels());
  field.mm_per_px = 1 / px_per_mm;
  field.left_mm = (crop.left - kHalo) / px_per_mm, field.top_mm = side.view->height() - (crop.top - kHalo) / px_per_mm;
  Sampler(*side.bar, side.steels()).sample(*side.view, field);
  std::vector<float> out;
  const size_t plane = size_t(field.columns) * field.rows;
  for (int s = 0; s < side.steels(); ++s)
    for (int r = 0; r < crop.rows; ++r)
      for (int c = 0; c < crop.columns; ++c) {
        const size_t at = field.index(r + kHalo, c + kHalo);
        out.push_back(field.mask[at] >= 0.999999f ? field.coverage[s * plane + at]
                                                  : std::numeric_limits<float>::quiet_NaN());
      }
  return out;
}

/// The same crop from a picture so many times finer, averaged; a band of rows at a time to spare memory.
std::vector<float> averaged(const BladeSide& side, const Crop& crop, double px_per_mm) {
  std::vector<float> out(crop.size() * side.steels());
  constexpr int kRows = 16;
#pragma omp parallel for schedule(dynamic, 1)
  for (int first = 0; first < crop.rows; first += kRows) {
    const int rows = std::min(kRows, crop.rows - first), wide = crop.columns * kFiner;
    const Crop fine{crop.left * kFiner, (crop.top + first) * kFiner, wide, rows * kFiner};
    const std::vector<float> shares = covered(side, fine, px_per_mm * kFiner);
    for (int s = 0; s < side.steels(); ++s)
      for (int r = 0; r < rows; ++r)
        for (int c = 0; c < crop.columns; ++c) {
          double sum = 0;
          for (int k = 0; k < kFiner * kFiner; ++k)
            sum += shares[s * fine.size() + (size_t(r) * kFiner + k / kFiner) * wide + size_t(c) * kFiner + k % kFiner];
          out[s * crop.size() + size_t(first + r) * crop.columns + c] = float(sum / (kFiner * kFiner));
        }
  }
  return out;
}

/// Where the picture is busiest: in each third of the blade the window with the greatest differences between
/// neighbours, looked for at 4 px/mm. Middles in mm from the view's upper left corner; `wide` and `high` are the
/// windows' sizes, mm.
std::vector<std::array<double, 2>> busiest(const BladeSide& side, double wide, double high) {
  constexpr double kCoarse = 4;
  const int columns = int(side.view->width() * kCoarse), rows = int(side.view->height() * kCoarse);
  const int w = std::clamp(int(wide * kCoarse), 4, columns / 3), h = std::clamp(int(high * kCoarse), 4, rows);
  const std::vector<float> shares = covered(side, {0, 0, columns, rows}, kCoarse);
  std::vector<std::array<double, 2>> middles;
  for (int third = 0; third < 3; ++third) {
    double most = -1;
    std::array<double, 2> middle{};
    for (int top = 0; top + h <= rows; top += std::max(1, h / 3))
      for (int left = columns * third / 3; left + w <= columns * (third + 1) / 3; left += std::max(1, w / 3)) {
        double sum = 0;
        for (int r = top; r < top + h; ++r)
          for (int c = left + 1; c < left + w; ++c) {
            const double step =
                std::abs(shares[size_t(r) * columns + c] - shares[size_t(r) * columns + c - 1]) +
                (r > 0 ? std::abs(shares[size_t(r) * columns + c] - shares[size_t(r - 1) * columns + c]) : 0);
            sum += std::isnan(step) ? 0 : step;
          }
        if (sum > most) most = sum, middle = {(left + w / 2) / kCoarse, (top + h / 2) / kCoarse};
      }
    middles.push_back(middle);
  }
  return middles;
}

/// The whole side if it is small enough, else its three busiest windows.
std::vector<Crop> windows_of(const BladeSide& side, double px_per_mm, double most) {
  const int columns = int(side.view->width() * px_per_mm), rows = int(side.view->height() * px_per_mm);
  if (double(columns) * rows <= most) return {{0, 0, columns, rows}};
  const int high = std::min(rows, int(std::sqrt(most / 3 / 2))), wide = std::min(columns / 3, int(most / 3 / high));
  std::vector<Crop> crops;
  for (const auto& [x, y] : busiest(side, wide / px_per_mm, high / px_per_mm))
    crops.push_back({std::clamp(int(x * px_per_mm) - wide / 2, 0, columns - wide),
                     std::clamp(int(y * px_per_mm) - high / 2, 0, rows - high), wide, high});
  return crops;
}

Difference against_finer(const BladeSide& side, double px_per_mm, double most) {
  Difference difference;
  for (const Crop& crop : windows_of(side, px_per_mm, most))
    difference.add(averaged(side, crop, px_per_mm), covered(side, crop, px_per_mm), side.steels());
  return difference;
}

/// Three windows that a thousand points a pixel can be afforded for.
Difference against_counting(const BladeSide& side, double px_per_mm, double most) {
  const PointsUnder under = [&](int n, const double* right, const double* down, Point<double>* points) {
    std::vector<Eigen::Vector2d> places(n);
    for (int i = 0; i < n; ++i)
      places[i] = {side.heel + right[i] / px_per_mm, side.base + side.view->height() - down[i] / px_per_mm};
    const auto found = bar_from_blade(*side.bar, *side.blade, *side.recipe.blade, Side::right, places);
    std::copy(found.begin(), found.end(), points);
  };
  Difference difference;
  for (const Crop& crop : windows_of(side, px_per_mm, most))
    difference.add(covered(side, crop, px_per_mm), counted_shares(*side.bar, side.steels(), crop, kPoints, under),
                   side.steels());
  return difference;
}

}  // namespace

void quality_of_patterns(const Options& options) {
  heading("Patterns: quality");
  const double most = options.quick ? kMostPixels / 10 : kMostPixels, counted = options.quick ? 600 : 1800;
  paragraph(
      "Shares of steel on the right side of the blade, before any light, in levels of 255; pixels wholly in metal, "
      "each with its worst "
      "steel. \"Finer\": against the same integration in a picture 8 times finer each way, averaged over " +
      figures(most) +
      " pixels at most (a larger side through its three busiest windows). \"Counted\": against 1024 points a pixel in "
      "double, "
      "its three busiest windows, " +
      figures(counted) + " pixels in all.");
  omp_set_num_threads(omp_get_num_procs());
  columns({"pattern", "px/mm", "finer: rms", "finer: worst", "counted: rms", "counted: worst"});
  std::vector<std::filesystem::path> files;
  for (const auto& entry : std::filesystem::directory_iterator(ETCHCAST_SOURCE_DIR "/patterns"))
    files.push_back(entry.path());
  std::sort(files.begin(), files.end());
  for (const auto& file : files) {
    const BladeSide side(file.string());
    for (const double px_per_mm : {4.0, 12.0, 30.0}) {
      const Difference finer = against_finer(side, px_per_mm, most),
                       counting = against_counting(side, px_per_mm, counted);
      row({file.stem().string(), figures(px_per_mm), figures(finer.rms()), figures(finer.worst),
           figures(counting.rms()), figures(counting.worst)});
    }
  }
}

}  // namespace etchcast::bench
