// Explicit steps in time: the flow has no memory, so each starts from the faces alone.
#include "metal/march.hpp"

#include <algorithm>
#include <cmath>

#include "etchcast/error.hpp"
#include "metal/contact.hpp"

namespace etchcast::metal {

namespace {

std::function<double(double)> or_level(const Problem& p, const std::function<double(double)>& face, double level) {
  if (!face) return [level](double) { return level; };
  if (p.mirrored) return face;
  return [face](double xi) { return face(xi - 2 * std::floor((xi + 1) / 2)); };
}

constexpr int kLooks = 400;  // places at which faces and dies are compared

double look(const Problem& p, double i) { return p.start() + p.extent() * i / kLooks; }

/// Highest (sign 1) or lowest (-1) place of a face.
double extreme(const Problem& p, const std::function<double(double)>& face, int sign) {
  double most = -1e9;
  for (int i = 0; i <= kLooks; ++i) most = std::max(most, sign * face(look(p, i)));
  return sign * most;
}

/// Opposite a form, which pulls where it must, an anvil holds the metal all along too.
Tool beside(const Tool& tool, const Tool& other) {
  Tool own = tool;
  if (tool.kind == Tool::Kind::flat && other.kind == Tool::Kind::form) {
    own.kind = Tool::Kind::form;
    own.rise = [](double) { return 0.0; };
  }
  return own;
}

struct Rates {
  std::vector<double> x, z;
  double half = 0;
};

class March {
 public:
  March(const Problem& p, const Fineness& f, double half_before)
      : problem_(p),
        fineness_(f),
        before_{or_level(p, p.bottom_before, 0), or_level(p, p.top_before, 1)},
        stroke_(std::max({p.bottom.depth, p.top.depth, 1e-6})),
        bottom_(beside(p.bottom, p.top), -1, before_[0], extreme(p, before_[0], -1), 1 / stroke_),
        top_(beside(p.top, p.bottom), 1, before_[1], extreme(p, before_[1], 1), 1 / stroke_),
        creeps_{creep_of(f.along), creep_of(f.along - (p.mirrored ? 1 : 2))},
        half_before_(half_before),
        half_(half_before) {}

  Marched run() {
    markers_ = laid_markers(problem_, fineness_, half_, before_[0], before_[1]);
    fit_forms();
    refuse_too_deep();
    const double touch = first_touch(), step = (1 - touch) * stroke_ / fineness_.steps;
    const bool forms = problem_.bottom.kind == Tool::Kind::form || problem_.top.kind == Tool::Kind::form;
    for (int i = 0; i < fineness_.steps; ++i) {
      creep_ = &creeps_[forms || problem_.round ? 0 : i % 2];
      const double from = touch + (1 - touch) * i / fineness_.steps,
                   to = touch + (1 - touch) * (i + 1) / fineness_.steps;
      forms ? step_form(from, to, step) : step_contact(from, to, step);
      keep_out(to);
      space_out(markers_);
      watch_volume();
    }
    creep_ = &creeps_[0];
    return result();
  }

 private:
  Markers markers_;
  const Problem& problem_;
  const Fineness& fineness_;
  std::function<double(double)> before_[2];
  double stroke_;
  Die bottom_, top_;
  /// Bands of shear run from where metal presses on a die, in places that stand still and leap with the cells; the sum of
  /// all steps shows them as ripples two cells long, however short the steps. So steps take turns on two meshes, one of a
  /// cell less. Under forms nothing leaps; about an axis, where cells are even in r^2, it did no good.
  Creep creeps_[2];
  Creep* creep_ = creeps_;
  double half_before_, half_;

  Creep creep_of(int along) const {
    return Creep(along, fineness_.through, problem_.mirrored, problem_.sensitivity, problem_.held, problem_.round);
  }

  /// Half repeat that forms will have: the volume's, where both faces are known all along.
  void fit_forms() {
    double after = half_;
    for (int round = 0; round < 60; ++round) {
      bottom_.set_half_after(after), top_.set_half_after(after);
      if (problem_.held) return;
      double sum = 0;
      for (int i = 0; i < kLooks; ++i) {
        const double x = look(problem_, i + 0.5) * after;
        sum += top_.height(x, after, 1) - bottom_.height(x, after, 1);
      }
      if (sum <= 0 || problem_.top.kind == Tool::Kind::ridge || problem_.bottom.kind == Tool::Kind::ridge) return;
      after = half_before_ * kLooks / sum;
    }
  }

