// What metal does, of the unknowns: rates of shear at the points of integration, and the velocity anywhere.
#include <algorithm>
#include <cmath>

#include "metal/creep.hpp"
#include "metal/loops.hpp"

namespace etchcast::metal {

void Creep::number_cells() {
  for (int cell = 0; cell < mesh_.x.cells(); ++cell)
    for (int layer = 0; layer < mesh_.s.cells(); ++layer)
      for (int a = 0; a < 16; ++a) numbers_.push_back(mesh_.index(mesh_.x.index(cell, a % 4), layer + a / 4));
  for (int cell = 0; cell < int(numbers_.size() / 16); ++cell) {
    first_twice_.push_back(int(twice_.size()));
    for (int i = 0; i < 16; ++i)
      for (int j = 0; j <= i; ++j) {
        const int a = numbers_[size_t(16 * cell + i)], b = numbers_[size_t(16 * cell + j)];
        places_.push_back(equations_.place(std::max(a, b), std::min(a, b)));
        if (a == b && i != j) twice_.push_back({16 * i + j, places_.back()});
      }
  }
  first_twice_.push_back(int(twice_.size()));
}

void Creep::set_shape(const Shape& shape) {
  shape_ = shape;
  if (shape.round) hoop_.resize(stretching_.size());
  for (int cell = 0; cell < mesh_.x.cells(); ++cell)
    for (int layer = 0; layer < mesh_.s.cells(); ++layer)
      for (int point = 0; point < kPoints; ++point) place_point(cell, layer, point);
}

/// Rates of shear of the cell's functions at one point, from the derivatives of sigma(x, z).
void Creep::place_point(int cell, int layer, int point) {
  const double offset = 0.5 / std::sqrt(3.0);
  const double tx = 0.5 + (point & 1 ? offset : -offset), ts = 0.5 + (point & 2 ? offset : -offset);
  const double xi = mesh_.x.place(cell, tx), sigma = mesh_.s.start(layer) + ts * mesh_.s.width(layer);
  const double k = 1 / shape_.half;
  const Face::Jet b = shape_.bottom.jet(xi), t = shape_.top.jet(xi);
  const double h = t.f - b.f, hx = (t.d - b.d) * k, hxx = (t.dd - b.dd) * k * k;
  const double q = -(b.d * k + sigma * hx) / h, qz = -hx / (h * h);
  const double qx = -(b.dd * k * k + sigma * hxx) / h - 2 * q * hx / h;
  const Four x = mesh_.x.at(cell, tx), s = mesh_.s.at(layer, ts);
  const size_t number = (size_t(cell) * mesh_.s.cells() + layer) * kPoints + point;
  double *stretching = stretching_.data() + 16 * number, *shearing = shearing_.data() + 16 * number;
  for (int r = 0; r < 4; ++r) {
    const double along1 = 2 * k * s.d[r] / h, along0 = 2 * (s.dd[r] * q / h + s.d[r] * qz);
    const double shear0 = s.dd[r] * (1 / (h * h) - q * q) - s.d[r] * qx, shear1 = -2 * q * k * s.d[r],
                 shear2 = -k * k * s.f[r];
    for (int c = 0; c < 4; ++c) {
      stretching[4 * r + c] = along1 * x.d[c] + along0 * x.f[c];
      shearing[4 * r + c] = shear0 * x.f[c] + shear1 * x.d[c] + shear2 * x.dd[c];
    }
  }
  area_[number] = 0.25 * mesh_.s.width(layer) * h * shape_.half * mesh_.x.width();
  if (!shape_.round) return;
  double speed[16], bend[16];  // psi_z, and psi_zz alone
  for (int i = 0; i < 16; ++i) speed[i] = x.f[i % 4] * s.d[i / 4] / h, bend[i] = x.f[i % 4] * s.dd[i / 4] / (h * h);
  place_round_point(number, xi * shape_.half, speed, bend);
}

/// First rate of shear of a unit of `stretch`.
double Creep::pull() const { return (shape_.round ? std::sqrt(3.0) : 2) / shape_.half; }

/// Rates of shear at all points.
void Creep::rates_of(const std::vector<double>& v, std::vector<double>& rates, std::vector<double>& hoops) const {
  rates.resize(2 * area_.size());
  hoops.resize(shape_.round ? area_.size() : 0);
  for (size_t p = 0; p < hoops.size(); ++p) {
    const int* number = numbers_.data() + p / kPoints * 16;
    hoops[p] = 0;
    for (size_t i = 0; i < 16; ++i) hoops[p] += hoop_[16 * p + i] * v[size_t(number[i])];
  }
  const double pull = this->pull() * v[size_t(mesh_.stretch())];
  for (size_t p = 0; p < area_.size(); ++p) {
    const int* number = numbers_.data() + p / kPoints * 16;
    const double *a = stretching_.data() + 16 * p, *b = shearing_.data() + 16 * p;
    double along = pull, across = 0;
    for (int i = 0; i < 16; ++i) {
      const double c = v[size_t(number[i])];
      along += a[i] * c, across += b[i] * c;
    }
    rates[2 * p] = along, rates[2 * p + 1] = across;
  }
}

Creep::Velocity Creep::at_face(double x, double sigma) const {
  const double xi = mesh_.x.within(x / shape_.half);
  return velocity_at(x, (sigma == 0 ? shape_.bottom : shape_.top).jet(xi).f, sigma);
}

Creep::Velocity Creep::velocity_at(double x, double z, double sigma) const {
  const double xi = mesh_.x.within(x / shape_.half), k = 1 / shape_.half;
  const Face::Jet b = shape_.bottom.jet(xi), t = shape_.top.jet(xi);
  const double h = t.f - b.f;
  if (sigma < 0) sigma = std::clamp((z - b.f) / h, 0.0, 1.0);
  const double q = -(b.d + sigma * (t.d - b.d)) * k / h;
  const int cell = mesh_.x.cell(xi), layer = mesh_.s.cell(sigma);
  const Four fx = mesh_.x.at(cell, mesh_.x.fraction(xi, cell));
  const Four fs = mesh_.s.at(layer, (sigma - mesh_.s.start(layer)) / mesh_.s.width(layer));
  const int* number = numbers_.data() + 16 * (size_t(cell) * mesh_.s.cells() + layer);
  double along = 0, through = 0;
  for (int r = 0; r < 4; ++r)
    for (int c = 0; c < 4; ++c) {
      const double v = v_[size_t(number[4 * r + c])];
      along += v * fx.d[c] * fs.f[r], through += v * fx.f[c] * fs.d[r];
    }
  const double stretch = v_[size_t(mesh_.stretch())], lift = v_[size_t(mesh_.lift())];
  const double far = mesh_.x.mirrored() ? xi : x / shape_.half;  // repeats further on are carried further
  return {stretch * far + through / h, -k * (stretch * z + lift + along) - through * q};
}

}  // namespace etchcast::metal
