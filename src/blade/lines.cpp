// Stations are laid along the blade, cubics through them; only the cubics are kept.
#include "blade/lines.hpp"

#include <algorithm>
#include <cmath>

#include "base/clones.hpp"
#include "base/spline.hpp"
#include "blade/taper.hpp"

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

/// A line's values and slopes at the stations.
struct Stations {
  std::vector<double> value, slope;
};

/// Slopes by differences.
Stations sloped(std::vector<double> line, double step) {
  const int last = int(line.size()) - 1;
  std::vector<double> slope;
  for (int i = 0; i <= last; ++i) {
    const int a = std::max(i - 1, 0), b = std::min(i + 1, last);
    slope.push_back((line[b] - line[a]) / (step * (b - a)));
  }
  return {std::move(line), std::move(slope)};
}

std::vector<double> over(std::vector<double> line, const std::vector<double>& base) {
  for (size_t i = 0; i < line.size(); ++i) line[i] -= base[i];
  return line;
}

/// Neck and ricasso keep the heel's thickness. At the tip nothing is left but the edge's own: faces then meet it with a
/// finite slope.
Stations thicknesses(const double (&spine_mm)[3], double edge_mm, double length, int behind, int count, double step) {
  const Taper taper({0, length / 2, length - 10, length}, {spine_mm[0], spine_mm[1], spine_mm[2], edge_mm});
  Stations line;
  for (int i = 0; i < count; ++i) {
    const double x = (i - behind) * step;
    line.value.push_back(i > behind ? taper.value(x) : spine_mm[0]);
    line.slope.push_back(i > behind ? taper.slope(x) : 0);
  }
  return line;
}

/// Hermite's cubics: their slopes at the stations are those given.
void lay_cubics(const Stations& line, double step, GrindLines::Line which, std::vector<GrindLines::Stretch>& to) {
  for (size_t i = 0; i < to.size(); ++i) {
    const double rise = line.value[i + 1] - line.value[i], from = step * line.slope[i], into = step * line.slope[i + 1];
    to[i].c[0][which] = line.value[i];
    to[i].c[1][which] = from;
    to[i].c[2][which] = 3 * rise - 2 * from - into;
    to[i].c[3][which] = from + into - 2 * rise;
  }
}

/// Places in stretches of a table.
struct Places {
  alignas(64) int stretch[kLanes];
  alignas(64) double t[kLanes];
};

ETCHCAST_CLONES void find_stretches(int n, const double* x, double first_x, double per_mm, int count, Places& places) {
#pragma GCC ivdep
  for (int i = 0; i < n; ++i) {
    const double r = clamped((x[i] - first_x) * per_mm, double(count));
    const int stretch = std::min(int(r), count - 1);
    places.stretch[i] = stretch, places.t[i] = r - stretch;
  }
}

/// All lines of a point at once: in the table they stand side by side, points do not.
ETCHCAST_CLONES void follow(int n, const Places& places, const GrindLines::Stretch* stretches, double per_mm,
                            GrindLines::At& to) {
  for (int i = 0; i < n; ++i) {
    const GrindLines::Stretch s = stretches[places.stretch[i]];  // a copy: what is written cannot change it
    const double t = places.t[i];
    for (int k = 0; k < GrindLines::kCount; ++k) {
      to.value[i][k] = s.c[0][k] + t * (s.c[1][k] + t * (s.c[2][k] + t * s.c[3][k]));
      to.slope[i][k] = per_mm * (s.c[1][k] + t * (2 * s.c[2][k] + t * (3 * s.c[3][k])));
    }
  }
}

}  // namespace

GrindLines::GrindLines(const Polygon& outline, double length, double tang, const double (&spine_mm)[3],
                       double edge_mm) {
  const int ahead = int(std::ceil(length / kStep));
  step_ = length / ahead;  // so that heel and tip are stations
  const int behind = int(std::ceil(tang / step_)), count = behind + ahead + 1;
  first_x_ = -behind * step_;
  std::vector<double> edge(count), spine(count);
  for (int i = behind; i < count; ++i) {
    const Column column = column_at(outline, std::min(first_x_ + i * step_, length * (1 - 1e-12)));
    edge[i] = column.low;
    spine[i] = column.high;
  }
  // Behind the heel the outline turns into the neck; the grind knows nothing of that and runs out on the heel's lines.
  const int corner = behind + int(kSettle * ahead) + 1;
  extend_back(edge, corner);
  extend_back(spine, corner);
  const std::vector<double> crest = spine;
  for (const int i : corners_of(crest, corner)) spine = evened_out(spine, i, int(kEvenOut * ahead));
  stretches_.resize(size_t(count - 1));
  lay_cubics(sloped(over(spine, edge), step_), step_, Line::spine, stretches_);
  lay_cubics(sloped(over(crest, edge), step_), step_, Line::crest, stretches_);
  lay_cubics(sloped(edge, step_), step_, Line::edge, stretches_);
  lay_cubics(thicknesses(spine_mm, edge_mm, length, behind, count, step_), step_, Line::thickness, stretches_);
}

void GrindLines::at(int n, const double* x, At& to) const {
  Places places;
  find_stretches(n, x, first_x_, 1 / step_, int(stretches_.size()), places);
  follow(n, places, stretches_.data(), 1 / step_, to);
}

}  // namespace etchcast