  void refuse_too_deep() const {
    double least = 1e9;
    for (int i = 0; i <= kLooks; ++i) {
      const double x = look(problem_, i) * half_;
      least = std::min(least, top_.height(x, half_, 1) - bottom_.height(x, half_, 1));
    }
    if (least <= 0) throw Error(Fault::recipe, "this is deeper than the bar: the dies would meet", "press less deep");
    if (least < 0.05)
      throw Error(Fault::recipe, "less than a twentieth of the thickness would be left between the dies",
                  "press less deep");
  }

  /// Share of the stroke at which the first die that moves touches: crests may stand over hollows.
  double first_touch() const {
    if (problem_.top.kind == Tool::Kind::form || problem_.bottom.kind == Tool::Kind::form) return 0;
    double low = 0, high = 1;
    for (int round = 0; round < 40; ++round) {
      const double travel = (low + high) / 2;
      double least = 1e9;
      for (int i = 0; i <= kLooks; ++i) {
        const double xi = look(problem_, i);
        for (const Die* die : {&bottom_, &top_})
          if (die->tool().depth > 0)
            least =
                std::min(least, die->sign() * (die->height(xi * half_, half_, travel) - before_[die->sign() > 0](xi)));
      }
      (least > 0 ? low : high) = travel;
    }
    return low;
  }

  Shape shape(const Markers& m, double half) const {
    const int cells = creep_->mesh().x.cells();
    std::vector<double> heights(static_cast<size_t>(cells));
    Shape shape;
    shape.half = half, shape.round = problem_.round;
    for (const int line : {0, m.lines}) {
      const LineHeights face(m, line);
      for (int j = 0; j < cells; ++j) heights[size_t(j)] = face(creep_->mesh().x.place(j, 0.5) * half);
      (line == 0 ? shape.bottom : shape.top) = Face(heights, problem_.mirrored, problem_.round);
    }
    return shape;
  }

  struct Allowed {
    std::vector<double> bottom, top;
  };
  Allowed open(const Shape& s, double travel) const {
    return {gaps(creep_->mesh(), s, bottom_, travel), gaps(creep_->mesh(), s, top_, travel)};
  }

  Rates rates(const Markers& m, const Shape& s, double travel, const Allowed& allowed, double step) {
    creep_->set_shape(s);
    std::vector<Row> rows;
    add_rows(creep_->mesh(), s, bottom_, travel, allowed.bottom, step, problem_.friction, rows);
    add_rows(creep_->mesh(), s, top_, travel, allowed.top, step, problem_.friction, rows);
    creep_->solve(rows);
    Rates r;
    r.half = creep_->stretch();
    r.x.resize(m.x.size()), r.z.resize(m.x.size());
    for (size_t i = 0; i < m.x.size(); ++i) {
      const int line = int(i) / (m.columns + 1);
      const auto v = line == 0         ? creep_->at_face(m.x[i], 0)
                     : line == m.lines ? creep_->at_face(m.x[i], 1)
                                       : creep_->velocity(m.x[i], m.z[i]);
      r.x[i] = v.u, r.z[i] = v.w;
    }
    return r;
  }

  static Markers moved(const Markers& m, const Rates& r, double step) {
    Markers to = m;
    for (size_t i = 0; i < m.x.size(); ++i) to.x[i] += step * r.x[i], to.z[i] += step * r.z[i];
    return to;
  }

  /// Heun's step. The faces may approach the dies as far as the gaps allow at its end.
  void step_contact(double from, double to, double step) {
    const Shape now = shape(markers_, half_);
    const Allowed open_now = open(now, from);
    const Rates first = rates(markers_, now, from, open_now, step);
    const Markers guess = moved(markers_, first, step);
    const Shape next = shape(guess, half_ + step * first.half);
    Allowed open_next = open(next, to);
    // The mean of both velocities must end at the die: where the first used up a gap, the second may use as much again.
    for (size_t j = 0; j < open_next.top.size(); ++j) {
      open_next.bottom[j] += open_now.bottom[j];
      open_next.top[j] += open_now.top[j];
    }
    const Rates second = rates(guess, next, to, open_next, step);
    markers_ = moved(moved(markers_, first, step / 2), second, step / 2);
    half_ += step / 2 * (first.half + second.half);
  }

