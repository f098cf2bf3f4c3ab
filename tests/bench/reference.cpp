// Counting.
#include "reference.hpp"

#include <algorithm>
#include <cmath>
#include <memory>

namespace etchcast::bench {

namespace {

constexpr double kGolden = 0.6180339887498949;

/// Where a share of a normal distribution lies below, in standard deviations; by halving.
double quantile(double share) {
  double low = -6, high = 6;
  for (int round = 0; round < 50; ++round) {
    const double middle = (low + high) / 2;
    (0.5 * std::erfc(-middle / std::sqrt(2.0)) < share ? low : high) = middle;
  }
  return low;
}

/// Strays of the points through seams that diffusion has blurred: spread evenly over a normal distribution.
const std::vector<double>& strays() {
  static const std::vector<double> all = [] {
    std::vector<double> some;
    for (int k = 0; k < 4096; ++k) some.push_back(quantile(std::fmod(0.5 + k * 0.7548776662466927, 1.0)));
    return some;
  }();
  return all;
}

/// One thread's room for a batch of points.
struct Counter {
  Batch<double> batch;
  Origins<double> origins;
  std::vector<const BandList*> leaves;
  double right[kLanes], down[kLanes];
  Point<double> points[kLanes];

  /// Adds one batch's points to the counts of the steels.
  void count(const Bar& bar, const PointsUnder& under, int first, std::vector<int>& counts) {
    under(kLanes, right, down, points);
    batch = {};
    for (int i = 0; i < kLanes; ++i) batch.x[i] = points[i].x, batch.y[i] = points[i].y, batch.z[i] = points[i].z;
    bar.origins(batch, origins);
    for (int i = 0; i < kLanes; ++i) {
      const BandList& list = *leaves[origins.leaf[i]];
      const double s = origins.s[i] + list.soft_mm * strays()[size_t(first + i) % strays().size()];
      const int strayed = list.what[list.at(std::clamp(s, 0.0, list.total()))];
      ++counts[strayed >= 0 ? strayed : list.what[list.at(origins.s[i])]];  // no stray into a bar laid in as a plate
    }
  }
};

}  // namespace

std::vector<float> counted_shares(const Bar& bar, int steels, const Crop& crop, int count, const PointsUnder& under) {
  std::vector<float> shares(crop.size() * size_t(steels));
  const int rounds = std::max(1, count / kLanes), points = rounds * kLanes;
#pragma omp parallel
  {
    const auto counter = std::make_unique<Counter>();
    counter->leaves = bar.leaves();
    std::vector<int> counts(steels);
#pragma omp for schedule(dynamic, 4)
    for (int r = 0; r < crop.rows; ++r)
      for (int c = 0; c < crop.columns; ++c) {
        std::fill(counts.begin(), counts.end(), 0);
        for (int k = 0; k < points; ++k) {
          const double turn = k * kGolden + 0.5;
          counter->right[k % kLanes] = crop.left + c + (k + 0.5) / points;
          counter->down[k % kLanes] = crop.top + r + turn - std::floor(turn);
          if (k % kLanes == kLanes - 1) counter->count(bar, under, k + 1 - kLanes, counts);
        }
        for (int s = 0; s < steels; ++s)
          shares[s * crop.size() + size_t(r) * crop.columns + c] = float(counts[s]) / float(points);
      }
  }
  return shares;
}

double Difference::rms() const { return pixels ? std::sqrt(sum_of_squares / double(pixels)) : 0; }

void Difference::add(const std::vector<float>& a, const std::vector<float>& b, int steels) {
  const size_t plane = a.size() / size_t(steels);
  for (size_t i = 0; i < plane; ++i) {
    double most = 0;
    for (int s = 0; s < steels; ++s)
      most = std::max(most, 255.0 * std::abs(double(a[s * plane + i]) - double(b[s * plane + i])));
    if (std::isnan(a[i])) continue;
    sum_of_squares += most * most, worst = std::max(worst, most), ++pixels;
  }
}

}  // namespace etchcast::bench
