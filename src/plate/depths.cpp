// The bar ground down bit by bit, on one sheet.
#include "plate/depths.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "base/measures.hpp"
#include "forging/layers.hpp"
#include "plate/captions.hpp"
#include "workpiece/relief.hpp"

namespace etchcast {
namespace {

constexpr double kLong = 90, kHigh = 6, kGap = 1.4;  // mm: a strip, and the room to the next
constexpr int kMostStrips = 11;
constexpr double kFewLines = 4;  // in a rung: fewer hardly read as one (estimate, as in check)

/// A part of the bar about a place, as long as a strip.
struct Stretch {
  double from, to;
};

Stretch stretch_about(const Bar& bar, double x) {
  const double length = std::min(kLong, bar.length_mm), from = std::clamp(x - length / 2, 0.0, bar.length_mm - length);
  return {from, from + length};
}

double step_for(double thickness, System units) {
  static constexpr double kMetric[] = {0.05, 0.1, 0.2, 0.25, 0.5, 1, 2, 5},
                          kInch[] = {0.002 * 25.4, 0.005 * 25.4, 0.01 * 25.4, 0.02 * 25.4,
                                     0.05 * 25.4,  0.1 * 25.4,   0.2 * 25.4};
  const auto fits = [&](double step) { return thickness / step <= kMostStrips - 1; };
  const std::span<const double> steps =
      units == System::inch ? std::span<const double>(kInch) : std::span<const double>(kMetric);
  const auto found = std::find_if(steps.begin(), steps.end(), fits);
  return found == steps.end() ? steps.back() : *found;
}

double lines_at(const Bar& bar, double z, const Stretch& part) {
  constexpr int kSamples = 8192;
  double runs = 0;
  for (const double y : {-2.0, 0.0, 2.0}) {
    const double at = std::clamp(y, -bar.width_mm / 4, bar.width_mm / 4);
    runs += double(runs_along(bar, {part.from, at, z}, {part.to, at, z}, kSamples).size()) - 1;
  }
  return runs / 3 / 2 / (part.to - part.from);
}

/// Where the blade lies in the bar of the moment, as depths below the highest place of its top.
struct BladeMark {
  const char* where;
  double off_mm;
};

std::vector<BladeMark> blade_marks(const Recipe& recipe, const Forging& forging, const Moment& m, double* middle) {
  if (!recipe.blade || forging.story(recipe.blade->from).name != forging.billets[m.billet].name) return {};
  const Bar &last = *forging.billets[m.billet].bars.back(), &then = *forging.billets[m.billet].bars[m.step];
  const Blade blade(*recipe.blade);
  if (!fit_blade(last, blade, *recipe.blade).problems.empty()) return {};
  const double x = blade.length() / 2, low = blade.edge_y(x), high = blade.spine_y(x);
  const Side up = recipe.blade->flip ? Side::left : Side::right;
  const auto points = bar_from_blade(last, blade, *recipe.blade, up, {{x, low}, {x, (low + high) / 2}, {x, high}});
  static constexpr const char* kWhere[] = {"edge", "half way up", "spine"};
  std::vector<BladeMark> marks;
  for (size_t i = 0; i < points.size(); ++i) {
    const auto there = traced_back(last, then, points[i]);
    if (!there) return {};
    marks.push_back({kWhere[i], then.top->highest() - there->z});
    *middle = there->x;
  }
  return marks;
}

/// How far apart the step at that moment has set its tools, along the bar; nothing for steps that have no spacing.
std::optional<double> spacing_at(const Recipe& recipe, const Moment& m) {
  if (m.step == 0) return {};
  const auto& given = recipe.billets[m.billet].steps[m.step - 1].given;
  const auto spacing = given.find("spacing"), angle = given.find("angle");
  if (spacing == given.end()) return {};
  const double along = angle == given.end() ? 1 : std::cos(angle->second.number);
  return along > 0.3 ? std::optional(spacing->second.number / along) : std::nullopt;
}

double round_up(double value) {
  const double ten = std::pow(10, std::floor(std::log10(std::max(1e-9, value))));
  for (const double k : {1.0, 2.0, 5.0, 10.0})
    if (value <= k * ten) return k * ten;
  return 10 * ten;
}

/// The sheet while it is laid out; pixels.
class Sheet {
 public:
  Sheet(const Recipe& recipe, const Forging& forging, const RenderOptions& options, const Moment& m)
      : recipe_(recipe),
        bar_(forging.billets[m.billet].bars[m.step]),
        say_(recipe.units),
        spacing_(spacing_at(recipe, m)) {
    double middle = bar_->length_mm / 2;
    marks_ = blade_marks(recipe, forging, m, &middle);
    part_ = stretch_about(*bar_, middle);
    const double half = bar_->top->highest() - (bar_->top->lowest() + bar_->bottom->highest()) / 2;
    depths_ = depths_of(*bar_, part_.from, part_.to, step_for(half, recipe.units), false);
    px_ = options.px_per_mm.value_or(20);
    const double strips = (part_.to - part_.from) * px_;
    l_.units = recipe.units;
    l_.text_px = std::clamp(strips / 66, 9.0, 60.0);
    margin_ = l_.text_px * 3;
    left_ = margin_ + l_.text_px * 10, plot_ = left_ + strips + l_.text_px * 2, right_ = plot_ + l_.text_px * 20;
    columns_ = right_ + l_.text_px * 8 + margin_;
    const std::string what = fmt::format("the bar ground down from its top, bit by bit; each strip is {} long",
                                         say_.length(part_.to - part_.from));
    first_ = write_heading(l_, margin_, columns_, recipe.heading(), {moment_text(forging, m), what}) + l_.text_px * 3.6;
  }