  /// Runge and Kutta's step of fourth order, for faces known beforehand.
  void step_form(double from, double to, double step) {
    const Markers start = markers_;
    const double half = half_;
    const double at[4] = {0, 0.5, 0.5, 1}, weight[4] = {1.0 / 6, 1.0 / 3, 1.0 / 3, 1.0 / 6};
    Rates last;
    for (int stage = 0; stage < 4; ++stage) {
      const double part = at[stage] * step, travel = from + at[stage] * (to - from);
      const Markers guess = stage == 0 ? start : moved(start, last, part);
      const Shape s = shape(guess, stage == 0 ? half : half + part * last.half);
      last = rates(guess, s, travel, open(s, travel), step);
      markers_ = moved(markers_, last, weight[stage] * step);
      half_ += weight[stage] * step * last.half;
    }
  }

  /// About an axis the first cells hold so little that a face may lie off a stud's middle though it presses all round: put
  /// it back.
  void close_middle(const Die& die, double travel) {
    const int line = die.sign() > 0 ? markers_.lines : 0;
    bool pressed = false;
    for (int i = 8; i >= 0; --i) {
      const int n = markers_.at(i, line);
      const double height = die.height(markers_.x[n], half_, travel), gap = die.sign() * (height - markers_.z[n]);
      if (pressed) markers_.z[n] = height;
      pressed = pressed || gap < 1e-3;
    }
  }

  /// Between the middles of cells a face may come to lie a little inside its die: put it back.
  void keep_out(double travel) {
    for (const Die* die : {&bottom_, &top_})
      if (problem_.round && die->tool().kind == Tool::Kind::ridge) close_middle(*die, travel);
    for (const Die* die : {&bottom_, &top_}) {
      const int line = die->sign() > 0 ? markers_.lines : 0;
      for (int i = 0; i <= markers_.columns; ++i) {
        const int n = markers_.at(i, line);
        if (problem_.mirrored) markers_.x[n] = i == 0 ? 0 : i == markers_.columns ? half_ : markers_.x[n];
        const double height = die->height(markers_.x[n], half_, travel);
        if (die->tool().kind == Tool::Kind::form || die->sign() * (markers_.z[n] - height) > 0) markers_.z[n] = height;
      }
    }
    for (int k = 0; k <= markers_.lines; ++k) {
      const int first = markers_.at(0, k), last = markers_.at(markers_.columns, k);
      if (problem_.mirrored)
        markers_.x[first] = 0, markers_.x[last] = half_;
      else
        markers_.x[last] = markers_.x[first] + 2 * half_, markers_.z[last] = markers_.z[first];
    }
  }

  void watch_volume() const {
    double area = 0;
    for (const int line : {0, markers_.lines})
      for (int i = 0; i < markers_.columns; ++i) {
        const int n = markers_.at(i, line);
        const double piece = 0.5 * (markers_.z[n] + markers_.z[n + 1]) * (markers_.x[n + 1] - markers_.x[n]);
        if (!(markers_.x[n + 1] > markers_.x[n]))
          throw Error(Fault::recipe, "metal would fold over itself beside the die's ridge",
                      "use a ridge with a flatter flank or a rounder nose");
        area += line == 0 ? -piece : piece;
      }
    if (!(std::abs(area / (half_before_ * problem_.extent()) - 1) < 0.02)) {
      if (problem_.held)
        throw Error(Fault::recipe, "the grooves of the die fill completely, and metal has nowhere left to go",
                    "press less deep, or let the bar lengthen: ends = \"free\"");
      throw NotFound("volume would be lost");
    }
  }

  Marched result() const {
    Marched r;
    r.markers = markers_;
    r.half_before = half_before_, r.half_after = half_;
    const Allowed open_now = open(shape(markers_, half_), 1);
    const auto share = [&](const std::vector<double>& gap) {
      return double(std::count_if(gap.begin(), gap.end(), [](double g) { return g < 1e-3; })) / double(gap.size());
    };
    r.touch_bottom = share(open_now.bottom), r.touch_top = share(open_now.top);
    r.iterations = creeps_[0].iterations() + creeps_[1].iterations();
    return r;
  }
};

}  // namespace

Marched march(const Problem& problem, const Fineness& fineness, double half_before) {
  return March(problem, fineness, half_before).run();
}

}  // namespace etchcast::metal
