// Small waves in a viscous layer, added up to a pressing.
#include "metal/rough.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <complex>
#include <utility>
#include <vector>

#include "etchcast/error.hpp"
#include "metal/sinking.hpp"
#include "metal/table.hpp"

namespace etchcast::metal {

namespace {

constexpr double kPi = 3.14159265358979323846;
constexpr int kWaves = 24, kSamples = 384;  // of a whole repeat

/// Faces of a whole repeat, at kSamples places from xi = -1 on, and the half repeats.
struct Faces {
  std::vector<double> bottom_before, top_before, bottom, top, bottom_sinks, top_sinks;
  double half_before = 0, half_after = 0, touch_bottom = 0, touch_top = 0;
  double mean() const {
    double sum = 0;
    for (int i = 0; i < kSamples; ++i) sum += (top[size_t(i)] - bottom[size_t(i)]) / kSamples;
    return sum;
  }
};

double place(int i) { return -1 + 2 * (i + 0.5) / kSamples; }

/// One face by its tool. `rise`: how far metal out of the die's reach comes up besides. Platens are taken to close all
/// hollows.
void shape_face(const Tool& tool, int sign, const std::vector<double>& before, double half,
                const std::vector<double>& sinking, double rise, std::vector<double>& face, double& touch) {
  double level = -1e9;
  for (const double z : before) level = std::max(level, sign * z);
  touch = 0;
  for (int i = 0; i < kSamples; ++i) {
    double& z = face[size_t(i)];
    z = before[size_t(i)];
    if (tool.kind == Tool::Kind::flat) {
      if (tool.depth > 0) z = sign * (level - tool.depth);
      touch = 1;
      continue;
    }
    const double xi = place(i), away = std::abs(xi - tool.nearest(xi)) * half;
    const double die = level - tool.depth + tool.rise(away), free = sign * z + rise - sinking[size_t(i)];
    if (tool.kind == Tool::Kind::form || die <= free) touch += 1.0 / kSamples;
    z = sign * (tool.kind == Tool::Kind::form ? die : std::min(die, free));
  }
}

void shape(const Problem& p, double rise, Faces& f) {
  shape_face(p.bottom, -1, f.bottom_before, f.half_after, f.bottom_sinks, rise, f.bottom, f.touch_bottom);
  shape_face(p.top, 1, f.top_before, f.half_after, f.top_sinks, rise, f.top, f.touch_top);
}

/// How far each place of the free faces sinks, for the half repeats as they are.
void sink(const Problem& p, Faces& f) {
  const Sinking sinking(p, std::sqrt(f.half_before * f.half_after));
  for (int i = 0; i < kSamples; ++i)
    for (const auto& [tool, sinks] : {std::pair{&p.bottom, &f.bottom_sinks}, std::pair{&p.top, &f.top_sinks}}) {
      const double xi = place(i);
      (*sinks)[size_t(i)] = tool->depth * sinking(std::abs(xi - tool->nearest(xi)) * f.half_after);
    }
}

/// With held ends metal out of reach rises until the volume is there.
void fill(const Problem& p, Faces& f) {
  double low = 0, high = 1;
  sink(p, f);
  shape(p, high, f);
  if (f.mean() < 1)
    throw Error(Fault::recipe, "the grooves of the die fill completely, and metal has nowhere left to go",
                "press less deep, or let the bar lengthen: ends = \"free\"");
  for (int round = 0; round < 40; ++round) {
    const double rise = (low + high) / 2;
    shape(p, rise, f);
    (f.mean() < 1 ? low : high) = rise;
  }
}

Faces faces_of(const Problem& p) {
  Faces f;
  for (auto* v : {&f.bottom_before, &f.top_before, &f.bottom, &f.top, &f.bottom_sinks, &f.top_sinks}) v->resize(kSamples);
  for (int i = 0; i < kSamples; ++i) {
    const double xi = p.mirrored ? std::abs(place(i)) : place(i);
    f.bottom_before[size_t(i)] = p.bottom_before ? p.bottom_before(xi) : 0;
    f.top_before[size_t(i)] = p.top_before ? p.top_before(xi) : 1;
  }
  f.half_before = f.half_after = p.half_repeat;
  if (p.held) {
    fill(p, f);
    return f;
  }
  double mean = 1;
  for (int round = 0; round < 30; ++round) {
    sink(p, f);
    shape(p, 0, f);
    const double last = std::exchange(mean, f.mean());
    if (mean < 0.05) break;
    (p.repeat_before ? f.half_after : f.half_before) = p.half_repeat * (p.repeat_before ? 1 / mean : mean);
    if (std::abs(mean / last - 1) < 1e-6) break;
  }
  return f;
}

void refuse_too_deep(const Faces& f) {
  double least = 1e9;
  for (int i = 0; i < kSamples; ++i) least = std::min(least, f.top[size_t(i)] - f.bottom[size_t(i)]);
  if (least <= 0) throw Error(Fault::recipe, "this is deeper than the bar: the dies would meet", "press less deep");
  if (least < 0.05)
    throw Error(Fault::recipe, "less than a twentieth of the thickness would be left between the dies", "press less deep");
}

/// Waves of a face: [n] n to the whole repeat; [0] its mean.
std::array<std::complex<double>, kWaves + 1> waves_of(const std::vector<double>& face) {
  std::array<std::complex<double>, kWaves + 1> waves{};
  for (int i = 0; i < kSamples; ++i)
    for (int n = 0; n <= kWaves; ++n)
      waves[size_t(n)] += face[size_t(i)] * std::polar(n ? 2.0 / kSamples : 1.0 / kSamples, -kPi * n * place(i));
  return waves;
}

/// Staggered ridges close together in a rate-sensitive metal leave the middle flatter than a Newtonian layer does; the
/// half-space's faster decay, with the wave as it was at first, comes nearer. A compensation of errors, found by
/// comparison with the solved flow, not a better model.
bool by_half_space(const Problem& p) {
  const bool staggered = p.top.kind != Tool::Kind::flat && p.bottom.kind != Tool::Kind::flat &&
                         std::abs(p.top.nearest(p.bottom.crest) - p.bottom.crest) > 0.25 * p.top.pitch;
  return staggered && p.sensitivity < 0.4 && p.half_repeat * p.top.pitch / 2 <= 0.5;
}

double share(const Problem& p, const Faces& f, int n, double sigma) {
  if (by_half_space(p)) {
    const double q = kPi * n / f.half_before * (1 - sigma);
    return (1 + q) * std::exp(-q);
  }
  const double k = kPi * n * std::sqrt(f.mean() / (f.half_before * f.half_after));
  return p.friction * layer_wave(k, sigma, true) + (1 - p.friction) * layer_wave(k, sigma, false);
}

/// Heights of line c at the middles of the table's columns: the old line, carried along, and the waves that are new.
std::vector<double> heights_of(const Problem& p, const Faces& f, const Fineness& fine) {
  const auto bottom = waves_of(f.bottom), top = waves_of(f.top);
  const auto old_bottom = waves_of(f.bottom_before), old_top = waves_of(f.top_before);
  std::vector<double> heights;
  for (int k = 0; k <= fine.lines; ++k) {
    const double c = double(k) / fine.lines;
    std::array<std::complex<double>, kWaves + 1> line;
    line[0] = bottom[0] + c * (top[0] - bottom[0]);
    for (size_t n = 1; n <= kWaves; ++n)
      line[n] = c * old_top[n] + (1 - c) * old_bottom[n] + share(p, f, int(n), c) * (top[n] - old_top[n]) +
                share(p, f, int(n), 1 - c) * (bottom[n] - old_bottom[n]);
    for (int i = 0; i < fine.columns; ++i) {
      const double xi = p.start() + p.extent() * (i + 0.5) / fine.columns;
      double z = line[0].real();
      for (size_t n = 1; n <= kWaves; ++n) z += (line[n] * std::polar(1.0, kPi * double(n) * xi)).real();
      heights.push_back(z);
    }
  }
  return heights;
}

}  // namespace

double layer_wave(double k, double sigma, bool sticks) {
  if (k < 0.02) return sticks ? sigma * sigma * (3 - 2 * sigma) : sigma;  // the limits of long waves
  const double d = 1 - sigma;
  if (k > 30) return (1 + k * d) * std::exp(-k * d);  // the other face is out of reach
  const double z = k * sigma;
  const double sh = std::sinh(k), ch = std::cosh(k);
  if (!sticks) return ((1 + k * ch / sh) * std::sinh(z) - z * std::cosh(z)) / sh;
  const double c = k * sh / (sh + k * ch);
  const auto wave = [c](double v) { return std::sinh(v) - v * std::cosh(v) + c * v * std::sinh(v); };
  return wave(z) / wave(k);
}

Flow rough_flow(const Problem& p) {
  const Faces f = faces_of(p);
  refuse_too_deep(f);
  Fineness fine;
  fine.columns = p.mirrored ? 96 : 192;
  const std::vector<double> origins(p.mirrored ? 0 : size_t(fine.lines) + 1, -f.half_after);
  Flow flow;
  flow.touch_bottom = f.touch_bottom, flow.touch_top = f.touch_top;
  flow.table = one_to_one(f.half_before, f.half_after, fine, heights_of(p, f, fine), origins);
  return flow;
}

}  // namespace etchcast::metal
