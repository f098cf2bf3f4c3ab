// Rows of the velocity problem that stand for dies.
#include "metal/contact.hpp"

#include <algorithm>
#include <cmath>

namespace etchcast::metal {

namespace {
// Share of the thickness below which metal counts as touching. So far off a face may lie between the places where the mesh
// of the step before held it (with less, ridges that stick slip here and there); a die goes some 4e-3 in a step.
constexpr double kTouch = 5e-4;
}  // namespace

Die::Die(const Tool& tool, int sign, std::function<double(double)> before, double level, double rate)
    : tool_(tool), sign_(sign), before_(std::move(before)), level_(level), rate_(rate) {}

double Die::height(double x, double half, double travel) const {
  if (tool_.kind == Tool::Kind::form) {
    const double xi = x / half, away = (xi - tool_.nearest(xi)) * half_after_;
    const double after = level_ - sign_ * (tool_.depth - tool_.rise(std::abs(away)));
    return before_(xi) + travel * (after - before_(xi));
  }
  const double crest = level_ - sign_ * tool_.depth * travel;
  if (tool_.kind == Tool::Kind::flat) return crest;
  return crest + sign_ * tool_.rise(std::abs(x - tool_.nearest(x / half) * half));
}

double Die::slope(double x, double half, double travel) const {
  if (tool_.kind == Tool::Kind::flat) return 0;
  const double step = 1e-5 * half;
  return (height(x + step, half, travel) - height(x - step, half, travel)) / (2 * step);
}

std::vector<double> gaps(const Mesh& mesh, const Shape& shape, const Die& die, double travel) {
  const int points = mesh.x.cells() * die.points();
  std::vector<double> gap(static_cast<size_t>(points));
  for (int j = 0; j < points; ++j) {
    const double xi = mesh.x.place(j / die.points(), (j % die.points() + 0.5) / die.points());
    const double face = (die.sign() > 0 ? shape.top : shape.bottom).jet(xi).f;
    gap[size_t(j)] = die.sign() * (die.height(xi * shape.half, shape.half, travel) - face);
  }
  return gap;
}

namespace {

/// The face at the middle of cell j must not enter the die. In terms of the stream function along the face, T(xi), the
/// face's height at a fixed place rises at -T' / half: so one condition a cell for one coefficient a cell.
Row normal_row(const Mesh& mesh, const Shape& shape, const Die& die, double travel, int point, double allowed,
               double step) {
  const int sign = die.sign(), j = point / die.points();
  const double fraction = (point % die.points() + 0.5) / die.points();
  const double xi = mesh.x.place(j, fraction), half = shape.half, k = 1 / half;
  const Face::Jet face = (sign > 0 ? shape.top : shape.bottom).jet(xi);
  const bool form = die.tool().kind == Tool::Kind::form;
  Row row;
  row.kind = form ? Row::Kind::fixed : Row::Kind::limit;
  row.weight = half * mesh.x.width() / die.points();
  const Four b = mesh.x.at(j, fraction);
  const int last = sign > 0 ? mesh.s.size() - 1 : 0;
  for (int a = 0; a < 4; ++a) row.add(mesh.index(mesh.x.index(j, a), last), -sign * k * b.d[a]);
  row.add(mesh.lift(), -sign * k);
  const double small = 1e-5;
  if (form) {
    // At a fixed share of the half repeat, not at a fixed place.
    row.add(mesh.stretch(), -sign * k * face.f);
    const double speed =
        (die.height(xi * half, half, travel + small) - die.height(xi * half, half, travel - small)) / (2 * small);
    row.target = sign * speed * die.rate();
  } else {
    row.add(mesh.stretch(),
            sign * (-k * (face.f + xi * face.d) + die.carried(xi) * die.slope(xi * half, half, travel)));
    row.target = -die.tool().depth * die.rate() + allowed / step;
  }
  return row;
}

/// Slip along the face at a point of cell j: speed of the metal less the die's, along the tangent (forms: see below).
Row slip_row(const Mesh& mesh, const Shape& shape, const Die& die, int j, double fraction, double friction) {
  const int sign = die.sign();
  const double xi = mesh.x.place(j, fraction), k = 1 / shape.half;
  const Face::Jet bottom = shape.bottom.jet(xi), top = shape.top.jet(xi), face = sign > 0 ? top : bottom;
  // About an axis x = r^2 / 2: slopes are taken along r, and u is r times the radial speed.
  const double tilt = face.d * k, h = top.f - bottom.f, r1 = shape.round ? std::sqrt(2 * xi * shape.half) : 1;
  const double along = std::sqrt(1 + tilt * tilt * r1 * r1);
  const Four b = mesh.x.at(j, fraction);
  const int layer = sign > 0 ? mesh.s.cells() - 1 : 0, last = sign > 0 ? 3 : 0;
  const Four s = mesh.s.at(layer, sign > 0 ? 1 : 0);
  Row row;
  row.kind = friction >= 1 ? Row::Kind::stick : Row::Kind::drag;
  row.drag = friction;
  row.weight = 0.5 * along * shape.half * mesh.x.width();
  // Unit tangent (c, t). Forms move with the metal everywhere, so any direction but the normal will do: x.
  const bool form = die.tool().kind == Tool::Kind::form;
  const double c = (form ? along : 1 / along) / r1, t = form ? 0 : tilt * r1 / along;
  // With dsigma/dx = -tilt / h on the face, w = -(stretch z + lift + P_xi) / half + P_sigma tilt / h and u = P_sigma /
  // h + ...
  for (int r = last; r == last || r == (sign > 0 ? 2 : 1); r += sign > 0 ? -1 : 1)
    for (int a = 0; a < 4; ++a)
      row.add(mesh.index(mesh.x.index(j, a), layer + r),
              (c + t * tilt) * b.f[a] * s.d[r] / h - (r == last ? t * k * b.d[a] : 0));
  row.add(mesh.stretch(), c * (xi - die.carried(xi)) - t * k * face.f);
  row.add(mesh.lift(), -t * k);
  row.target = form ? 0 : -t * sign * die.tool().depth * die.rate();
  return row;
}

}  // namespace

void add_rows(const Mesh& mesh, const Shape& shape, const Die& die, double travel, const std::vector<double>& allowed,
              double step, double friction, std::vector<Row>& rows) {
  const int first = int(rows.size()), cells = mesh.x.cells(), points = cells * die.points();
  for (int j = 0; j < points; ++j) rows.push_back(normal_row(mesh, shape, die, travel, j, allowed[size_t(j)], step));
  if (friction <= 0) return;
  const bool always = die.tool().kind == Tool::Kind::form;
  const int each = std::max(2, die.points());
  for (int i = 0; i < cells * each; ++i) {
    if (!always && allowed[size_t(i * die.points() / each)] > kTouch) continue;  // not there yet: nothing to stick to
    const double fraction = (i % each + 0.5) / each;
    rows.push_back(slip_row(mesh, shape, die, i / each, fraction, friction));
    rows.back().weight *= 2.0 / each;
    rows.back().contact = always ? -1 : first + i * die.points() / each;
  }
}

}  // namespace etchcast::metal
