#pragma once
/// \file metal_helpers.hpp — the pressings that the flow solver is measured on.

#include <cmath>
#include <string>

#include "metal/flow.hpp"

namespace metal_test {

using namespace etchcast;
using namespace etchcast::metal;

constexpr double kPi = 3.14159265358979323846;

/// Round nose with flanks of 60 degrees.
inline std::function<double(double)> round_nose(double radius) {
  const double end = radius * std::sqrt(3.0) / 2;
  return [=](double x) {
    return x < end ? radius - std::sqrt(radius * radius - x * x) : radius / 2 + std::sqrt(3.0) * (x - end);
  };
}

/// Cases of the reference: A, B, C full cosines (one face, aligned, staggered), D, E round noses (one face, staggered);
/// repeat before in thicknesses. D0, E0: ends held.
inline Problem pressing(const std::string& name, double repeat, double depth, bool sticks, double m) {
  Problem p;
  p.half_repeat = repeat / 2;
  p.repeat_before = true;
  p.held = name.size() > 1;
  p.sensitivity = m;
  p.friction = sticks ? 1 : 0;
  const char kind = name[0];
  p.top.depth = depth;
  if (kind == 'D' || kind == 'E') {
    p.top.kind = Tool::Kind::ridge;
    p.top.rise = round_nose(0.2 * repeat);
    if (kind == 'E') p.bottom = p.top, p.bottom.crest = 1;
    return p;
  }
  // Volume sets the repeat after: mean height 1 - depth / 2 for one face, 1 - depth for two.
  const double after = repeat / 2 / (1 - (kind == 'A' ? 0.5 : 1) * depth);
  p.top.kind = Tool::Kind::form;
  p.top.rise = [=](double x) { return depth / 2 * (1 - std::cos(kPi * x / after)); };
  if (kind != 'A') p.bottom = p.top, p.bottom.crest = kind == 'C' ? 1 : 0;
  return p;
}

/// Line c of the metal at (x, z).
inline double line_at(const FlowTable& table, double x, double z) {
  double c = table.near_line(x, z);
  for (int round = 0; round < 30; ++round) {
    const auto w = table.jet(x, c);
    c = FlowTable::within(c + (z - w.x) / w.xc);
  }
  return c;
}

/// Root mean square of z - z' of two tables over the lines 0.05 … 0.95, at the same shares of the half repeat.
inline double difference(const FlowTable& a, const FlowTable& b) {
  double sum = 0;
  int count = 0;
  for (double c = 0.05; c < 0.96; c += 0.05)
    for (int i = 0; i <= 60; ++i, ++count)
      sum += std::pow(a.jet(a.half_after() * i / 60, c).x - b.jet(b.half_after() * i / 60, c).x, 2);
  return std::sqrt(sum / count);
}

}  // namespace metal_test
