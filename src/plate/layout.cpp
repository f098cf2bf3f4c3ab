// The plates: a blade's sides, a bar from one of its sides, the sections after every step.
#include "plate/layout.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "plate/captions.hpp"
#include "plate/depths.hpp"

namespace etchcast {

namespace {

constexpr double kAcross = 3000;  // default width of a picture, pixels
constexpr double kMost = 64e6;    // pixels; a larger picture is a slip of the pen
constexpr const char* kBetween = "  ·  ";
constexpr double kFinest = 120;  // default resolution at most, px/mm: small sections need no more

std::shared_ptr<const Bar> bar_at(const Forging& forging, const Moment& m) {
  return forging.billets[m.billet].bars[m.step];
}

Blade blade_of(const Recipe& recipe, const Bar& bar) {
  if (!recipe.blade)
    throw Error(Fault::use, "the recipe has no [blade]",
                "add one, or look at the bar with --view end, top, side or stages");
  Blade blade(*recipe.blade);
  const Fit fit = fit_blade(bar, blade, *recipe.blade);
  if (fit.problems.empty()) return blade;
  std::vector<Diagnostic> all;
  for (const std::string& p : fit.problems)
    all.push_back({recipe.blade->place,
                   "blade",
                   "the blade does not fit its bar: " + p,
                   "a larger bar, a smaller blade, or another place: x, y, z in [blade]",
                   {}});
  throw Error(Fault::recipe, all);
}

std::vector<Side> sides_of(const RenderOptions& options) {
  std::vector<Side> sides;
  if (options.right) sides.push_back(Side::right);
  if (options.left) sides.push_back(Side::left);
  return sides;
}

/// Panels one under another on white, 4 mm apart, with a rim of half a millimetre: no word, no shadow.
Layout bare(std::vector<Panel> panels, double px) {
  Layout l;
  const int rim = std::max(1, int(px / 2)), gap = std::max(2, int(4 * px));
  int columns = 0, y = rim;
  for (const Panel& p : panels) columns = std::max(columns, panel_columns(p, px));
  for (Panel& p : panels) {
    p.column = rim + (columns - panel_columns(p, px)) / 2, p.row = y;
    y += panel_rows(p, px) + gap;
  }
  settle_size(l, columns + 2 * rim, y - gap + rim, px);
  std::fill(l.image.rgb.begin(), l.image.rgb.end(), std::uint8_t(255));
  l.panels = std::move(panels);
  return l;
}

/// Panels one under another, with a label over each.
Layout stacked(std::vector<Panel> panels, const std::vector<std::vector<std::string>>& labels,
               const RenderOptions& options, const Recipe& recipe, const std::vector<std::string>& below) {
  double widest = 0;
  for (const Panel& p : panels) widest = std::max(widest, p.view->width());
  const double px = options.px_per_mm.value_or(std::min(kFinest, kAcross / (widest * 1.09)));
  if (options.bare) return bare(std::move(panels), px);
  Layout l;
  l.units = recipe.units;
  const double columns = std::max(widest * px * 1.09, 240.0);
  l.text_px = std::clamp(columns / 88, 11.0, 60.0);
  const double margin = columns * 0.045 / 1.09, gap = l.text_px * 1.1;
  const TextStyle label{l.text_px * 0.9, Weight::regular, Anchor::left, 0.12f};
  double y = write_heading(l, margin, columns, recipe.heading(), below);
  for (size_t i = 0; i < panels.size(); ++i) {
    Panel& p = panels[i];
    p.column = int(std::lround(margin + (columns - 2 * margin - panel_columns(p, px)) / 2));
    y = write_parts(l, margin, y + gap, columns - 2 * margin, labels[i], label);
    p.row = int(std::lround(y + l.text_px * 0.9));
    y = p.row + panel_rows(p, px) + l.text_px * 1.2;
  }
  settle_size(l, columns, y + l.text_px * 2.4 + margin, px);
  l.panels = std::move(panels);
  l.scale_x = margin, l.scale_y = l.image.rows - margin;
  return l;
}

Layout blade_plate(const Recipe& recipe, const Forging& forging, const RenderOptions& options, const Moment& m) {
  const auto bar = bar_at(forging, m);
  const auto blade = std::make_shared<const Blade>(blade_of(recipe, *bar));
  const Place3 place = place_in(*bar, *blade, *recipe.blade);
  std::vector<Panel> panels;
  std::vector<std::vector<std::string>> labels;
  for (const Side side : sides_of(options)) {
    Panel p;
    p.view = blade_view(*bar, blade, place, side, recipe.blade->edge_angle_rad);
    p.bar = bar;
    panels.push_back(std::move(p));
    labels.push_back({side == Side::right ? "right side" : "left side"});
  }
  return stacked(std::move(panels), labels, options, recipe, subtitle(recipe, forging, m));
}

Layout bar_plate(const Recipe& recipe, const Forging& forging, const RenderOptions& options, const Moment& m,
                 Looking looking) {
  const auto bar = bar_at(forging, m);
  Panel p;
  p.bar = bar;
  std::string label;
  if (looking == Looking::end) {
    p.view = end_view(*bar, bar->length_mm / 2);
    p.scratches = Scratches::across;
    label = "section at mid-length, seen from the tip end";
  } else if (looking == Looking::top) {
    p.view = top_view(*bar);
    if (!bar->even() || bar->section == Section::round) p.scratches = Scratches::none;
    label = "top face, heel to the left";
  } else {
    p.view = side_view(*bar);
    label = bar->section == Section::round ? "cut along the axis, heel to the left, top up"
                                           : "edge side, heel to the left, top face up";
  }
  const std::string sizes = "bar of " + sizes_text(recipe, {bar->length_mm, bar->width_mm, bar->thickness_mm});
  std::vector<Panel> panels;
  panels.push_back(std::move(p));
  std::vector<std::string> below = subtitle(recipe, forging, m);
  below.insert(below.begin(), moment_text(forging, m));
  return stacked(std::move(panels), {{label, sizes}}, options, recipe, below);
}

/// End-crops of every step, all to one scale, in rows whose sections stand on one line with their words below.
class Stages {
 public:
  Stages(const Recipe& recipe, const Forging& forging, const RenderOptions& options) : recipe_(recipe) {
    double widest = 0;
    for (const BilletStory& s : forging.billets)
      for (const auto& bar : s.bars) widest = std::max(widest, bar->width_mm);
    const double usual = kAcross * kCell / widest;
    px_ = options.px_per_mm.value_or(std::min(40.0, usual));
    columns_ = std::max(kAcross * px_ / usual, 320.0);
    l_.units = recipe.units;
    l_.text_px = std::clamp(columns_ / 110, 9.0, 40.0);
    margin_ = columns_ * 0.04;
    cell_ = std::max(widest * px_, l_.text_px * 13);
    y_ = write_heading(l_, margin_, columns_, recipe.heading(),
                       {"section of the bar after every step, seen from the tip end, all to one scale"}) +
         l_.text_px * 1.6;
    x_ = margin_;
  }

