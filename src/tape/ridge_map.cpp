// Tables of two functions in one, and of the way back.
#include "tape/ridge_map.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace etchcast {

RidgeTables::RidgeTables(Spline1 shift, const Spline1& mid) : shift_(std::move(shift)) {
  const auto &a = shift_.coefficients().exact(), &b = mid.coefficients().exact();
  std::vector<double> both(2 * a.size());
  for (size_t i = 0; i < a.size(); ++i) both[2 * i] = a[i], both[2 * i + 1] = b[i];
  both_ = Coefficients(std::move(both));
  lay_starts();
}

/// As many starts as nodes. An error e becomes (P'' / 2 rate) e^2 in a round, which tells how many rounds are needed.
void RidgeTables::lay_starts() {
  const int count = shift_.count();
  first_start_ = shift_.start() + shift_(shift_.start());
  start_step_ = (shift_.end() + shift_(shift_.end()) - first_start_) / (count - 1);
  std::vector<double> starts(static_cast<size_t>(count));
  double u = shift_.start(), bend = 0, slowest = 1e9, off = 0;
  for (int i = 0; i < count; ++i) {
    const double u0 = first_start_ + i * start_step_;
    double step = 1, slope = 0;
    for (int round = 0; round < 12 && std::abs(step) > 1e-6; ++round) {
      const auto j = shift_.jet(u);
      const double next = nearer(u, u0, j.f, j.d);
      step = next - u, u = next, slope = j.d;
      bend = std::max(bend, std::abs(j.dd)), slowest = std::min(slowest, 1 + j.d);
    }
    starts[size_t(i)] = u - u0;
    u += start_step_ / std::max(1 + slope, kLeast);
  }
  for (int i = 0; i + 1 < count; ++i) {
    const double u0 = first_start_ + (i + 0.5) * start_step_, between = u0 + (starts[size_t(i)] + starts[size_t(i) + 1]) / 2;
    const auto j = shift_.jet(between);
    off = std::max(off, std::abs(between - nearer(between, u0, j.f, j.d)));
  }
  starts_ = Coefficients(std::move(starts));
  if (slowest < 1.25 * kLeast) return;  // where steps are held, rounds gain less
  const double grows = 2 * bend / slowest;  // four times what it is by the middles
  double quick = 2 * off, exact = 2 * off;
  for (rounds_quick_ = 1, quick *= grows * quick; quick > 1e-6 && rounds_quick_ < 12; ++rounds_quick_) quick *= grows * quick;
  for (rounds_exact_ = 1, exact *= grows * exact; exact > 1e-14 && rounds_exact_ < 12; ++rounds_exact_) exact *= grows * exact;
}

}  // namespace etchcast
