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

}  // namespace etchcast::metal
