// Faces formed by tools: plane-section pressing, cutting, forging flat.
#include "workpiece/forming.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "tape/face_map.hpp"

namespace etchcast {

double ToolFace::reach(double x, double y) const {
  return ridged ? along(x * std::cos(angle_rad) + y * std::sin(angle_rad)) : over(x, y);
}

namespace {

/// Nodes of a bar's plan: along u where everything is ridged the same way, else a grid; with the share of plan each holds.
struct Plan {
  bool ridged;
  double angle, length, width;
  double start = 0, step_u = 0;
  int count = 0;
  double dx = 0, dy = 0;
  int columns = 0, rows = 0;

  Plan(bool ridged, double angle, double length, double width, double feature, double coarseness)
      : ridged(ridged), angle(angle), length(length), width(width) {
    if (ridged) {
      const double c = std::cos(angle), s = std::sin(angle);
      const double low = std::min(0.0, length * c) - std::abs(s) * width / 2;
      const double high = std::max(0.0, length * c) + std::abs(s) * width / 2;
      const double fine = std::clamp(feature / 64, 0.01, 0.05) * coarseness;
      count = std::max(16, int(std::ceil((high - low) / fine)) + 1);
      start = low;
      step_u = (high - low) / (count - 1);
    } else {
      const double fine = std::clamp(feature / 8, 0.15, 0.5) * coarseness;
      columns = std::max(16, int(std::ceil(length / fine)) + 1);
      rows = std::max(16, int(std::ceil(width / fine)) + 1);
      dx = length / (columns - 1), dy = width / (rows - 1);
    }
  }
  size_t size() const { return ridged ? size_t(count) : size_t(columns) * rows; }
  void place(size_t i, double& x, double& y) const {
    if (ridged) {
      const double u = start + double(i) * step_u;
      x = u * std::cos(angle), y = u * std::sin(angle);
    } else {
      x = double(i % columns) * dx, y = -width / 2 + double(i / columns) * dy;
    }
  }
  /// Share of the rectangle's area around u: two boxes convolved, a trapezoid.
  double weight(size_t i) const {
    if (!ridged) {
      const bool end_x = i % columns == 0 || int(i % columns) == columns - 1;
      const bool end_y = int(i) < columns || int(i / columns) == rows - 1;
      return (end_x ? 0.5 : 1) * (end_y ? 0.5 : 1);
    }
    const double c = std::abs(length * std::cos(angle)), s = std::abs(width * std::sin(angle));
    const double end = (i == 0 || int(i) == count - 1) ? 0.5 : 1;
    const double centre = start + (count - 1) * step_u / 2, off = std::abs(start + double(i) * step_u - centre);
    if (std::min(c, s) < 1e-9) return end;
    const double flat = std::abs(c - s) / 2, full = (c + s) / 2;
    return end * (off <= flat ? 1.0 : std::max(0.0, (full - off) / (full - flat)));
  }
};

struct Faces {
  std::vector<double> bottom, top;
};

double mean_height(const Plan& plan, const Faces& f) {
  double sum = 0, weight = 0;
  for (size_t i = 0; i < plan.size(); ++i) {
    const double w = plan.weight(i);
    sum += w * (f.top[i] - f.bottom[i]);
    weight += w;
  }
  return sum / weight;
}

double least_height(const Faces& f) {
  double least = 1e9;
  for (size_t i = 0; i < f.top.size(); ++i) least = std::min(least, f.top[i] - f.bottom[i]);
  return least;
}

/// Running integral of evenly spaced values, fourth order inside, starting from 0 at index 0.
std::vector<double> running_integral(const std::vector<double>& v, double step) {
  const int n = int(v.size());
  std::vector<double> sum(n, 0.0);
  for (int i = 0; i + 1 < n; ++i) {
    double piece;
    if (i == 0)
      piece = (9 * v[0] + 19 * v[1] - 5 * v[2] + v[3]) / 24;
    else if (i == n - 2)
      piece = (v[n - 4] - 5 * v[n - 3] + 19 * v[n - 2] + 9 * v[n - 1]) / 24;
    else
      piece = (-v[i - 1] + 13 * v[i] + 13 * v[i + 1] - v[i + 2]) / 24;
    sum[i + 1] = sum[i] + step * piece;
  }
  return sum;
}

MapPtr ridge_map(const Plan& plan, const Faces& f, double thickness, double lengthening) {
  std::vector<double> rate(plan.count), mid(plan.count);
  for (int i = 0; i < plan.count; ++i) {
    rate[i] = (f.top[i] - f.bottom[i]) * lengthening / thickness - 1;
    mid[i] = (f.top[i] + f.bottom[i]) / 2;
  }
  auto shift = running_integral(rate, plan.step_u);
  // Metal at the heel's corner, u = 0, stays; so does what lies behind it on a slanted pattern.
  const double at_zero = Spline1(plan.start, plan.step_u, shift)(0);
  for (double& value : shift) value -= at_zero;
  auto tables = std::make_shared<RidgeMotion::Tables>();
  tables->shift = Spline1(plan.start, plan.step_u, shift);
  tables->mid = Spline1(plan.start, plan.step_u, mid);
  return make_map(RidgeMotion(plan.angle, thickness, lengthening, tables));
}

MapPtr field_map(const Plan& plan, const Faces& f, double lengthening, double length_before) {
  const int columns = plan.columns, rows = plan.rows;
  std::vector<double> mid(plan.size()), shift(plan.size()), line(columns), row_total(rows);
  for (int j = 0; j < rows; ++j) {
    for (int i = 0; i < columns; ++i) line[i] = f.top[size_t(j) * columns + i] - f.bottom[size_t(j) * columns + i];
    const auto sum = running_integral(line, plan.dx);
    row_total[j] = sum.back();
    for (int i = 0; i < columns; ++i) {
      const size_t k = size_t(j) * columns + i;
      shift[k] = length_before * sum[i] / sum.back() - i * plan.dx / lengthening;
      mid[k] = (f.top[k] + f.bottom[k]) / 2;
    }
  }
  const auto across = running_integral(row_total, plan.dy);
  std::vector<double> shift_y(rows);
  for (int j = 0; j < rows; ++j)
    shift_y[j] = -plan.width / 2 + plan.width * across[j] / across.back() - (-plan.width / 2 + j * plan.dy);
  auto tables = std::make_shared<FieldMotion::Tables>();
  tables->shift_x = Spline2(0, plan.dx, columns, -plan.width / 2, plan.dy, rows, shift);
  tables->shift_y = Spline1(-plan.width / 2, plan.dy, shift_y);
  tables->mid = Spline2(0, plan.dx, columns, -plan.width / 2, plan.dy, rows, mid);
  return make_map(FieldMotion(lengthening, tables));
}

MapPtr face_map(const Plan& plan, const Faces& f, double thickness_before, double length_before) {
  const double lengthening = plan.length / length_before;
  return plan.ridged ? ridge_map(plan, f, thickness_before, lengthening)
                     : field_map(plan, f, lengthening, length_before);
}

Relief as_relief(const Plan& plan, const std::vector<double>& values) {
  const auto [low, high] = std::minmax_element(values.begin(), values.end());
  if (*high - *low < 1e-9) return Relief::flat(*high);
  if (plan.ridged) {
    const Spline1 table(plan.start, plan.step_u, values);
    return Relief::ridged(plan.angle, plan.start, plan.start + plan.step_u * (plan.count - 1), plan.step_u,
                          [&](double u) { return table(u); });
  }
  const Spline2 table(0, plan.dx, plan.columns, -plan.width / 2, plan.dy, plan.rows, values);
  return Relief::free(plan.length, plan.width, std::min(plan.dx, plan.dy), [&](double x, double y) { return table(x, y); });
}

/// Old faces, moved along with a bar that has grown from `old_length` to the plan's, met by the tools.
struct Meeting {
  const Bar& old;
  const ToolPair& tools;
  double level_bottom = old.bottom->lowest(), level_top = old.top->highest();

