// Tool shapes as functions over the bar.
#include "workpiece/tools.hpp"

#include <algorithm>
#include <cmath>

#include "base/noise.hpp"

namespace etchcast {

namespace {
constexpr double kPi = 3.14159265358979323846;
double unit_noise(unsigned seed, int i, int j, int k) { return hash_bits(seed, i, j, k) * 0x1p-32; }
}  // namespace

double Profile::rise(double r) const {
  const double flank = std::min(flank_rad, 85 * kPi / 180);  // a vertical wall has no height over x
  switch (kind) {
    case Kind::nose:
    case Kind::cap: {
      const double end = radius * std::sin(flank);
      if (r <= end) return radius - std::sqrt(std::max(0.0, radius * radius - r * r));
      return radius * (1 - std::cos(flank)) + (r - end) * std::tan(flank);
    }
    case Kind::flat: return std::max(0.0, r - land / 2) * std::tan(flank);
    case Kind::sine: return swing / 2 * (1 - std::cos(2 * kPi * r / spacing));
  }
  return 0;
}

double Profile::reach(double depth) const {
  double low = 0, high = 1000;
  for (int round = 0; round < 60; ++round) {
    const double middle = (low + high) / 2;
    (rise(middle) < depth ? low : high) = middle;
  }
  return low;
}

double Profile::feature(double depth) const {
  if (kind == Kind::sine) return spacing / 4;
  if (kind == Kind::flat) return std::max(0.05, std::min(land, depth));
  return std::max(0.05, std::min(radius, std::sqrt(2 * radius * depth)));
}

ToolFace ridges(const Profile& profile, double spacing, double phase, double angle_rad, double depth) {
  ToolFace face;
  face.ridged = true;
  face.angle_rad = angle_rad;
  face.feature_mm = profile.feature(depth);
  face.along = [=](double u) {
    const double v = u / spacing - phase;
    return depth - profile.rise(std::abs(v - std::round(v)) * spacing);
  };
  return face;
}

Pattern::Set set_of(const std::string& word) {
  return word == "square" ? Pattern::Set::square : word == "random" ? Pattern::Set::random : Pattern::Set::hexagonal;
}

double Pattern::row() const { return set == Set::square ? spacing : spacing * std::sqrt(0.75); }

double Pattern::cell_radius() const { return std::sqrt(spacing * row() / kPi); }

namespace {
/// Number i taken into first .. first + count - 1 by whole turns.
int repeated(int i, int first, int count) { return count > 0 ? first + ((i - first) % count + count) % count : i; }
}  // namespace

int Pattern::near(double x, double y, double* squares) const {
  const bool hex = set != Set::square;
  const double row = this->row();
  // The gap of a hexagonal set is the middle of a triangle; of a square one the middle of the square.
  const double shift_x = between ? spacing / 2 : 0, shift_y = between ? (hex ? row / 3 : row / 2) : 0;
  x -= shift_x, y -= shift_y;
  const int j0 = int(std::floor(y / row));
  int count = 0;
  for (int j = j0 - 1; j <= j0 + 2; ++j) {
    const double lead = hex && (j & 1) ? spacing / 2 : 0;
    const int i0 = int(std::floor((x - lead) / spacing));
    for (int i = i0 - 1; i <= i0 + 2; ++i) {
      double px = lead + i * spacing, py = j * row;
      if (set == Set::random) {
        const unsigned own = seed + (between ? 7919u : 0u);
        const int ri = repeated(i, first_column, columns), rj = repeated(j, first_row, rows);
        px += (unit_noise(own, ri, rj, 0) - 0.5) * 2 * stray * spacing;
        py += (unit_noise(own, ri, rj, 1) - 0.5) * 2 * stray * row;
      }
      if (!room.holds(px + shift_x, py + shift_y)) continue;
      squares[count++] = (x - px) * (x - px) + (y - py) * (y - py);
    }
  }
  return count;
}

double Pattern::nearest(double x, double y) const {
  double squares[kNear];
  const int count = near(x, y, squares);
  return count ? std::sqrt(*std::min_element(squares, squares + count)) : 1e6;
}

double Pattern::least_apart() const {
  if (set != Set::random) return spacing;
  // Two neighbours of a row towards each other, or two of neighbouring rows, half a spacing aside.
  const double aside = std::max(0.0, 0.5 - 2 * stray) * spacing, rows = (1 - 2 * stray) * row();
  return std::min((1 - 2 * stray) * spacing, std::hypot(aside, rows));
}

void keep_apart(Pattern& pattern, double least) {
  if (pattern.set != Pattern::Set::random || pattern.least_apart() >= least) return;
  double low = 0, high = pattern.stray;
  for (int round = 0; round < 40; ++round) {
    pattern.stray = (low + high) / 2;
    (pattern.least_apart() < least ? high : low) = pattern.stray;
  }
  pattern.stray = low;
}

ToolFace studs(const Profile& profile, const Pattern& pattern, double depth) {
  ToolFace face;
  face.ridged = false;
  face.feature_mm = profile.feature(depth);
  face.over = [=](double x, double y) { return depth - profile.rise(pattern.nearest(x, y)); };
  return face;
}

double Blows::radius() const { return std::sqrt(2 * crown * depth); }

// The lightest blow reaches 0.4 of the depth; one that far away or more lies above it everywhere.
int Blows::squares_around() const {
  return std::max(2, int(std::ceil(std::sqrt(1.2 * crown * depth / (spacing * spacing) + 1))));
}

double Blows::least_spacing() const { return std::sqrt(1.2 * crown * depth / (kMostAround * kMostAround - 1)); }

double Blows::reach(double x, double y) const {
  const int i0 = int(std::floor(x / spacing)), j0 = int(std::floor(y / spacing)), around = std::min(squares_around(), kMostAround);
  double reaches[(2 * kMostAround + 1) * (2 * kMostAround + 1)], deepest = -1e9;
  int count = 0;
  for (int j = j0 - around; j <= j0 + around; ++j)
    for (int i = i0 - around; i <= i0 + around; ++i) {
      const int ri = repeated(i, first_column, columns), rj = repeated(j, first_row, rows);
      const double px = (i + unit_noise(seed, ri, rj, 0)) * spacing, py = (j + unit_noise(seed, ri, rj, 1)) * spacing;
      if (!room.holds(px, py)) continue;
      const double own = depth * (0.4 + 0.6 * unit_noise(seed, ri, rj, 2));
      reaches[count] = own - ((x - px) * (x - px) + (y - py) * (y - py)) / (2 * crown);
      deepest = std::max(deepest, reaches[count++]);
    }
  // Where dents meet, hot metal leaves no knife-edge: the deepest wins softly, over a fourteenth of the depth.
  const double soft = depth / 14;
  double weight = 0;
  for (int k = 0; k < count; ++k)
    if (reaches[k] > deepest - 36 * soft) weight += std::exp((reaches[k] - deepest) / soft);
  return count ? deepest + soft * std::log(weight) : -1e6;
}

ToolFace blows(const Blows& blows) {
  ToolFace face;
  face.ridged = false;
  face.feature_mm = std::min(blows.radius(), blows.spacing);
  face.over = [blows](double x, double y) { return blows.reach(x, y); };
  return face;
}

}  // namespace etchcast