  void add(const BilletStory& story, size_t step, bool named) {
    if (x_ + cell_ > columns_ - margin_ + 1) close_row();
    Panel p;
    p.bar = story.bars[step];
    p.view = end_view(*p.bar, p.bar->length_mm / 2);
    p.scratches = Scratches::across;
    p.column = int(x_);
    const LedgerRow& row = story.rows[step];
    const std::string work = row.id.empty() ? row.step : row.step + " '" + row.id + "'";
    const std::string name =
        (named ? story.name + ": " : "") + (row.number == 0 ? "the stack" : fmt::format("{} {}", row.number, work));
    row_.push_back(
        {l_.panels.size(), name, sizes_text(recipe_, {p.bar->width_mm, p.bar->thickness_mm}), count_text(row)});
    l_.panels.push_back(std::move(p));
    x_ += cell_ + l_.text_px * 2.2;
  }

  Layout finish() {
    close_row();
    settle_size(l_, columns_, y_ + l_.text_px * 2 + margin_, px_);
    l_.scale_x = margin_, l_.scale_y = l_.image.rows - margin_;
    return std::move(l_);
  }

 private:
  static constexpr double kCell = 0.155;  ///< of the picture's width

  struct Member {
    size_t panel;
    std::string name, sizes, layers;
  };

