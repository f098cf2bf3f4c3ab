// Mean levels and lengthening from the layers' heights, then the fitted map and its faces.
#include "workpiece/layering.hpp"

#include <algorithm>
#include <cmath>

#include "tape/plan_map.hpp"
#include "workpiece/layer_store.hpp"

namespace etchcast {

namespace {

constexpr int kLast = LayerTarget::kLevels - 1;

double mean_of(const std::vector<double>& values) {
  double sum = 0;
  for (const double v : values) sum += v;
  return sum / double(values.size());
}

/// No layer thinner than a fiftieth, or the map would not be one to one with room to spare.
void need_order(const LayerTarget& t, double share) {
  for (int l = 0; l < kLast; ++l)
    for (size_t i = 0; i < t.grid.size(); ++i) {
      const double apart = LayerTarget::level(l + 1) - LayerTarget::level(l);
      if (share * apart + t.rise[size_t(l) + 1][i] - t.rise[size_t(l)][i] < 0.02 * apart)
        throw Error(Fault::recipe, "layers would be squeezed to nothing between the tools", "press less deep");
    }
}

/// Mean height between two faces over the bar's plan.
double mean_between(const RepeatingSpline& height, double length, double width) {
  const int columns = std::clamp(int(length / 0.4), 40, 4000), rows = std::clamp(int(width / 0.4), 20, 400);
  double sum = 0;
  for (int j = 0; j < rows; ++j)
    for (int i = 0; i < columns; ++i) sum += height((i + 0.5) * length / columns, ((j + 0.5) / rows - 0.5) * width);
  return sum / (double(columns) * rows);
}

/// Heights of the outermost layers are the faces'.
LayerLevel level_of(const Layering& layering) {
  const double base = mean_of(layering.target.rise[0]);
  return {layering.thickness, base, layering.held ? 1 : 1 + mean_of(layering.target.rise[kLast]) - base};
}

std::vector<double> face_of(const LayerTarget& target, const LayerLevel& level, int l) {
  std::vector<double> heights = target.rise[size_t(l)];
  const double mean = mean_of(heights);
  for (double& h : heights) h = level.thickness * (level.base + level.share * LayerTarget::level(l) + h - mean - 0.5);
  return heights;
}

/// In the precision that is kept on disk, so that a table is the same whether it was made or found.
std::shared_ptr<const LayerTable> in_single(const LayerTable& t) {
  const size_t count = size_t(t.grid().columns + 3) * size_t(t.grid().rows + 3) * size_t(t.slots());
  const size_t depth = size_t(t.ways()) * (LayerTable::kDegree + 1);
  const auto side = [&](int s) { return std::vector<float>(t.coefficients<float>(s), t.coefficients<float>(s) + count); };
  return std::make_shared<LayerTable>(t.grid(), t.ways(), std::vector<double>(t.depth<double>(), t.depth<double>() + depth),
                                      side(0), side(1));
}

LaidLayers laid(Layering layering) {
  LayerTarget& target = layering.target;
  LaidLayers result;
  result.level = level_of(layering);
  result.bottom = face_of(target, result.level, 0), result.top = face_of(target, result.level, kLast);
  for (auto& rise : target.rise) {
    const double mean = mean_of(rise);
    for (double& v : rise) v -= mean;
  }
  need_order(target, result.level.share);
  for (auto& rise : target.rise)
    for (double& v : rise) v /= result.level.share;
  result.table = in_single(*fit_layers(std::move(target)).table);
  return result;
}

/// Metal of one face, and of the layers under it, moved where the face is free.
void settle_face(LayerTarget& target, int face, const std::vector<double>& free) {
  auto& heights = target.rise[size_t(face)];
  const double missing = -mean_of(heights), room = mean_of(free);
  if (room < 0.02)
    throw Error(Fault::recipe, "the tools touch nearly all of the face, and metal has nowhere left to go",
                "press less deep, set them further apart, or let the bar lengthen: ends = \"free\"");
  for (int l = 0; l <= kLast; ++l) {
    const double share = missing / room * (face == 0 ? 1 - LayerTarget::level(l) : LayerTarget::level(l));
    for (size_t i = 0; i < free.size(); ++i) target.rise[size_t(l)][i] += share * free[i];
  }
}

}  // namespace

void settle_held(LayerTarget& target, const std::vector<double>& bottom_free, const std::vector<double>& top_free) {
  settle_face(target, 0, bottom_free);
  settle_face(target, kLast, top_free);
}

LaidLayers laid_layers(const std::string& key, double nodes, const std::function<Layering()>& make) {
  constexpr double kCostly = 20000;  // some 50 ms
  if (nodes < kCostly) return laid(make());
  if (auto kept = kept_layers(key)) return *kept;
  const LaidLayers result = laid(make());
  keep_layers(key, result);
  return result;
}

void take_layers(Workpiece& w, const LaidLayers& laid, bool held) {
  w.bend(layer_map(laid.table, laid.level));
  const Bar old = w.bar();
  const Grid2& grid = laid.table->grid();
  std::vector<double> between(laid.top.size());
  for (size_t i = 0; i < between.size(); ++i) between[i] = laid.top[i] - laid.bottom[i];
  const RepeatingSpline height(grid, between);
  double length = old.length_mm / laid.level.share;
  for (int round = 0; round < (held ? 0 : 3); ++round)
    length = old.volume_mm3 / (old.width_mm * mean_between(height, length, old.width_mm));
  const auto relief = [&](const std::vector<double>& heights) {
    const auto [least, most] = std::minmax_element(heights.begin(), heights.end());
    return *most - *least < 1e-6 ? Relief::flat(*most) : Relief::repeating(grid, heights, length, old.width_mm);
  };
  w.set_faces(relief(laid.bottom), relief(laid.top));
  w.set_size(length, old.width_mm, w.bar().top->highest() - w.bar().bottom->lowest());
  w.row().reduction = 1 / laid.level.share;
  w.drawn_out(1 / laid.level.share, 1);
}

}  // namespace etchcast
