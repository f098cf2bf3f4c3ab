#pragma once
// The plate of workload W point by point, for the peers written in C++. Pixels to the stack's height, mm.
//
// Two things are as a general program would have them, not as etchcast has them: sections go from square to round by
// the plain map on square rings (area is kept, but it kinks on both diagonals), and the ridges are squared sines, whose
// bar varies in thickness, so that metal moves along it.
#include <cmath>

namespace plate {

constexpr int kColumns = 3840, kRows = 1000;
constexpr double kPi = 3.14159265358979323846;
constexpr double kPixel = 0.05, kBarLength = 51.2 * 62.5 * 66.25 / (22 * 22);  // mm; the length before flattening

template <class R>
struct Spot {
  R x, y, z;
};

/// The ground plane.
template <class R>
Spot<R> surface(R column, R row) {
  const R y = row * R(kPixel) - 25;
  return {column * R(kPixel), y, R(0.95) - R(0.04) * y};
}

/// Ridges 12 mm apart, 2.5 mm deep, on both faces of 9 mm, by plane sections.
template <class R>
Spot<R> unpressed(Spot<R> p) {
  constexpr R wave = R(2 * kPi / 12);
  const R c = std::cos(wave * p.x), s = std::sin(wave * p.x);
  const R thick = 9 - R(1.25) * (1 + c * c), middle = R(-1.25) * c;
  return {p.x - R(2.5 / 9) * (R(0.75) * p.x + s * c / (4 * wave)), p.y, (p.z - middle) * 9 / thick};
}

template <class R>
Spot<R> stretched(Spot<R> p, R along, R across, R through) {
  return {p.x * along, p.y * across, p.z * through};
}

/// Square of half side 11 to the disc of the same area, ring by ring.
template <class R>
Spot<R> disc_from_square(Spot<R> p) {
  const bool upright = std::abs(p.z) > std::abs(p.y);
  const R far = upright ? p.z : p.y, near = upright ? p.y : p.z;
  const R angle = far == 0 ? R(0) : near / far * R(kPi / 4), radius = far * R(2 / std::sqrt(kPi));
  const R a = radius * std::cos(angle), b = radius * std::sin(angle);
  return upright ? Spot<R>{p.x, b, a} : Spot<R>{p.x, a, b};
}

template <class R>
Spot<R> square_from_disc(Spot<R> p) {
  const bool upright = std::abs(p.z) > std::abs(p.y);
  const R far = upright ? p.z : p.y, near = upright ? p.y : p.z;
  const R side = std::copysign(std::sqrt(far * far + near * near), far) * R(std::sqrt(kPi) / 2);
  const R other = far == 0 ? R(0) : side * std::atan(near / far) * R(4 / kPi);
  return upright ? Spot<R>{p.x, other, side} : Spot<R>{p.x, side, other};
}

/// 0.15 turns a centimetre.
template <class R>
Spot<R> untwisted(Spot<R> p) {
  const R c = std::cos(R(2 * kPi * 0.015) * p.x), s = std::sin(R(2 * kPi * 0.015) * p.x);
  return {p.x, c * p.y + s * p.z, c * p.z - s * p.y};
}

/// Pieces piled, each second one end for end; z from the pile's foot.
template <class R>
Spot<R> unpiled(Spot<R> p, R thickness, R length, int pieces) {
  const R piece = std::fmin(std::fmax(std::floor(p.z / thickness), R(0)), R(pieces - 1)), up = p.z - piece * thickness;
  const bool turned = int(piece) % 2 != 0;
  return {turned ? (piece + 1) * length - p.x : piece * length + p.x, p.y, turned ? thickness - up : up};
}

/// 1 in the 8 plates of 4 mm, 0 in the 7 of 3 mm between them.
template <class R>
R steel(R height) {
  int edges = 0;
  for (int plate = 0; plate < 7; ++plate) edges += (height >= R(7 * plate + 4)) + (height >= R(7 * plate + 7));
  return R(1 - edges % 2);
}

/// The whole way back.
template <class R>
R steel_at(R column, R row) {
  Spot<R> p = unpressed(surface(column, row));
  p = disc_from_square(stretched(p, R(450.0 / 484), R(22.0 / 50), R(22.0 / 9)));
  p = square_from_disc(untwisted(p));
  p = stretched(p, R(51.2 / kBarLength), R(62.5 / 22), R(66.25 / 22));
  p.z += R(33.125);
  p = stretched(unpiled(p, R(13.25), R(51.2), 5), R(1 / 3.2), R(0.8), R(4));
  p = stretched(unpiled(p, R(13.25), R(80), 4), R(1 / 3.2), R(0.8), R(4));
  return steel(p.z);
}

}  // namespace plate
