// Mean levels and lengthening from the layers' heights, then the fitted map and its faces.
#include "workpiece/layering.hpp"

#include <algorithm>
#include <cmath>

#include "tape/layer_map.hpp"
#include "tape/plan_map.hpp"

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
  const int columns = std::max(40, int(length / 0.4)), rows = std::max(20, int(width / 0.4));
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

void take_faces(Workpiece& w, const Grid2& grid, const std::vector<double>& bottom, const std::vector<double>& top,
                double share, bool held) {
  const Bar old = w.bar();
  std::vector<double> between(top.size());
  for (size_t i = 0; i < top.size(); ++i) between[i] = top[i] - bottom[i];
  const RepeatingSpline height(grid, between), low(grid, bottom), high(grid, top);
  double length = old.length_mm / share;
  for (int round = 0; round < (held ? 0 : 3); ++round)
    length = old.volume_mm3 / (old.width_mm * mean_between(height, length, old.width_mm));
  const double step = std::clamp(std::min(grid.dx(), grid.dy()), 0.2, 0.6);
  const auto relief = [&](const std::vector<double>& values, const RepeatingSpline& field) {
    const auto [least, most] = std::minmax_element(values.begin(), values.end());
    return *most - *least < 1e-6 ? Relief::flat(*most) : Relief::free(length, old.width_mm, step, field);
  };
  w.set_faces(relief(bottom, low), relief(top, high));
  w.set_size(length, old.width_mm, w.bar().top->highest() - w.bar().bottom->lowest());
  w.row().reduction = 1 / share;
  w.drawn_out(1 / share, 1);
}

}  // namespace

LayerFit lay_layers(Workpiece& w, const Layering& layering) {
  LayerTarget target = layering.target;
  const LayerLevel level = level_of(layering);
  const auto bottom = face_of(target, level, 0), top = face_of(target, level, kLast);
  for (auto& rise : target.rise) {
    const double mean = mean_of(rise);
    for (double& v : rise) v -= mean;
  }
  need_order(target, level.share);
  for (auto& rise : target.rise)
    for (double& v : rise) v /= level.share;
  const LayerFit fit = fit_layers(target);
  w.bend(layer_map(fit.table, level));
  take_faces(w, target.grid, bottom, top, level.share, layering.held);
  return fit;
}

}  // namespace etchcast
