// The lines a grind follows, tabled along the blade: edge, spine and thickness, each with its slope.
#include <algorithm>
#include <cmath>

#include "blade/polygon.hpp"
#include "blade/taper.hpp"
#include "etchcast/blade.hpp"

namespace etchcast {
namespace {

constexpr double kStep = 0.25;     // mm between stations: a twentieth of the tightest curve a grinder can follow
constexpr double kSettle = 0.02;   // share of the length at the heel that a rounded corner may take up
constexpr double kCorner = 0.08;   // change of slope from one station to the next that no smooth spine has
constexpr double kEvenOut = 0.07;  // share of the length over which a corner of the spine is evened out, each way

/// Runs a line straight on over its first `corner` entries.
void extend_back(std::vector<double>& line, int corner) {
  const double slope = (line[corner + 8] - line[corner]) / 8;
  for (int i = 0; i < corner; ++i) line[i] = line[corner] + slope * (i - corner);
}

/// Corners of the spine, such as where a clip begins. The last tenth is left out: there a nose may round off steeply.
std::vector<int> corners_of(const std::vector<double>& line, int begin) {
  std::vector<int> corners;
  const int end = int(line.size()) - (int(line.size()) - begin) / 10;
  for (int i = begin + 1; i < end; ++i) {
    if (std::abs(line[i - 1] - 2 * line[i] + line[i + 1]) > kCorner * kStep) corners.push_back(i);
  }
  return corners;
}

/// Rounds a corner over `reach` entries each way by a weighted mean whose window closes again farther away.
/// A face ground flat goes on under such a corner; a grind that followed it would show a crease.
std::vector<double> evened_out(const std::vector<double>& line, int corner, int reach) {
  std::vector<double> result = line;
  const int last = int(line.size()) - 1;
  for (int i = std::max(corner - 2 * reach, 0); i <= std::min(corner + 2 * reach, last); ++i) {
    const int w = std::min({reach, 2 * reach - std::abs(i - corner), i, last - i});
    double sum = 0, weights = 0;
    for (int k = -w; k <= w; ++k) {
      const double r = double(k) / (w + 1), weight = (1 - r * r) * (1 - r * r);
      sum += weight * line[i + k];
      weights += weight;
    }
    if (w > 0) result[i] = sum / weights;
  }
  return result;
}

double slope_at(const std::vector<double>& line, int i, double step) {
  const int last = int(line.size()) - 1, a = std::max(i - 1, 0), b = std::min(i + 1, last);
  return (line[b] - line[a]) / (step * (b - a));
}

}  // namespace

void Blade::lay_stations(const double (&spine_mm)[3]) {
  const int ahead = int(std::ceil(length_ / kStep));
  step_ = length_ / ahead;  // so that heel and tip are stations
  const int behind = int(std::ceil(tang_ / step_)), count = behind + ahead + 1;
  first_x_ = -behind * step_;
  std::vector<double> edge(count), spine(count);
  for (int i = behind; i < count; ++i) {
    const Column column = column_at(outline_, std::min(first_x_ + i * step_, length_ * (1 - 1e-12)));
    edge[i] = column.low;
    spine[i] = column.high;
  }
  // Behind the heel the outline turns into the neck; the grind knows nothing of that and runs out on the heel's lines.
  const int corner = behind + int(kSettle * ahead) + 1;
  extend_back(edge, corner);
  extend_back(spine, corner);
  const std::vector<double> crest = spine;
  for (const int i : corners_of(crest, corner)) spine = evened_out(spine, i, int(kEvenOut * ahead));
  // At the tip nothing is left but the edge's own thickness: faces then meet it with a finite slope.
  const Taper taper({0, length_ / 2, length_ - 10, length_}, {spine_mm[0], spine_mm[1], spine_mm[2], edge_});
  for (int i = 0; i < count; ++i) {
    // Neck and ricasso keep the heel's thickness.
    const double x = (i - behind) * step_, thickness = i > behind ? taper.value(x) : spine_mm[0];
    const double thickness_slope = i > behind ? taper.slope(x) : 0;
    stations_.push_back({edge[i], spine[i], crest[i], thickness, slope_at(edge, i, step_), slope_at(spine, i, step_),
                         slope_at(crest, i, step_), thickness_slope});
  }
}

Blade::Station Blade::station(double x) const {
  const double r = (std::clamp(x, first_x_, length_) - first_x_) / step_;
  const int i = std::min(int(r), int(stations_.size()) - 2);
  const Station &a = stations_[i], &b = stations_[i + 1];
  const double t = r - i, u = 1 - t;
  // Hermite's cubic and its derivative: the slopes returned are exactly those of the values returned.
  const double va = u * u * (1 + 2 * t), vb = t * t * (3 - 2 * t), sa = step_ * t * u * u, sb = -step_ * t * t * u;
  const double dv = 6 * t * u / step_, da = u * (1 - 3 * t), db = t * (3 * t - 2);
  return {va * a.edge + vb * b.edge + sa * a.edge_slope + sb * b.edge_slope,
          va * a.spine + vb * b.spine + sa * a.spine_slope + sb * b.spine_slope,
          va * a.crest + vb * b.crest + sa * a.crest_slope + sb * b.crest_slope,
          va * a.thickness + vb * b.thickness + sa * a.thickness_slope + sb * b.thickness_slope,
          dv * (b.edge - a.edge) + da * a.edge_slope + db * b.edge_slope,
          dv * (b.spine - a.spine) + da * a.spine_slope + db * b.spine_slope,
          dv * (b.crest - a.crest) + da * a.crest_slope + db * b.crest_slope,
          dv * (b.thickness - a.thickness) + da * a.thickness_slope + db * b.thickness_slope};
}

}  // namespace etchcast