  void close_row() {
    if (row_.empty()) return;
    int highest = 0;
    for (const Member& m : row_) highest = std::max(highest, panel_rows(l_.panels[m.panel], px_));
    const double foot = y_ + highest, t = l_.text_px;
    const TextStyle bold{t, Weight::bold, Anchor::left, 0.05f}, plain{t * 0.92, Weight::regular, Anchor::left, 0.12f};
    double end = foot;
    for (const Member& m : row_) {
      Panel& p = l_.panels[m.panel];
      p.row = int(foot) - panel_rows(p, px_);
      double y = write_block(l_, p.column, foot + t * 1.6, cell_, m.name, bold);
      y = write_block(l_, p.column, y + t * 1.2, cell_, m.sizes, plain);
      end = std::max(end, write_block(l_, p.column, y + t * 1.2, cell_, m.layers, plain));
    }
    y_ = end + t * 2.4;
    row_.clear();
    x_ = margin_;
  }

  const Recipe& recipe_;
  Layout l_;
  double px_, columns_, margin_, cell_, x_, y_;
  std::vector<Member> row_;
};

Layout stages_plate(const Recipe& recipe, const Forging& forging, const RenderOptions& options) {
  Stages stages(recipe, forging, options);
  for (const BilletStory& story : forging.billets)
    for (size_t k = 0; k < story.bars.size(); ++k) stages.add(story, k, forging.billets.size() > 1);
  return stages.finish();
}

}  // namespace

void settle_size(Layout& l, double columns, double rows, double px_per_mm) {
  if (columns * rows > kMost || columns > 65000 || rows > 65000)
    throw Error(Fault::use,
                fmt::format("a picture of {:.0f} x {:.0f} pixels is too large; 64 million is the limit", columns, rows),
                "ask for fewer px/mm");
  l.image.columns = std::max(16, int(columns)), l.image.rows = std::max(16, int(rows));
  l.image.px_per_mm = px_per_mm;
  l.image.rgb.resize(size_t(l.image.columns) * l.image.rows * 3);
}

double write_block(Layout& l, double x, double y, double width, const std::string& text, const TextStyle& style) {
  double baseline = y;
  for (const std::string& line : lines_within(text, style, width)) {
    l.captions.push_back({x, baseline, line, style});
    y = baseline, baseline += style.size_px * 1.25;
  }
  return y;
}

double write_parts(Layout& l, double x, double y, double width, const std::vector<std::string>& parts,
                   const TextStyle& style) {
  double baseline = y;
  for (size_t i = 0; i < parts.size();) {
    std::string line = parts[i++];
    while (i < parts.size() && text_width(line + kBetween + parts[i], style) <= width) line += kBetween + parts[i++];
    y = write_block(l, x, baseline, width, line, style), baseline = y + style.size_px * 1.25;
  }
  return y;
}

double write_heading(Layout& l, double margin, double columns, const std::string& title,
                     const std::vector<std::string>& below) {
  const double t = l.text_px, room = columns - 2 * margin;
  double y = write_block(l, margin, margin + t * 0.75, room, title, {t * 1.45, Weight::bold, Anchor::left, 0.03f});
  y = write_parts(l, margin, y + t * 1.5, room, below, {t, Weight::regular, Anchor::left, 0.10f});
  return y + t * 1.15;
}

Layout lay_out(const Recipe& recipe, const Forging& forging, const RenderOptions& options) try {
  if (options.view == Looking::stages) return stages_plate(recipe, forging, options);
  Moment m = find_moment(forging, options.at);
  // Asked for an earlier step, a smith means the end-crop he would etch then.
  const bool last = m.billet + 1 == forging.billets.size() && m.step + 1 == forging.billets[m.billet].bars.size();
  const Looking looking = options.view.value_or(!last ? Looking::end : recipe.blade ? Looking::blade : Looking::top);
  if (looking == Looking::blade) {
    if (options.at.empty() && recipe.blade && !recipe.blade->from.empty())
      for (size_t b = 0; b < forging.billets.size(); ++b)
        if (forging.billets[b].name == recipe.blade->from) m = {b, forging.billets[b].bars.size() - 1};
    return blade_plate(recipe, forging, options, m);
  }
  if (looking == Looking::depths) return depths_plate(recipe, forging, options, m);
  return bar_plate(recipe, forging, options, m, looking);
} catch (const Error& error) {
  throw with_lines(error, recipe);
}

std::vector<std::string> letters_without_shape(const Recipe& recipe, const Forging& forging,
                                               const RenderOptions& options) {
  std::string words;
  for (const Caption& caption : lay_out(recipe, forging, options).captions) words += caption.text;
  return letters_without_shape(words);
}

}  // namespace etchcast
