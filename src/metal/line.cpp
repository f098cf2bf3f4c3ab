// Lines of markers: laid, interpolated, laid anew.
#include <algorithm>
#include <cmath>

#include "metal/march.hpp"

namespace etchcast::metal {

LineHeights::LineHeights(const Markers& markers, int line, const std::vector<double>& heights)
    : x_(markers.x.data() + markers.at(0, line)),
      z_(heights.data() + markers.at(0, line)),
      count_(markers.columns + 1),
      mirrored_(markers.mirrored),
      axis_(markers.axis),
      slopes_(static_cast<size_t>(count_), 0.0) {
  // Slope of the parabola through three neighbours; level at the mirrors.
  const auto middle = [](double back, double fore, double fall, double rise) {
    return (fall / back * fore + rise / fore * back) / (back + fore);
  };
  for (int i = 1; i + 1 < count_; ++i)
    slopes_[size_t(i)] = middle(x_[i] - x_[i - 1], x_[i + 1] - x_[i], z_[i] - z_[i - 1], z_[i + 1] - z_[i]);
  if (axis_) slopes_[0] = 2 * (z_[1] - z_[0]) / (x_[1] - x_[0]) - slopes_[1];
  if (mirrored_) return;
  const int n = count_ - 1;
  slopes_.front() = slopes_.back() = middle(x_[n] - x_[n - 1], x_[1] - x_[0], z_[n] - z_[n - 1], z_[1] - z_[0]);
}

double LineHeights::operator()(double x) const {
  if (!mirrored_) {
    const double repeat = x_[count_ - 1] - x_[0];
    x -= repeat * std::floor((x - x_[0]) / repeat);
  }
  const int i = std::clamp(int(std::upper_bound(x_, x_ + count_, x) - x_) - 1, 0, count_ - 2);
  const double wide = x_[i + 1] - x_[i], t = std::clamp((x - x_[i]) / wide, 0.0, 1.0), u = 1 - t;
  return z_[i] * u * u * (1 + 2 * t) + z_[i + 1] * t * t * (1 + 2 * u) +
         wide * t * u * (slopes_[size_t(i)] * u - slopes_[size_t(i) + 1] * t);
}

Markers laid_markers(const Problem& problem, const Fineness& fineness, double half,
                     const std::function<double(double)>& bottom, const std::function<double(double)>& top) {
  Markers m;
  m.columns = 4 * fineness.along, m.lines = fineness.lines, m.mirrored = problem.mirrored, m.axis = problem.round;
  m.x.resize(size_t(m.columns + 1) * (m.lines + 1)), m.z.resize(m.x.size());
  // Places between which stand even shares of the volume.
  const int fine = 64 * m.columns;
  const auto place = [&](double i) { return problem.start() + problem.extent() * i / fine; };
  std::vector<double> volume(size_t(fine) + 1, 0.0);
  for (int i = 0; i < fine; ++i) volume[size_t(i) + 1] = volume[size_t(i)] + top(place(i + 0.5)) - bottom(place(i + 0.5));
  for (int i = 0; i <= m.columns; ++i) {
    const double want = volume.back() * i / m.columns;
    const int j = std::clamp(int(std::upper_bound(volume.begin(), volume.end(), want) - volume.begin()) - 1, 0, fine - 1);
    const double xi = place(j + (want - volume[size_t(j)]) / (volume[size_t(j) + 1] - volume[size_t(j)]));
    const double b = bottom(xi), h = top(xi) - b;
    for (int k = 0; k <= m.lines; ++k) m.x[size_t(m.at(i, k))] = xi * half, m.z[size_t(m.at(i, k))] = b + h * k / m.lines;
  }
  m.before = m.z;
  return m;
}

void space_out(Markers& m) {
  for (int k = 0; k <= m.lines; ++k) {
    const int first = m.at(0, k);
    double widest = 0;
    for (int i = 0; i < m.columns; ++i) widest = std::max(widest, m.x[size_t(first + i) + 1] - m.x[size_t(first + i)]);
    const double from = m.x[size_t(first)], step = (m.x[size_t(first + m.columns)] - from) / m.columns;
    if (widest < 2 * step) continue;
    for (auto* heights : {&m.z, &m.before}) {
      const LineHeights line(m, k, *heights);
      std::vector<double> anew;
      for (int i = 0; i <= m.columns; ++i) anew.push_back(line(from + step * i));
      std::copy(anew.begin(), anew.end(), heights->begin() + first);
    }
    for (int i = 0; i <= m.columns; ++i) m.x[size_t(first + i)] = from + step * i;
  }
}

}  // namespace etchcast::metal
