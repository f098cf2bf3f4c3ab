// Least dissipation by Newton's method.
#include "metal/creep.hpp"

#include <algorithm>
#include <cmath>

#include "base/clones.hpp"

namespace etchcast::metal {

namespace {

constexpr int kPoints = 4;  // 2 x 2 Gauss points a cell: exact to the order that splines of this smoothness converge
constexpr double kSmall = 1e-3;  // rates of shear below this share of (die speed / thickness) flow as a Newtonian
// Stiffness of a die against being entered and, where metal sticks, against slip: of stresses, 1 to 10 in short repeats
// and growing as half^2 and half in long ones, it gives way by 1e-4 of its speed, or 1e-3.
double wall(double half) { return 1e5 * (1 + half * half); }
double grip(double half) { return 1e4 * (1 + half); }
constexpr double kSettled =
    1e-4;  // square of the relative change that ends the iteration: the last step leaves its square
constexpr int kMostRounds = 60;

double power(double square, double exponent) { return std::pow(square + kSmall * kSmall, exponent); }

}  // namespace

/// Adds, for each of four points, t11 a a' + t12 (a b' + b a') + t22 b b' to the 16 x 16 matrix; a, b: 2 e_xx and 2
/// e_xz of the 16 functions.
ETCHCAST_CLONES void cell_matrix(const double* a, const double* b, const double* tangent, double* matrix) {
  for (int i = 0; i < 256; ++i) matrix[i] = 0;
  for (int point = 0; point < kPoints; ++point, a += 16, b += 16, tangent += 3)
    for (int i = 0; i < 16; ++i) {
      const double ta = tangent[0] * a[i] + tangent[1] * b[i], tb = tangent[1] * a[i] + tangent[2] * b[i];
      double* row = matrix + 16 * i;
      for (int j = 0; j < 16; ++j) row[j] += ta * a[j] + tb * b[j];
    }
}

Creep::Creep(int along, int through, double sensitivity, bool held)
    : mesh_(along, through),
      sensitivity_(sensitivity),
      held_(held),
      equations_(mesh_.size(), mesh_.half_width()),
      v_(size_t(mesh_.size()) + 2, 0.0) {
  const size_t points = size_t(along) * through * kPoints;
  stretching_.resize(points * 16), shearing_.resize(points * 16), area_.resize(points);
  for (int cell = 0; cell < along; ++cell)
    for (int layer = 0; layer < through; ++layer)
      for (int a = 0; a < 16; ++a) numbers_.push_back(mesh_.index(mesh_.x.index(cell, a % 4), layer + a / 4));
}

void Creep::set_shape(const Shape& shape) {
  shape_ = shape;
  for (int cell = 0; cell < mesh_.x.cells(); ++cell)
    for (int layer = 0; layer < mesh_.s.cells(); ++layer)
      for (int point = 0; point < kPoints; ++point) place_point(cell, layer, point);
}

/// Rates of shear of the cell's functions at one point, from the derivatives of sigma(x, z).
void Creep::place_point(int cell, int layer, int point) {
  const double offset = 0.5 / std::sqrt(3.0);
  const double tx = 0.5 + (point & 1 ? offset : -offset), ts = 0.5 + (point & 2 ? offset : -offset);
  const double xi = (cell + tx) / mesh_.x.cells(), sigma = mesh_.s.start(layer) + ts * mesh_.s.width(layer);
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
  area_[number] = 0.25 * mesh_.s.width(layer) * h * shape_.half / mesh_.x.cells();
}

/// Rates of shear at all points.
void Creep::rates_of(const std::vector<double>& v, std::vector<double>& rates) const {
  rates.resize(2 * area_.size());
  const double pull = 2 / shape_.half * v[size_t(mesh_.stretch())];
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

double Creep::dissipation() const {
  double sum = 0;
  for (size_t p = 0; p < area_.size(); ++p) {
    const double square = rates_[2 * p] * rates_[2 * p] + rates_[2 * p + 1] * rates_[2 * p + 1];
    sum += area_[p] * square * power(square, (sensitivity_ - 1) / 2);
  }
  return sum;
}

/// Gradient and second derivatives of the dissipation. `secant` leaves out the softening with rate: slower, but it
/// comes in from anywhere.
void Creep::assemble(bool secant) {
  equations_.clear();
  std::fill(gradient_.begin(), gradient_.end(), 0.0);
  const double pull = 2 / shape_.half, m = sensitivity_;
  double matrix[256], tangent[3 * kPoints];
  double pulled = 0;
  const int last = mesh_.stretch();
  for (size_t cell = 0; cell < numbers_.size() / 16; ++cell) {
    const int* number = numbers_.data() + 16 * cell;
    const double *a = stretching_.data() + 16 * kPoints * cell, *b = shearing_.data() + 16 * kPoints * cell;
    for (int point = 0; point < kPoints; ++point) {
      const size_t p = cell * kPoints + point;
      const double ea = rates_[2 * p], eb = rates_[2 * p + 1], square = ea * ea + eb * eb;
      const double eta = area_[p] * power(square, (m - 1) / 2);
      const double soft = secant ? 0 : (m - 1) * eta / (square + kSmall * kSmall);
      double* t = tangent + 3 * point;
      t[0] = eta + soft * ea * ea, t[1] = soft * ea * eb, t[2] = eta + soft * eb * eb;
      const double *pa = a + 16 * point, *pb = b + 16 * point;
      for (int i = 0; i < 16; ++i) {
        gradient_[size_t(number[i])] += eta * (ea * pa[i] + eb * pb[i]);
        equations_.add(last, number[i], pull * (t[0] * pa[i] + t[1] * pb[i]));
      }
      gradient_[size_t(last)] += eta * ea * pull;
      pulled += t[0] * pull * pull;
    }
    cell_matrix(a, b, tangent, matrix);
    for (int i = 0; i < 16; ++i)
      for (int j = 0; j < 16; ++j) equations_.add(number[i], number[j], matrix[16 * i + j]);
  }
  equations_.add(last, last, pulled);
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
  if (row.kind == Row::Kind::drag) return row.drag * power(rate * rate, (sensitivity_ - 1) / 2);
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
double Creep::energy_slope(double step, const std::vector<Row>& rows) const {
  const double exponent = (sensitivity_ - 1) / 2;
  double sum = 0;
  for (size_t p = 0; p < area_.size(); ++p) {
    const double da = rate_changes_[2 * p], db = rate_changes_[2 * p + 1];
    const double a = rates_[2 * p] + step * da, b = rates_[2 * p + 1] + step * db;
    sum += area_[p] * power(a * a + b * b, exponent) * (a * da + b * db);
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
double Creep::search(const std::vector<Row>& rows, double slope) const {
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
  active_.clear();
  for (int round = 0; round < kMostRounds; ++round) {
    rates_of(v_, rates_);
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
    rates_of(change_, rate_changes_);
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
  const double xi = x / shape_.half;
  return velocity_at(x, (sigma == 0 ? shape_.bottom : shape_.top).jet(xi).f, sigma);
}

Creep::Velocity Creep::velocity_at(double x, double z, double sigma) const {
  const double xi = std::clamp(x / shape_.half, 0.0, 1.0), k = 1 / shape_.half;
  const Face::Jet b = shape_.bottom.jet(xi), t = shape_.top.jet(xi);
  const double h = t.f - b.f;
  if (sigma < 0) sigma = std::clamp((z - b.f) / h, 0.0, 1.0);
  const double q = -(b.d + sigma * (t.d - b.d)) * k / h;
  const int cell = mesh_.x.cell(xi), layer = mesh_.s.cell(sigma);
  const Four fx = mesh_.x.at(cell, xi * mesh_.x.cells() - cell);
  const Four fs = mesh_.s.at(layer, (sigma - mesh_.s.start(layer)) / mesh_.s.width(layer));
  const int* number = numbers_.data() + 16 * (size_t(cell) * mesh_.s.cells() + layer);
  double along = 0, through = 0;
  for (int r = 0; r < 4; ++r)
    for (int c = 0; c < 4; ++c) {
      const double v = v_[size_t(number[4 * r + c])];
      along += v * fx.d[c] * fs.f[r], through += v * fx.f[c] * fs.d[r];
    }
  const double stretch = v_[size_t(mesh_.stretch())], lift = v_[size_t(mesh_.lift())];
  return {stretch * xi + through / h, -k * (stretch * z + lift + along) - through * q};
}

}  // namespace etchcast::metal