  Layout finish() {
    for (size_t i = 0; i < depths_.size(); ++i) add_strip(i);
    add_axis();
    add_curve();
    add_marks();
    const double foot = y_at(depths_.back().off_mm) + kHigh * px_ / 2;
    settle_size(l_, columns_, foot + l_.text_px * 4 + margin_, px_);
    l_.scale_x = margin_, l_.scale_y = l_.image.rows - margin_;
    return std::move(l_);
  }

 private:
  double y_at(double off_mm) const {
    const double step = depths_.size() > 1 ? depths_[1].off_mm - depths_[0].off_mm : 1;
    return first_ + (off_mm / step * (kHigh + kGap) + kHigh / 2) * px_;
  }
  double figure_of(const Depth& d) const { return d.lines_per_mm * spacing_.value_or(10); }
  double x_at(double figure) const { return plot_ + (right_ - plot_) * std::min(1.0, figure / most_); }

  void add_strip(size_t i) {
    Panel p;
    p.bar = bar_;
    const double half = std::min(kHigh, bar_->width_mm) / 2;
    p.view = plane_view(*bar_, bar_->top->highest() - depths_[i].off_mm, {part_.from, part_.to}, {-half, half});
    p.column = int(std::lround(left_)), p.row = int(std::lround(y_at(depths_[i].off_mm) - half * px_));
    l_.panels.push_back(std::move(p));
    const std::string off = depths_[i].off_mm < 1e-6 ? "as it is" : say_.length(depths_[i].off_mm);
    write_block(l_, margin_, y_at(depths_[i].off_mm) + l_.text_px * 0.3, left_ - margin_ - l_.text_px, off,
                {l_.text_px * 0.9, Weight::regular, Anchor::left, 0.08f});
  }

  void add_axis() {
    double highest = spacing_ ? 2 * kFewLines : 1;
    for (const Depth& d : depths_) highest = std::max(highest, figure_of(d));
    most_ = round_up(highest);
    const double t = l_.text_px, top = first_ - t * 0.6, foot = y_at(depths_.back().off_mm) + kHigh * px_ / 2;
    for (int i = 0; i <= 4; ++i) {
      const double x = x_at(most_ * i / 4);
      l_.strokes.push_back({x, top, x, foot, t / 16, i == 0 ? 0.1f : 0.35f});
      l_.captions.push_back(
          {x, top - t * 0.4, fmt::format("{:g}", most_ * i / 4), {t * 0.8, Weight::regular, Anchor::centre, 0.12f}});
    }
    const std::string what = spacing_ ? fmt::format("dark lines in a rung ({} apart)", say_.length(*spacing_))
                                      : "dark lines in 10 mm (0.39 in)";
    l_.captions.push_back({plot_, top - t * 1.7, what, {t * 0.9, Weight::regular, Anchor::left, 0.08f}});
    l_.captions.push_back({margin_, top - t * 1.7, "ground off", {t * 0.9, Weight::regular, Anchor::left, 0.08f}});
    if (!spacing_) return;
    const double few = x_at(kFewLines);
    l_.strokes.push_back({few, top, few, foot, t / 10, 0.16f, t * 0.5});
    l_.captions.push_back({few,
                           foot + t * 1.1,
                           fmt::format("under {:g}, hardly a rung", kFewLines),
                           {t * 0.8, Weight::regular, Anchor::left, 0.12f}});
  }

