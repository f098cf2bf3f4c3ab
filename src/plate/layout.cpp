// The plates: a blade's sides, a bar from one of its sides, the sections after every step.
#include "plate/layout.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "base/units.hpp"
#include "workpiece/relief.hpp"

namespace etchcast {

namespace {

constexpr double kAcross = 3000;   // default width of a picture, pixels
constexpr double kMost = 64e6;     // pixels; a larger picture is a slip of the pen
constexpr double kFinest = 120;    // default resolution at most, px/mm: small sections need no more

std::shared_ptr<const Bar> bar_at(const Forging& forging, const Moment& m) { return forging.billets[m.billet].bars[m.step]; }

std::string mm_text(double mm) { return fmt::format("{:.1f} mm", mm); }

/// Whether a step up to then was forecast by less than the model.
bool rough(const Forging& forging, const Moment& m) {
  for (size_t i = 0; i <= m.billet; ++i)
    for (size_t step = 0; step < forging.billets[i].rows.size() && (i < m.billet || step <= m.step); ++step)
      if (!forging.billets[i].rows[step].rough.empty()) return true;
  return false;
}

/// What the picture shows, under the title.
std::string subtitle(const Recipe& recipe, const Forging& forging, const Moment& m) {
  const LedgerRow& row = forging.billets[m.billet].rows[m.step];
  std::string steels;
  for (const Steel& s : recipe.steels) steels += (steels.empty() ? "" : " + ") + (s.grade.empty() ? s.name : s.grade);
  const std::string layers = row.layers_least == row.layers_most ? fmt::format("{}", row.layers_most) : fmt::format("{}–{}", row.layers_least, row.layers_most);
  const double wander = recipe.hand.even ? 0 : recipe.hand.wander_mm;
  return fmt::format("{}  ·  {} layers in the bar  ·  etch {:.0f} µm  ·  {}{}", steels, layers, recipe.etch.depth_mm * 1000,
                     wander > 0 ? fmt::format("hand wanders {:.2f} mm", wander) : std::string("perfectly even hand"),
                     rough(forging, m) ? "  ·  rough forecast" : "");
}

void settle_size(Layout& l, double columns, double rows, double px_per_mm) {
  if (columns * rows > kMost || columns > 65000 || rows > 65000)
    throw Error(Fault::use, fmt::format("a picture of {:.0f} x {:.0f} pixels is too large; 64 million is the limit", columns, rows), "ask for fewer px/mm");
  l.image.columns = std::max(16, int(columns)), l.image.rows = std::max(16, int(rows));
  l.image.px_per_mm = px_per_mm;
  l.image.rgb.resize(size_t(l.image.columns) * l.image.rows * 3);
}

void add_heading(Layout& l, double margin, const std::string& title, const std::string& below) {
  const double t = l.text_px;
  const auto fitting = [&](const std::string& text, TextStyle style) {
    const double room = l.image.columns - 2 * margin, width = text_width(text, style);
    if (width > room) style.size_px *= room / width;
    return style;
  };
  l.captions.push_back({margin, margin + t * 0.75, title, fitting(title, {t * 1.45, Weight::bold, Anchor::left, 0.03f})});
  l.captions.push_back({margin, margin + t * 2.25, below, fitting(below, {t, Weight::regular, Anchor::left, 0.10f})});
}

Blade blade_of(const Recipe& recipe, const Bar& bar) {
  if (!recipe.blade) throw Error(Fault::use, "the recipe has no [blade]", "add one, or look at the bar with --view end, top, side or stages");
  Blade blade(*recipe.blade);
  const Fit fit = fit_blade(bar, blade, *recipe.blade);
  if (fit.problems.empty()) return blade;
  std::vector<Diagnostic> all;
  for (const std::string& p : fit.problems)
    all.push_back({recipe.blade->place, "blade", "the blade does not fit its bar: " + p, "a larger bar, a smaller blade, or another place: x, y, z in [blade]", {}});
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
Layout stacked(std::vector<Panel> panels, const std::vector<std::string>& labels, const RenderOptions& options, const std::string& title, const std::string& below) {
  double widest = 0;
  for (const Panel& p : panels) widest = std::max(widest, p.view->width());
  const double px = options.px_per_mm.value_or(std::min(kFinest, kAcross / (widest * 1.09)));
  if (options.bare) return bare(std::move(panels), px);
  Layout l;
  const double columns = std::max(widest * px * 1.09, 240.0);
  l.text_px = std::clamp(columns / 88, 11.0, 60.0);
  const double margin = columns * 0.045 / 1.09, gap = l.text_px * 2.0;
  double y = margin + l.text_px * 3.4;
  for (Panel& p : panels) {
    p.column = int(std::lround(margin + (columns - 2 * margin - panel_columns(p, px)) / 2));
    y += gap;
    p.row = int(std::lround(y));
    y += panel_rows(p, px) + l.text_px * 1.2;
  }
  settle_size(l, columns, y + l.text_px * 2.4 + margin, px);
  for (size_t i = 0; i < panels.size(); ++i)
    l.captions.push_back({margin, panels[i].row - l.text_px * 0.9, labels[i], {l.text_px * 0.9, Weight::regular, Anchor::left, 0.12f}});
  l.panels = std::move(panels);
  add_heading(l, margin, title, below);
  l.scale_x = margin, l.scale_y = l.image.rows - margin;
  return l;
}

Layout blade_plate(const Recipe& recipe, const Forging& forging, const RenderOptions& options, const Moment& m) {
  const auto bar = bar_at(forging, m);
  const auto blade = std::make_shared<const Blade>(blade_of(recipe, *bar));
  const Place3 place = place_in(*bar, *blade, *recipe.blade);
  std::vector<Panel> panels;
  std::vector<std::string> labels;
  for (const Side side : sides_of(options)) {
    Panel p;
    p.view = blade_view(*bar, blade, place, side, recipe.blade->edge_angle_rad);
    p.bar = bar;
    panels.push_back(std::move(p));
    labels.push_back(side == Side::right ? "right side" : "left side");
  }
  return stacked(std::move(panels), labels, options, recipe.title, subtitle(recipe, forging, m));
}

std::string moment_text(const Forging& forging, const Moment& m) {
  const LedgerRow& row = forging.billets[m.billet].rows[m.step];
  return row.number == 0 ? fmt::format("{}: the stack", row.billet)
                         : fmt::format("{}: after step {}, {}{}", row.billet, row.number, row.step, row.id.empty() ? "" : " '" + row.id + "'");
}

Layout bar_plate(const Recipe& recipe, const Forging& forging, const RenderOptions& options, const Moment& m, Looking looking) {
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
    label = "top face, heel to the left";
  } else {
    p.view = side_view(*bar);
    label = "edge side, heel to the left, top face up";
  }
  label += fmt::format("  ·  {} × {} × {}", mm_text(bar->length_mm), mm_text(bar->width_mm), mm_text(bar->thickness_mm));
  std::vector<Panel> panels;
  panels.push_back(std::move(p));
  return stacked(std::move(panels), {label}, options, recipe.title, moment_text(forging, m) + "  ·  " + subtitle(recipe, forging, m));
}

/// End-crops of every step, all to one scale, in rows.
Layout stages_plate(const Recipe& recipe, const Forging& forging, const RenderOptions& options) {
  double widest = 0;
  for (const BilletStory& s : forging.billets)
    for (const auto& bar : s.bars) widest = std::max(widest, bar->width_mm);
  const double px = options.px_per_mm.value_or(std::min(40.0, kAcross * 0.155 / widest));
  Layout l;
  const double columns = std::max(kAcross * px / (kAcross * 0.155 / widest), 320.0);
  l.text_px = std::clamp(columns / 110, 9.0, 40.0);
  const double margin = columns * 0.04, gutter = l.text_px * 2.2, cell = std::max(widest * px, l.text_px * 13);
  double x = margin, y = margin + l.text_px * 5, row_height = 0;
  std::vector<size_t> row_members;
  const auto close_row = [&] {  // sections stand on one line
    for (const size_t i : row_members) l.panels[i].row = int(y + row_height) - panel_rows(l.panels[i], px);
    for (const size_t i : row_members) {
      l.captions[2 * i].y = y + row_height + l.text_px * 1.6;
      l.captions[2 * i + 1].y = y + row_height + l.text_px * 2.8;
    }
    if (!row_members.empty()) y += row_height + l.text_px * 5.2;
    row_members.clear();
    x = margin, row_height = 0;
  };
  for (const BilletStory& story : forging.billets)
    for (size_t k = 0; k < story.bars.size(); ++k) {
      const Bar& bar = *story.bars[k];
      if (x + cell > columns - margin + 1) close_row();
      Panel p;
      p.bar = story.bars[k];
      p.view = end_view(bar, bar.length_mm / 2);
      p.scratches = Scratches::across;
      p.column = int(x);
      const LedgerRow& row = story.rows[k];
      row_height = std::max(row_height, double(panel_rows(p, px)));
      row_members.push_back(l.panels.size());
      l.panels.push_back(std::move(p));
      l.captions.push_back({x, 0, fmt::format("{}{} {}", forging.billets.size() > 1 ? story.name + " " : "", row.number, row.id.empty() ? row.step : row.step + " '" + row.id + "'"), {l.text_px, Weight::bold, Anchor::left, 0.05f}});
      l.captions.push_back({x, 0, fmt::format("{:.1f} × {:.1f} mm · {} layers", bar.width_mm, bar.thickness_mm, row.layers_most), {l.text_px * 0.92, Weight::regular, Anchor::left, 0.12f}});
      x += cell + gutter;
    }
  close_row();
  std::vector<Panel> panels = std::move(l.panels);
  settle_size(l, columns, y + l.text_px * 2 + margin, px);
  l.panels = std::move(panels);
  add_heading(l, margin, recipe.title, "section of the bar after every step, seen from the tip end, all to one scale");
  l.scale_x = margin, l.scale_y = l.image.rows - margin;
  return l;
}

}  // namespace

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
  return bar_plate(recipe, forging, options, m, looking);
} catch (const Error& error) {
  throw with_lines(error, recipe);
}

}  // namespace etchcast
