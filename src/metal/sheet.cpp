// Pressures on the places that touch, by conjugate gradients; compliances wave by wave.
#include "metal/sheet.hpp"

#include <cmath>

#include "base/fourier.hpp"

namespace etchcast::metal {

namespace {

constexpr double kPi = 3.14159265358979323846;
constexpr double kLift = 30;  ///< give of the whole layer against being lifted: much softer than anything else
constexpr double kExact = 1e-4;
constexpr int kMostRounds = 300;

double squeezing(double k) {
  if (k < 1e-3) return 0.125;
  if (k > 40) return 1 / (2 * k);
  return (std::cosh(k) - 1) / (std::sinh(k) + k) / (2 * k);
}
/// On an anvil the layer is the upper half of one twice as thick, squeezed.
double anvil_give(double k) {
  return k < 1e-3 ? 0.25 : k > 20 ? 1 / (2 * k) : (std::cosh(2 * k) - 1) / (std::sinh(2 * k) + 2 * k) / (2 * k);
}
double bending(double k) {
  if (k > 40) return 1 / (2 * k);
  return (std::cosh(k) + 1) / (std::sinh(k) - k) / (2 * k);
}

/// Pressures to sinking, both faces at once: upper in the real parts, lower in the imaginary ones.
class Give {
 public:
  Give(const Grid2& g, bool anvil, bool held) : fourier_(g.columns, g.rows), anvil_(anvil) {
    for (int j = 0; j < g.rows; ++j)
      for (int i = 0; i < g.columns; ++i) {
        const double k = std::hypot(2 * kPi * fourier_.waves_x(i) / g.wide, 2 * kPi * fourier_.waves_y(j) / g.high);
        alike_.push_back(anvil ? anvil_give(k) : squeezing(k));
        against_.push_back(i || j ? bending(k) : kLift);
        mirror_.push_back(size_t((g.rows - j) % g.rows) * g.columns + size_t((g.columns - i) % g.columns));
      }
    if (held) alike_[0] = 0;  // an even pressure thins nothing: metal has nowhere to go
  }
  void operator()(const std::vector<Fourier::Complex>& pressure, std::vector<Fourier::Complex>& sunk) const {
    wave_ = pressure;
    fourier_.forward(wave_);
    sunk.resize(wave_.size());
    for (size_t i = 0; i < wave_.size(); ++i) {
      // Transforms of the two real fields, from the one of both.
      const Fourier::Complex a = wave_[i], b = std::conj(wave_[mirror_[i]]);
      const Fourier::Complex top = 0.5 * (a + b), bottom = Fourier::Complex(0, -0.5) * (a - b);
      if (anvil_) {
        sunk[i] = alike_[i] * top;
        continue;
      }
      const Fourier::Complex both = 0.5 * alike_[i] * (top + bottom), apart = 0.5 * against_[i] * (top - bottom);
      sunk[i] = (both + apart) + Fourier::Complex(0, 1) * (both - apart);
    }
    fourier_.backward(sunk);
  }

 private:
  Fourier fourier_;
  bool anvil_;
  std::vector<double> alike_, against_;
  std::vector<size_t> mirror_;
  mutable std::vector<Fourier::Complex> wave_;
};

double dot(const std::vector<Fourier::Complex>& a, const std::vector<Fourier::Complex>& b) {
  double sum = 0;
  for (size_t i = 0; i < a.size(); ++i) sum += a[i].real() * b[i].real() + a[i].imag() * b[i].imag();
  return sum;
}

}  // namespace

SheetFaces press_sheet(const SheetPress& press) {
  const size_t nodes = press.grid.size();
  const Give give(press.grid, press.anvil, press.held);
  const auto held = [&](std::vector<Fourier::Complex>& v) {  // only where something touches
    for (size_t i = 0; i < nodes; ++i)
      v[i] = {press.top_touches[i] ? v[i].real() : 0, !press.anvil && press.bottom_touches[i] ? v[i].imag() : 0};
  };
  // Sinking of the upper face and rise of the lower one are both positive under pressure.
  std::vector<Fourier::Complex> rest(nodes), pressure(nodes, 0.0), way, answer;
  for (size_t i = 0; i < nodes; ++i) rest[i] = {-press.wanted.top[i], press.wanted.bottom[i]};
  held(rest);
  way = rest;
  double left = dot(rest, rest);
  const double enough = kExact * kExact * left;
  for (int round = 0; round < kMostRounds && left > enough; ++round) {
    give(way, answer);
    held(answer);
    const double yields = dot(way, answer);
    if (!(yields > 1e-12 * left)) break;  // held, and pressed all over: nothing gives
    const double step = left / yields;
    for (size_t i = 0; i < nodes; ++i) pressure[i] += step * way[i], rest[i] -= step * answer[i];
    const double now = dot(rest, rest), turn = now / left;
    left = now;
    for (size_t i = 0; i < nodes; ++i) way[i] = rest[i] + turn * way[i];
  }
  give(pressure, answer);
  SheetFaces faces{std::vector<double>(nodes), std::vector<double>(nodes)};
  for (size_t i = 0; i < nodes; ++i)
    faces.top[i] = -answer[i].real(), faces.bottom[i] = press.anvil ? 0 : answer[i].imag();
  return faces;
}

}  // namespace etchcast::metal
