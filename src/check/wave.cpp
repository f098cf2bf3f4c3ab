// The finite-layer solution, and the ripple of a pressed bar taken apart into harmonics.
#include "check/wave.hpp"

#include <algorithm>
#include <cmath>
#include <memory>
#include <numbers>
#include <string_view>

#include "tape/map.hpp"
#include "tape/wander.hpp"

namespace etchcast {
namespace {

constexpr int kSamples = 64, kHarmonics = 8;
constexpr double kTwoPi = 2 * std::numbers::pi;

}  // namespace

double half_space_share(double kd) { return (1 + kd) * std::exp(-kd); }

double layer_share(double kh, double sigma) {
  if (kh < 1e-3) return sigma;                             // long waves: plane sections
  if (kh > 40) return half_space_share(kh * (1 - sigma));  // the other face is out of reach
  const double kz = kh * sigma;
  return ((1 + kh / std::tanh(kh)) * std::sinh(kz) - kz * std::cosh(kz)) / std::sinh(kh);
}

Wave::Wave(const Bar& before, const Bar& pressed, double spacing, double angle_rad, double middle)
    : before_(before.thickness_mm),
      // The wave is short at first and long at last; with the wavelength of the pressed bar and the thickness before,
      // kH is the geometric mean of both.
      kh_(kTwoPi * before.thickness_mm / spacing),
      upper_(kHarmonics),
      lower_(kHarmonics) {
  for (int i = 0; i < kSamples; ++i) {
    const double turn = double(i) / kSamples, u = (turn - 0.5) * spacing;
    const double x = middle + u * std::cos(angle_rad), y = u * std::sin(angle_rad);
    const double top = pressed.top_at(x, y), bottom = pressed.bottom_at(x, y);
    top_ += top / kSamples, bottom_ += bottom / kSamples;
    for (int n = 1; n <= kHarmonics; ++n) {
      const auto turned = std::polar(2.0 / kSamples, -kTwoPi * n * turn);
      upper_[n - 1] += top * turned, lower_[n - 1] += bottom * turned;
    }
  }
}

double Wave::height_of(double z) const { return std::clamp((z - bottom_) / (top_ - bottom_), 0.0, 1.0); }

double Wave::swing(double sigma, bool plane) const {
  std::vector<std::complex<double>> layer(kHarmonics);
  for (int n = 1; n <= kHarmonics; ++n) {
    const double up = plane ? sigma : layer_share(n * kh_, sigma),
                 down = plane ? 1 - sigma : layer_share(n * kh_, 1 - sigma);
    layer[n - 1] = up * upper_[n - 1] + down * lower_[n - 1];
  }
  double least = 1e9, most = -1e9;
  for (int i = 0; i < kSamples; ++i) {
    double z = 0;
    for (int n = 1; n <= kHarmonics; ++n) z += (layer[n - 1] * std::polar(1.0, kTwoPi * n * i / kSamples)).real();
    least = std::min(least, z), most = std::max(most, z);
  }
  return most - least;
}

PlanLine line_over(const Bar& bar, double spacing, double angle_rad, double repeats, double middle) {
  if (std::abs(angle_rad) > std::numbers::pi / 4) {
    const double half = std::min(repeats * spacing / std::abs(std::sin(angle_rad)), 0.98 * bar.width_mm) / 2;
    const double x = std::clamp(middle, 0.0, bar.length_mm);
    return {x, -half, x, half};
  }
  const double along = std::min(repeats * spacing / std::cos(angle_rad), bar.length_mm);
  const double left = std::clamp(middle, 0.0, bar.length_mm - along);
  return {left, 0, left + along, 0};
}

DrawnWave::DrawnWave(const Bar& even, const Bar& bar, const PlanLine& line) : even_(even), bar_(bar), line_(line) {
  for (int i = 0; i < kLanes; ++i) {
    const double t = (i + 0.5) / kLanes, x = line.x0 + t * (line.x1 - line.x0), y = line.y0 + t * (line.y1 - line.y0);
    mean_ += (bar.top_at(x, y) - bar.bottom_at(x, y)) / kLanes;
  }
}

double DrawnWave::range(double z) const {
  auto batch = std::make_unique<Batch<double>>();
  *batch = {};
  for (int i = 0; i < kLanes; ++i) {
    const double t = double(i) / kLanes;
    const double x = line_.x0 + t * (line_.x1 - line_.x0), y = line_.y0 + t * (line_.y1 - line_.y0);
    batch->x[i] = x, batch->y[i] = y, batch->z[i] = std::clamp(z, bar_.bottom_at(x, y), bar_.top_at(x, y));
  }
  for (size_t i = bar_.maps.size(); i-- > even_.maps.size();)
    if (std::string_view(bar_.maps[i]->name()) != WanderMotion::kName) bar_.maps[i]->before_from_after(*batch);
  const auto [low, high] = std::minmax_element(batch->z, batch->z + kLanes);
  return *high - *low;
}

}  // namespace etchcast
