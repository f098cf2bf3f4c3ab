// A layer's answer to the pressure of ridges.
#include "metal/sinking.hpp"

#include <algorithm>
#include <cmath>

namespace etchcast::metal {

namespace {

constexpr double kPi = 3.14159265358979323846;
constexpr int kWaves = 40;

/// Answers per viscosity to a wave of pressure on both faces of a layer, kh = wave number times thickness.
double alike(double k, double kh) { return kh > 40 ? 1 / (2 * k) : (std::cosh(kh) - 1) / (std::sinh(kh) + kh) / (2 * k); }
double against(double k, double kh) {
  if (kh > 40) return 1 / (2 * k);
  const double hard = kh < 0.05 ? kh * kh * kh / 6 : std::sinh(kh) - kh;
  return (std::cosh(kh) + 1) / hard / (2 * k);
}

}  // namespace

Sinking::Sinking(const Problem& p, double half) {
  const bool top = p.top.kind == Tool::Kind::ridge, bottom = p.bottom.kind == Tool::Kind::ridge;
  if (!top && !bottom) return;
  const Tool& tool = top ? p.top : p.bottom;
  const double pitch = tool.pitch * half;
  wave_ = 2 * kPi / pitch;
  local_ = std::pow(p.sensitivity, 0.3);
  const bool staggered = top && bottom && std::abs(p.top.nearest(p.bottom.crest) - p.bottom.crest) > 0.25 * tool.pitch;
  const double layer = top && bottom ? 1 : 2;  // on an anvil the bar and its mirror image
  mean_ = layer / 8;
  for (int n = 1; n <= kWaves; ++n) {
    const double k = n * wave_;
    answer_.push_back(staggered && n % 2 ? against(k, k * layer) : alike(k, k * layer));
  }
  if (p.held) mean_ = 0;  // metal that is squeezed away comes up elsewhere; the volume settles that
  // The contact ends where the free face meets the die.
  double low = 1e-3 * pitch, high = pitch / 2;
  for (int round = 0; round < 30; ++round) {
    const double contact = (low + high) / 2;
    spread(contact);
    (tool.rise(contact) < tool.depth * (1 - raw(contact) / under_) ? low : high) = contact;
  }
}

void Sinking::spread(double contact) {
  shares_.clear();
  for (int n = 1; n <= kWaves; ++n) {
    const double q = n * wave_ * contact;
    shares_.push_back(2 * std::sin(q) / q * answer_[size_t(n) - 1]);
  }
  under_ = raw(0);
}

double Sinking::raw(double away) const {
  double sum = mean_;
  for (size_t n = 0; n < shares_.size(); ++n) sum += shares_[n] * std::cos(double(n + 1) * wave_ * away);
  return sum;
}

double Sinking::operator()(double away) const {
  if (wave_ == 0) return 0;
  const double share = raw(away) / under_;
  return share > 0 ? local_ * share : share;
}

}  // namespace etchcast::metal