  void add_curve() {
    // Finer than the strips, so that a bend between two of them is seen.
    const double step = (depths_[1].off_mm - depths_[0].off_mm) / 4;
    const auto fine = depths_of(*bar_, part_.from, part_.to, step, false);
    for (size_t i = 1; i < fine.size(); ++i) {
      if (!fine[i - 1].sound || fine[i].off_mm > depths_.back().off_mm + 1e-9) continue;
      l_.strokes.push_back({x_at(figure_of(fine[i - 1])), y_at(fine[i - 1].off_mm), x_at(figure_of(fine[i])),
                            y_at(fine[i].off_mm), l_.text_px / 6, 0.02f});
    }
  }

  void add_marks() {
    const double t = l_.text_px;
    std::vector<BladeMark> sorted = marks_;
    std::sort(sorted.begin(), sorted.end(), [](const BladeMark& a, const BladeMark& b) { return a.off_mm < b.off_mm; });
    double free = -1e9;
    for (const BladeMark& mark : sorted) {
      if (mark.off_mm < 0 || mark.off_mm > depths_.back().off_mm * 1.02) continue;
      const double y = y_at(mark.off_mm);
      // Beside the strips, not over them: on dark steel it could not be seen.
      l_.strokes.push_back({left_ - t * 0.9, y, left_ - t * 0.2, y, t / 9, 0.02f});
      l_.strokes.push_back({left_ + (part_.to - part_.from) * px_ + t * 0.4, y, right_, y, t / 9, 0.02f, t * 0.35});
      const double baseline = std::max(y + t * 0.28, free + t);
      l_.captions.push_back({right_ + t * 0.5,
                             baseline,
                             fmt::format("blade: {}", mark.where),
                             {t * 0.8, Weight::bold, Anchor::left, 0.03f}});
      free = baseline;
    }
  }

  const Recipe& recipe_;
  std::shared_ptr<const Bar> bar_;
  Measures say_;
  std::optional<double> spacing_;
  std::vector<BladeMark> marks_;
  Stretch part_{};
  std::vector<Depth> depths_;
  Layout l_;
  double px_, margin_, left_, plot_, right_, columns_, first_, most_ = 1;
};

}  // namespace

std::vector<Depth> depths_of(const Bar& bar, double from_mm, double to_mm, double step_mm, bool through) {
  const double top = bar.top->highest(), floor = bar.top->lowest(), other = bar.bottom->highest();
  const double end = through ? other : (floor + other) / 2;
  std::vector<Depth> depths;
  for (int i = 0; top - i * step_mm > end - step_mm + 1e-9; ++i) {
    Depth d{i * step_mm, top - i * step_mm <= floor + 1e-9, 0};
    // A hair inside the face: the very face of a bar is where one layer ends.
    if (d.sound) d.lines_per_mm = lines_at(bar, std::min(top - d.off_mm, floor - 1e-3), {from_mm, to_mm});
    depths.push_back(d);
  }
  return depths;
}

Layout depths_plate(const Recipe& recipe, const Forging& forging, const RenderOptions& options, const Moment& m) {
  const Bar& bar = *forging.billets[m.billet].bars[m.step];
  if (bar.section == Section::round)
    throw Error(Fault::use, "a round bar has no face to grind down from",
                "choose a step after which the bar is square or flat");
  return Sheet(recipe, forging, options, m).finish();
}

}  // namespace etchcast
