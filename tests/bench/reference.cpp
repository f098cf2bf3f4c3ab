// Counting.
#include "reference.hpp"

#include <algorithm>
#include <cmath>
#include <memory>

namespace etchcast::bench {

namespace {

constexpr double kGolden = 0.6180339887498949;

/// Share of a seam's blur below x standard deviations.
double below(double x) { return 0.5 * std::erfc(-x / std::sqrt(2.0)); }

/// Adds what a point at s sees of the steels through seams that diffusion has blurred.
void add_blurred(const BandList& list, double s, std::vector<double>& sums) {
  const int own = list.at(s);
  if (list.soft_mm <= 0) {
    sums[list.what[own]] += 1;
    return;
  }
  const int first = list.at(std::max(0.0, s - 5 * list.soft_mm)), last = list.at(std::min(list.total(), s + 5 * list.soft_mm));
  for (int i = first; i <= last; ++i) {
    const double from = i == 0 ? 0 : below((list.edges[i] - s) / list.soft_mm), to = i + 1 == list.size() ? 1 : below((list.edges[i + 1] - s) / list.soft_mm);
    sums[list.what[i] >= 0 ? list.what[i] : list.what[own]] += to - from;  // no blur into a bar laid in as a plate
  }
}

/// One thread's room for a batch of points.
struct Counter {
  Batch<double> batch;
  Origins<double> origins;
  std::vector<const BandList*> leaves;
  double right[kLanes], down[kLanes];
  Point<double> points[kLanes];

  /// Adds what one batch's points see of the steels.
  void count(const Bar& bar, const PointsUnder& under, std::vector<double>& sums) {
    under(kLanes, right, down, points);
    batch = {};
    for (int i = 0; i < kLanes; ++i) batch.x[i] = points[i].x, batch.y[i] = points[i].y, batch.z[i] = points[i].z;
    bar.origins(batch, origins);
    for (int i = 0; i < kLanes; ++i) add_blurred(*leaves[origins.leaf[i]], origins.s[i], sums);
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
    std::vector<double> counts(steels);
#pragma omp for schedule(dynamic, 4)
    for (int r = 0; r < crop.rows; ++r)
      for (int c = 0; c < crop.columns; ++c) {
        std::fill(counts.begin(), counts.end(), 0.0);
        for (int k = 0; k < points; ++k) {
          const double turn = k * kGolden + 0.5;
          counter->right[k % kLanes] = crop.left + c + (k + 0.5) / points;
          counter->down[k % kLanes] = crop.top + r + turn - std::floor(turn);
          if (k % kLanes == kLanes - 1) counter->count(bar, under, counts);
        }
        for (int s = 0; s < steels; ++s)
          shares[s * crop.size() + size_t(r) * crop.columns + c] = float(counts[s] / points);
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
