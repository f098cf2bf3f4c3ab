// Least dissipation by Newton's method.
#include "metal/creep.hpp"

#include <algorithm>
#include <cmath>

#include "metal/loops.hpp"

namespace etchcast::metal {

namespace {

// Stiffness of a die against being entered and, where metal sticks, against slip: of stresses, 1 to 10 in short repeats
// and growing as half^2 and half in long ones, it gives way by 1e-4 of its speed, or 1e-3.
double wall(double half) { return 1e5 * (1 + half * half); }
double grip(double half) { return 1e4 * (1 + half); }
constexpr double kSettled =
    1e-4;  // square of the relative change that ends the iteration: the last step leaves its square
constexpr int kMostRounds = 60;

}  // namespace

Creep::Creep(int along, int through, bool mirrored, double sensitivity, bool held, bool round)
    : mesh_(along, through, mirrored, round),
      sensitivity_(sensitivity),
      held_(held),
      equations_(mesh_.size(), mesh_.half_width()),
      v_(size_t(mesh_.size()) + 2, 0.0) {
  const size_t points = size_t(along) * through * kPoints;
  stretching_.resize(points * 16), shearing_.resize(points * 16), area_.resize(points);
  viscosity_.resize(points), trial_.resize(points);
  number_cells();
}

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

/// Flow stress over rate of shear at all points; `step`: how far along the change the rates are.
void Creep::viscosities(const std::vector<double>& rates, double step, std::vector<double>& result) const {
  if (!shape_.round) return powers(rates.data(), (sensitivity_ - 1) / 2, result.data(), int(area_.size()));
  std::vector<double> pairs = rates;
  for (size_t p = 0; p < area_.size(); ++p)
    pairs[2 * p] = std::hypot(rates[2 * p], hoops_[p] + (step == 0 ? 0 : step * hoop_changes_[p]));
  powers(pairs.data(), (sensitivity_ - 1) / 2, result.data(), int(area_.size()));
}

/// Also leaves the viscosity of the present rates.
double Creep::dissipation() {
  viscosities(rates_, 0, viscosity_);
  double sum = 0;
  for (size_t p = 0; p < area_.size(); ++p) {
    const double hoop = shape_.round ? hoops_[p] * hoops_[p] : 0;
    sum += area_[p] * viscosity_[p] * (rates_[2 * p] * rates_[2 * p] + rates_[2 * p + 1] * rates_[2 * p + 1] + hoop);
  }
  return sum;
}

/// Gradient and second derivatives of the dissipation. `secant` leaves out the softening with rate: slower, but it
/// comes in from anywhere.
void Creep::assemble(bool secant) {
  equations_.clear();
  std::fill(gradient_.begin(), gradient_.end(), 0.0);
  for (size_t cell = 0; cell < numbers_.size() / 16; ++cell) gather_cell(cell, secant);
  for (size_t cell = 0; shape_.round && cell < numbers_.size() / 16; ++cell) gather_hoops(cell, secant);
  if (!mesh_.x.mirrored()) pin();
}

void Creep::gather_cell(size_t cell, bool secant) {
  const double pull = this->pull(), m = sensitivity_;
  const int last = mesh_.stretch();
  double matrix[256], tangent[3 * kPoints], factors[4 * kPoints], gradient[16], coupling[16], pulled = 0;
  for (int point = 0; point < kPoints; ++point) {
    const size_t p = cell * kPoints + point;
    const double ea = rates_[2 * p], eb = rates_[2 * p + 1];
    const double eta = area_[p] * viscosity_[p];
    const double hoop = shape_.round ? hoops_[p] * hoops_[p] : 0;
    const double soft = secant ? 0 : (m - 1) * eta / (ea * ea + eb * eb + hoop + kSmall * kSmall);
    double *t = tangent + 3 * point, *f = factors + 4 * point;
    t[0] = eta + soft * ea * ea, t[1] = soft * ea * eb, t[2] = eta + soft * eb * eb;
    f[0] = eta * ea, f[1] = eta * eb, f[2] = pull * t[0], f[3] = pull * t[1];
    gradient_[size_t(last)] += eta * ea * pull;
    pulled += t[0] * pull * pull;
  }
  const int* number = numbers_.data() + 16 * cell;
  const double *a = stretching_.data() + 16 * kPoints * cell, *b = shearing_.data() + 16 * kPoints * cell;
  cell_vectors(a, b, factors, gradient, coupling);
  for (int i = 0; i < 16; ++i) {
    gradient_[size_t(number[i])] += gradient[i];
    equations_.add(last, number[i], coupling[i]);
  }
  equations_.add(last, last, pulled);
  cell_matrix(a, b, tangent, matrix);
  scatter(cell, matrix);
}

/// Adds a cell's matrix.
void Creep::scatter(size_t cell, const double* matrix) {
  const size_t* place = places_.data() + 136 * cell;
  for (int i = 0; i < 16; ++i)
    for (int j = 0; j <= i; ++j) equations_.at(*place++) += matrix[16 * i + j];
  for (int i = first_twice_[cell]; i < first_twice_[cell + 1]; ++i)
    equations_.at(twice_[size_t(i)].place) += matrix[twice_[size_t(i)].entry];
}

/// Without mirrors two motions are nobody's: a constant stream function moves nothing, and between sliding platens the
/// bar may drift. Something small holds both.
void Creep::pin() {
  for (int i = 0; i < mesh_.size(); ++i) equations_.add(i, i, 1e-8);
  const int first = mesh_.index(0, 0);
  equations_.add(first, first, 1);
  gradient_[size_t(first)] += v_[size_t(first)];
}

double Creep::rate_of(const Row& row, const std::vector<double>& v) const {
  double rate = 0;
  for (int i = 0; i < row.count; ++i) rate += row.value[i] * v[size_t(row.index[i])];
  return rate;
}

/// Which rows act. `keep_grip`: sticking and dragging stay as they were, lest they flicker. True if any row changed.
bool Creep::mark_active(const std::vector<Row>& rows, bool keep_grip) {
  bool changed = active_.size() != rows.size();
  active_.resize(rows.size(), 0);
  for (size_t r = 0; r < rows.size(); ++r) {
    char now = 1;
    if (rows[r].kind == Row::Kind::limit) now = row_rates_[r] > 0;
    if (rows[r].contact >= 0) now = keep_grip ? active_[r] : active_[size_t(rows[r].contact)];
    changed = changed || now != active_[r];
    active_[r] = now;
  }
  return changed;
}

/// Force a unit of weight and rate.
double Creep::stiffness_of(const Row& row, double rate) const {
  if (row.kind == Row::Kind::drag) return row.drag * std::pow(rate * rate + kSmall * kSmall, (sensitivity_ - 1) / 2);
  return row.kind == Row::Kind::stick ? grip(shape_.half) : wall(shape_.half);
}

void Creep::assemble_rows(const std::vector<Row>& rows) {
  for (size_t r = 0; r < rows.size(); ++r) {
    if (!active_[r]) continue;
    const Row& row = rows[r];
    const double rate = row_rates_[r];
    const double force = row.weight * stiffness_of(row, rate);
    double stiffness = force;
    if (row.kind == Row::Kind::drag)
      stiffness *= 1 + (sensitivity_ - 1) * rate * rate / (rate * rate + kSmall * kSmall);
    for (int i = 0; i < row.count; ++i) {
      gradient_[size_t(row.index[i])] += force * rate * row.value[i];
      for (int j = 0; j < row.count; ++j)
        equations_.add(row.index[i], row.index[j], stiffness * row.value[i] * row.value[j]);
    }
  }
}

/// Derivative of the energy along the change, at `step` of it.
double Creep::energy_slope(double step, const std::vector<Row>& rows) {
  for (size_t i = 0; i < rates_.size(); ++i) tried_[i] = rates_[i] + step * rate_changes_[i];
  viscosities(tried_, step, trial_);
  double sum = 0;
  for (size_t p = 0; p < area_.size(); ++p) {
    const double hoop = shape_.round ? (hoops_[p] + step * hoop_changes_[p]) * hoop_changes_[p] : 0;
    sum += area_[p] * trial_[p] *
           (tried_[2 * p] * rate_changes_[2 * p] + tried_[2 * p + 1] * rate_changes_[2 * p + 1] + hoop);
  }
  for (size_t r = 0; r < rows.size(); ++r) {
    const double rate = row_rates_[r] + step * row_changes_[r];
    const Row& row = rows[r];
    if (row.kind == Row::Kind::limit ? rate <= 0 : !active_[r]) continue;
    sum += row.weight * stiffness_of(row, rate) * rate * row_changes_[r];
  }
  return sum;
}

/// Length of the step along the change: 1 if the energy still falls there or has nearly levelled, else where it levels,
/// by false position on its derivative (it is convex). `slope`: derivative at 0, negative.
double Creep::search(const std::vector<Row>& rows, double slope) {
  double low = 0, high = 1, at_low = slope, at_high = energy_slope(1, rows);
  if (at_high <= -0.4 * slope) return 1;
  double step = 1;
  for (int round = 0; round < 8; ++round) {
    step = low + (high - low) * std::clamp(-at_low / (at_high - at_low), 0.1, 0.9);
    const double here = energy_slope(step, rows);
    if (std::abs(here) < -0.2 * slope) break;
    if (here < 0)
      low = step, at_low = here;
    else
      high = step, at_high = here;
  }
  return step;
}

void Creep::solve(const std::vector<Row>& rows) {
  gradient_.resize(v_.size());
  tried_.resize(2 * area_.size());
  active_.clear();
  for (int round = 0; round < kMostRounds; ++round) {
    rates_of(v_, rates_, hoops_);
    const double scale = dissipation();
    row_rates_.resize(rows.size()), row_changes_.resize(rows.size());
    for (size_t r = 0; r < rows.size(); ++r) row_rates_[r] = rate_of(rows[r], v_) - rows[r].target;
    const bool changed = mark_active(rows, round > 6);
    assemble(cold_ && round < 3);
    assemble_rows(rows);
    if (held_) {
      equations_.add(mesh_.stretch(), mesh_.stretch(), 1e12);
      gradient_[size_t(mesh_.stretch())] = 0;
    }
    ++iterations_;
    if (!equations_.factor()) break;
    change_ = gradient_;
    equations_.solve(change_);
    double slope = 0;
    for (size_t i = 0; i < v_.size(); ++i) change_[i] = -change_[i], slope += gradient_[i] * change_[i];
    rates_of(change_, rate_changes_, hoop_changes_);
    for (size_t r = 0; r < rows.size(); ++r) row_changes_[r] = rate_of(rows[r], change_);
    const double step = search(rows, slope);
    for (size_t i = 0; i < v_.size(); ++i) v_[i] += step * change_[i];
    // Metal that hardly flows at all may go on trembling: after many rounds a hundredth of its motion is near enough.
    const double near = round < 20 ? kSettled : round < 40 ? 10 * kSettled : 100 * kSettled;
    if (!changed && -slope <= near * scale + 1e-14) {
      cold_ = false;
      return;
    }
  }
  throw NotFound("the calculation does not settle");
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
