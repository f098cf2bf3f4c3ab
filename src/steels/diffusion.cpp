// Diffusion through a stack of bands with tight faces.

#include "steels/diffusion.hpp"

#include <algorithm>
#include <cmath>

namespace etchcast {
namespace {

constexpr double kPi = 3.14159265358979323846;
constexpr double kReach = 6;   // erfc(6) = 2e-17: further off an edge is not felt
constexpr double kFaded = 40;  // exp(-40) = 4e-18: higher modes are gone

// Error functions cost bands x edges within reach, cosines bands x modes. With n bands they meet near Dt/T2 = 0.16/n;
// above 0.05 mirror images would have to be taken beyond the next one.
bool better_by_cosines(double tau, size_t bands) { return tau > std::min(0.05, 0.16 / double(bands)); }

}  // namespace

Softened::Softened(BandProfile start, double dt_mm2)
    : start_(std::move(start)), thickness_(start_.edges.back()), dt_(std::max(0.0, dt_mm2)), mean_(0) {
  const size_t n = start_.level.size();
  start_sum_.resize(n + 1, 0);
  for (size_t i = 0; i < n; ++i)
    start_sum_[i + 1] = start_sum_[i] + start_.level[i] * (start_.edges[i + 1] - start_.edges[i]);
  mean_ = start_sum_.back() / thickness_;
  const double tau = dt_ / (thickness_ * thickness_);
  if (!better_by_cosines(tau, n)) return;
  modes_.resize(size_t(std::sqrt(kFaded / tau) / kPi) + 1);
  for (size_t k = 1; k <= modes_.size(); ++k) {
    const double w = double(k) * kPi;
    double sum = 0;
    for (size_t i = 1; i < n; ++i)
      sum += (start_.level[i] - start_.level[i - 1]) * std::sin(w * start_.edges[i] / thickness_);
    modes_[k - 1] = -2 / w * sum * std::exp(-w * w * tau);
  }
}

double Softened::start_at(double z) const {
  // The bar mirrored at its faces, without end.
  z = std::fmod(std::abs(z), 2 * thickness_);
  if (z > thickness_) z = 2 * thickness_ - z;
  const auto above = std::upper_bound(start_.edges.begin() + 1, start_.edges.end() - 1, z);
  return start_.level[size_t(above - start_.edges.begin()) - 1];
}

/// Sums term(z - p, step) over every edge p within reach and its mirror images; `step` is the rise there.
template <class Term>
double Softened::over_images(double z, const Term& term) const {
  const double reach = 2 * kReach * std::sqrt(dt_), period = 2 * thickness_;
  double sum = 0;
  const auto side = [&](double origin, double sign) {  // images at origin + sign * edge
    const double a = sign * (z - reach - origin), b = sign * (z + reach - origin);
    const auto first = start_.edges.begin() + 1, last = start_.edges.end() - 1;
    for (auto edge = std::lower_bound(first, last, std::min(a, b)); edge < last && *edge <= std::max(a, b); ++edge) {
      const size_t i = size_t(edge - start_.edges.begin());
      sum += term(z - origin - sign * *edge, sign * (start_.level[i] - start_.level[i - 1]));
    }
  };
  for (double m = std::floor((z - reach) / period); m <= std::ceil((z + reach) / period); ++m) {
    side(m * period, 1);
    side(m * period, -1);
  }
  return sum;
}

double Softened::by_images(double z) const {
  const double root = std::sqrt(dt_);
  if (root == 0) return start_at(z);
  return start_at(z - 2 * kReach * root) +
         over_images(z, [&](double x, double step) { return step * 0.5 * std::erfc(-x / (2 * root)); });
}

double Softened::by_cosines(double z) const {
  double sum = mean_;
  for (size_t k = 1; k <= modes_.size(); ++k) sum += modes_[k - 1] * std::cos(double(k) * kPi * z / thickness_);
  return sum;
}

double Softened::at(double z_mm) const { return modes_.empty() ? by_images(z_mm) : by_cosines(z_mm); }

double Softened::moved_to(double z) const {
  if (modes_.empty()) {
    const double root = std::sqrt(dt_);
    if (root == 0) return 0;
    return over_images(z, [&](double x, double step) {
      const double u = std::abs(x) / (2 * root);
      return step * root * (std::exp(-u * u) / std::sqrt(kPi) - u * std::erfc(u));
    });
  }
  double sum = mean_ * z;
  for (size_t k = 1; k <= modes_.size(); ++k) {
    const double w = double(k) * kPi;
    sum += modes_[k - 1] * std::sin(w * z / thickness_) * thickness_ / w;
  }
  const size_t i = size_t(std::lower_bound(start_.edges.begin(), start_.edges.end(), z) - start_.edges.begin());
  return sum - start_sum_[i];  // only asked for at edges
}

std::vector<double> Softened::centres() const {
  std::vector<double> all(start_.level.size());
  for (size_t i = 0; i < all.size(); ++i) all[i] = at((start_.edges[i] + start_.edges[i + 1]) / 2);
  return all;
}

std::vector<double> Softened::means() const {
  std::vector<double> all(start_.level);
  double below = 0;  // nothing passes a face
  for (size_t i = 0; i < all.size(); ++i) {
    const double above = i + 1 < all.size() ? moved_to(start_.edges[i + 1]) : 0;
    all[i] += (above - below) / (start_.edges[i + 1] - start_.edges[i]);
    below = above;
  }
  return all;
}

double square_wave_contrast(double dt_over_pitch2) {
  // Half a layer of each, face at each middle: mirrored, the endless pile with a pitch of 1.
  return Softened({{0, 0.25, 0.5}, {1, -1}}, dt_over_pitch2).at(0);
}

double layer_keeping_mm(double contrast, double dt_mm2) {
  double low = 0, high = 1;  // Dt over pitch squared; contrast falls from 1 to 4/pi exp(-4 pi2)
  for (int i = 0; i < 60; ++i) {
    const double middle = (low + high) / 2;
    (square_wave_contrast(middle) > contrast ? low : high) = middle;
  }
  return std::sqrt(dt_mm2 / low) / 2;
}

double inverse_erf(double value) {
  double low = 0, high = kReach;
  for (int i = 0; i < 80; ++i) {
    const double middle = (low + high) / 2;
    (std::erf(middle) < std::abs(value) ? low : high) = middle;
  }
  return std::copysign(high, value);
}

double seconds_to_reach(double surface, double start, double wanted, double depth_mm, double d_mm2_s) {
  const double z = inverse_erf(1 - (wanted - start) / (surface - start));
  return std::pow(depth_mm / (2 * z), 2) / d_mm2_s;
}

double depth_reached_mm(double surface, double start, double wanted, double dt_mm2) {
  return 2 * std::sqrt(dt_mm2) * inverse_erf(1 - (wanted - start) / (surface - start));
}

double across_weld(double left, double right, double x_mm, double dt_mm2) {
  return (left + right) / 2 + (right - left) / 2 * std::erf(x_mm / (2 * std::sqrt(dt_mm2)));
}

}  // namespace etchcast
