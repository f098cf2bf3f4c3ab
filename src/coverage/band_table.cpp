// Integrals of a band list.
#include "coverage/band_table.hpp"

#include <algorithm>
#include <cmath>

namespace etchcast {

BandTable::BandTable(const BandList& list, int steels)
    : steels_(steels), mean_band_(list.total() / list.size()), edges_(list.edges), what_(list.what), mean_(steels, 0.0) {
  const int n = list.size();
  for (int i = 0; i < n; ++i)
    if (what_[i] >= 0) mean_[what_[i]] += (edges_[i + 1] - edges_[i]) / list.total();
  integrals_.resize(size_t(n) * steels);
  std::vector<double> first(steels, 0.0), second(steels, 0.0);
  for (int i = 0; i < n; ++i) {
    const double t = edges_[i + 1] - edges_[i];
    for (int k = 0; k < steels; ++k) {
      const double value = (what_[i] == k ? 1.0 : 0.0) - mean_[k];
      integrals_[size_t(i) * steels + k] = {value, first[k], second[k]};
      second[k] += first[k] * t + value * t * t / 2;
      first[k] += value * t;
    }
  }
  const int cells = std::max(16, 4 * n);
  cells_per_mm_ = cells / list.total();
  lookup_.resize(cells);
  for (int c = 0, i = 0; c < cells; ++c) {
    while (i + 1 < n && edges_[i + 1] <= c / cells_per_mm_) ++i;
    lookup_[c] = i;
  }
}

int BandTable::band(double s) const {
  const int cell = std::clamp(int(s * cells_per_mm_), 0, int(lookup_.size()) - 1);
  int i = lookup_[cell];
  const int last = int(what_.size()) - 1;
  while (i < last && s >= edges_[i + 1]) ++i;
  return i;
}

void BandTable::shares(double s, double a, double b, float* shares, size_t stride) const {
  // Below a ten-thousandth of a band a footprint is a point; the floor keeps the difference from dividing nothing by nothing.
  const double floor = 1e-4 * mean_band_;
  a = std::max(a, floor), b = std::max(b, floor);
  const double at[4] = {s + a + b, s + a - b, s - a + b, s - a - b};
  double from[4];
  const Integral* row[4];
  for (int j = 0; j < 4; ++j) {  // the outermost bands go on beyond the faces
    const int i = band(at[j]);
    from[j] = at[j] - edges_[i];
    row[j] = &integrals_[size_t(i) * steels_];
  }
  const double scale = 1 / (4 * a * b);
  for (int k = 0; k < steels_; ++k) {
    double q[4];
    for (int j = 0; j < 4; ++j) q[j] = row[j][k].second + from[j] * (row[j][k].first + from[j] * row[j][k].value / 2);
    const double share = mean_[k] + (q[0] - q[1] - q[2] + q[3]) * scale;
    shares[k * stride] = float(std::clamp(share, 0.0, 1.0));
  }
}

bool BandTable::touches_inset(double s, double reach) const {
  for (int i = band(s - reach), last = band(s + reach); i <= last; ++i)
    if (what_[i] < 0) return true;
  return false;
}

}  // namespace etchcast