  Faces faces(const Plan& plan, double rise) const {
    Faces f;
    f.bottom.resize(plan.size()), f.top.resize(plan.size());
    const double back = old.length_mm / plan.length;
    for (size_t i = 0; i < plan.size(); ++i) {
      double x, y;
      plan.place(i, x, y);
      f.top[i] = (*old.top)(x * back, y) + (tools.top ? rise : 0);
      f.bottom[i] = (*old.bottom)(x * back, y) - (tools.bottom ? rise : 0);
      if (tools.top) f.top[i] = std::min(f.top[i], level_top - tools.top->reach(x, y));
      if (tools.bottom) f.bottom[i] = std::max(f.bottom[i], level_bottom + tools.bottom->reach(x, y));
    }
    return f;
  }
  bool ridged(double* angle) const {
    bool first = true;
    double common = 0;
    const auto agree = [&](double a) {
      if (!first && std::abs(a - common) > 1e-9) return false;
      first = false;
      common = a;
      return true;
    };
    for (const auto* tool : {&tools.bottom, &tools.top})
      if (*tool && (!(*tool)->ridged || !agree((*tool)->angle_rad))) return false;
    for (const Relief* face : {old.bottom.get(), old.top.get()}) {
      if (face->form() == Relief::Form::free) return false;
      if (face->form() == Relief::Form::ridged && !agree(face->angle())) return false;
    }
    *angle = common;
    return true;
  }
  double feature() const {
    double least = 8;
    for (const auto* tool : {&tools.bottom, &tools.top})
      if (*tool) least = std::min(least, (*tool)->feature_mm);
    return least;
  }
};

Plan plan_for(const Meeting& meeting, double length, double coarseness) {
  double angle = 0;
  const bool ridged = meeting.ridged(&angle);
  return Plan(ridged, angle, length, meeting.old.width_mm, meeting.feature(), coarseness);
}

/// How far untouched faces must rise if the bar may not lengthen.
double held_rise(const Meeting& meeting, double length, double mean_before, const Arguments& arguments) {
  // Bracketed on a coarse plan, finished by secants on the fine one, which costs much more a look.
  const Plan coarse = plan_for(meeting, length, 4), fine = plan_for(meeting, length, 1);
  const auto missing = [&](const Plan& plan, double rise) { return mean_height(plan, meeting.faces(plan, rise)) - mean_before; };
  double low = 0, high = meeting.old.thickness_mm;
  if (missing(coarse, high) < -1e-9 * mean_before)
    arguments.refuse("ends", "the grooves of the die fill completely, and metal has nowhere left to go",
                     "press less deep, or let the bar lengthen: ends = \"free\"");
  for (int round = 0; round < 40; ++round) {
    const double middle = (low + high) / 2;
    (missing(coarse, middle) < 0 ? low : high) = middle;
  }
  double before = low, rise = low + 1e-3 * meeting.old.thickness_mm, off_before = missing(fine, before), off = missing(fine, rise);
  for (int round = 0; round < 6 && std::abs(off) > 1e-10 * mean_before && off != off_before; ++round) {
    const double next = rise - off * (rise - before) / (off - off_before);
    before = rise, off_before = off;
    rise = std::clamp(next, 0.0, meeting.old.thickness_mm);
    off = missing(fine, rise);
  }
  return rise;
}

void need_metal(const Faces& f, double thickness, const Arguments& arguments, std::string_view key) {
  const double left = least_height(f);
  if (left < thickness / 20)
    arguments.refuse(key, left <= 0 ? fmt::format("this is deeper than the bar: the tools would meet ({:.2f} mm of bar)", thickness)
                                    : fmt::format("only {:.2f} mm of {:.2f} mm would be left between the tools", left, thickness),
                     fmt::format("stay below {:.2f} mm from each side that is worked", thickness * 0.45));
}

}  // namespace

void press_faces(Workpiece& w, const ToolPair& tools, bool held, const Arguments& arguments, std::string_view key) {
  w.lay_wander();
  const Bar old = w.bar();
  const Meeting meeting{old, tools};
  const double volume = old.volume_mm3;
  const double mean_before = heights(old).mean;
  double length = old.length_mm, rise = 0;
  if (held) rise = held_rise(meeting, length, mean_before, arguments);
  for (int round = 0; round < 8 && !held; ++round) {
    const Plan plan = plan_for(meeting, length, round < 7 ? 4 : 1);
    const Faces f = meeting.faces(plan, 0);
    need_metal(f, old.thickness_mm, arguments, key);
    length = old.length_mm * mean_before / mean_height(plan, f);
  }
  const Plan plan = plan_for(meeting, length, 1);
  const Faces f = meeting.faces(plan, rise);
  need_metal(f, old.thickness_mm, arguments, key);

  // Begin from an even bar: the one before the last pressing if its faces are as the die left them, else forge the
  // present faces flat in thought. Both are exact; the first keeps the list of maps short.
  Bar start = old;
  if (w.pressing().valid) {
    w.undo_pressing();
    start = w.bar();
  } else if (!old.even()) {
    w.bend(evened(old, mean_before));
    start = w.bar();
    start.thickness_mm = mean_before;
  }
  // Numbers of the table must agree with each other to rounding, so the even bar's length follows from the mean height.
  const double length_before = length * mean_height(plan, f) / start.thickness_mm;
  const MapPtr map = face_map(plan, f, start.thickness_mm, length_before);
  w.bend(map);
  w.set_faces(as_relief(plan, f.bottom), as_relief(plan, f.top));
  const auto [low, high] = std::pair{w.bar().bottom->lowest(), w.bar().top->highest()};
  w.set_size(length, old.width_mm, high - low);
  w.settle_volume(volume);
  w.row().reduction = old.thickness_mm / (old.thickness_mm - (mean_before - mean_height(plan, f)));
  if (start.even()) w.pressing() = {start, map, true};
}

void cut_faces(Workpiece& w, const ToolPair& tools, const Arguments& arguments, std::string_view key) {
  const Bar old = w.bar();
  const Meeting meeting{old, tools};
  const Plan plan = plan_for(meeting, old.length_mm, 1);
  const Faces f = meeting.faces(plan, 0);
  need_metal(f, old.thickness_mm, arguments, key);
  w.set_faces(as_relief(plan, f.bottom), as_relief(plan, f.top));
  w.settle_volume(old.volume_mm3 * mean_height(plan, f) / heights(old).mean);
}

void forge_flat(Workpiece& w, double thickness, const Arguments& arguments) {
  const Bar old = w.bar();
  const Heights h = heights(old);
  if (thickness > h.least * (1 + 1e-6))
    arguments.refuse("thickness", fmt::format("the thinnest section is {:.2f} mm; forged to {:.2f} mm the floors would stay hollow", h.least, thickness),
                     fmt::format("forge to {:.2f} mm or less", h.least));
  const Meeting untouched{old, ToolPair{}};
  Plan plan = plan_for(untouched, old.length_mm, 1);
  const Faces f = untouched.faces(plan, 0);
  const double mean = mean_height(plan, f), length = old.length_mm * mean / thickness;
  w.bend(std::make_shared<Reversed>(face_map(plan, f, thickness, length)));
  w.set_size(length, old.width_mm, thickness);
  w.set_faces(Relief::flat(-thickness / 2), Relief::flat(thickness / 2));
  w.row().reduction = mean / thickness;
}

MapPtr evened(const Bar& bar, double thickness) {
  const Meeting untouched{bar, ToolPair{}};
  const Plan plan = plan_for(untouched, bar.length_mm, 1);
  return std::make_shared<Reversed>(face_map(plan, untouched.faces(plan, 0), thickness, bar.length_mm));
}

Heights heights(const Bar& bar) {
  const Meeting meeting{bar, ToolPair{}};
  const Plan plan = plan_for(meeting, bar.length_mm, 1);
  const Faces f = meeting.faces(plan, 0);
  Heights h;
  h.least = least_height(f);
  h.mean = mean_height(plan, f);
  for (size_t i = 0; i < f.top.size(); ++i) h.most = std::max(h.most, f.top[i] - f.bottom[i]);
  return h;
}

}  // namespace etchcast
