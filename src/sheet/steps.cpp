// Every step of a billet as a block of the sheet.
#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "base/units.hpp"
#include "etchcast/render.hpp"
#include "sheet/figures.hpp"
#include "sheet/html.hpp"
#include "sheet/parts.hpp"

namespace etchcast {
namespace {

constexpr double kSmall = 15;    // mm; sections up to this are shown three times their size
constexpr double kWide = 90;     // mm; wider ones are made to fit beside the text
constexpr double kPxPerMm = 10;  // on paper: 254 dots per inch

std::string moment_html(const Sheet& sheet, const LedgerRow& row) {
  const double widest = std::max(row.width_mm, row.thickness_mm);
  const double scale = widest <= kSmall ? 3 : widest <= kWide ? 1 : kWide / widest;
  RenderOptions options;
  options.view = Looking::end;
  options.at = fmt::format("{}:{}", row.billet, row.number);
  options.px_per_mm = kPxPerMm * scale;
  options.bare = true;
  const Image image = render(sheet.recipe, sheet.forging, options);
  const std::string size = scale == 3   ? "three times its size"
                           : scale == 1 ? "true size"
                                        : fmt::format("at {:.0f} % of its size", scale * 100);
  return fmt::format("<figure class=\"crop\">{}<figcaption>End-crop, {}</figcaption></figure>\n",
                     picture_html(image, scale, "Section of the bar after this step"), size);
}

std::string sizes_html(const Figures& say, const LedgerRow& row) {
  std::string text = sizes_head(say) + sizes_row(say, "long", row.length_mm);
  if (row.section == Section::round) return text + sizes_row(say, "round", row.thickness_mm) + "</table>\n";
  return text + sizes_row(say, "wide", row.width_mm) + sizes_row(say, "thick", row.thickness_mm) + "</table>\n";
}

/// Micrometres, or thousandths of an inch in an inch shop.
std::string layer_figure(const Figures& say, double mm) {
  const bool inch = say.first() == System::inch;
  const double figure = inch ? mm / 0.0254 : mm * 1000;
  if (mm >= 0.995) return say.length(mm);
  return fmt::format("{:.{}f}\u00A0{}", figure, figure < 10 ? 1 : 0, inch ? "thou" : "µm");
}

std::string layers_text(const LedgerRow& row) {
  if (row.layers_least != row.layers_most)
    return fmt::format("{} to {} ({} as counted)", row.layers_least, row.layers_most, row.nominal);
  if (row.nominal == row.layers_most) return fmt::format("{}", row.nominal);
  return fmt::format("{} ({} as counted)", row.layers_most, row.nominal);
}

std::string figures_html(const Figures& say, const LedgerRow& row) {
  std::string text;
  if (row.heats > 0) {
    text += fmt::format("<b>Heat {}</b>", say.heat(row.heat_c));
    if (row.soak_s > 0) text += fmt::format(", soak {}", quantity_text(row.soak_s, Unit::time));
    text += fmt::format(", {} heat{}<br>", row.heats, row.heats == 1 ? "" : "s");
    if (row.scale_mm > 0) text += fmt::format("<b>Scale</b> {} a face<br>", say.length(row.scale_mm));
  }
  text += fmt::format("<b>Layers</b> {}, {} each<br>", layers_text(row), layer_figure(say, row.mean_mm));
  text += fmt::format("<b>Mass</b> {}, {:.0f}\u00A0% of the stack", say.mass(row.mass_g), row.yield * 100);
  return "<p class=\"figures\">" + text + "</p>\n";
}

std::string notes_html(const LedgerRow& row) {
  std::string text = row.rough.empty() ? "" : escaped(sentence("rough: " + row.rough));
  for (const std::string& note : row.notes) text += (text.empty() ? "" : " ") + escaped(sentence(note));
  return text.empty() ? "" : "<p class=\"note\">" + text + "</p>\n";
}

std::string entry_html(const Sheet& sheet, const StackEntry& entry) {
  std::string text = entry.name;
  for (const Steel& steel : sheet.recipe.steels)
    if (steel.name == entry.name) text = named(steel);
  if (entry.thickness_mm) text += " " + sheet.figures.gauge(*entry.thickness_mm);
  constexpr std::string_view kTurned[] = {"", ", turned over: top face down", ", end for end and top face down",
                                          ", end for end, top face up"};
  return escaped(text + std::string(kTurned[int(entry.flip)]));
}

/// How bars made earlier are cut up for the stack.
std::string lengths_html(const Sheet& sheet, const std::vector<StackEntry>& stack) {
  const Losses& lost = sheet.recipe.losses;
  std::string text;
  for (const BilletStory& story : sheet.forging.billets) {
    const auto uses =
        std::count_if(stack.begin(), stack.end(), [&](const StackEntry& e) { return e.name == story.name; });
    if (uses == 0) continue;
    text += fmt::format(
        "<p class=\"do\">Bar {}: crop {} off both ends{}. Clean the faces bright, {} off each.</p>\n",
        escaped(story.name), sheet.figures.length(lost.crop_mm),
        uses == 1 ? std::string()
                  : fmt::format(" and cut it in {} equal lengths (kerf {}); the one from the heel end lies lowest",
                                uses, sheet.figures.length(lost.kerf_mm)),
        sheet.figures.length(lost.clean_mm));
  }
  return text;
}

std::string stack_html(const Sheet& sheet, const std::vector<StackEntry>& stack) {
  std::string text = lengths_html(sheet, stack);
  bool first = true;
  for (const Course& course : courses_of(stack)) {
    text += fmt::format("<p class=\"do\">{}{}:</p>\n<ol class=\"set\">\n",
                        first ? "Stack, from bottom to top" : "and on top of all",
                        course.times > 1 ? fmt::format(", {} times over", course.times) : std::string());
    for (size_t i = course.from; i < course.to; ++i) text += "<li>" + entry_html(sheet, stack[i]) + "</li>\n";
    text += "</ol>\n";
    first = false;
  }
  return text;
}

std::string block_html(Sheet& sheet, const LedgerRow& row, const std::string& doing) {
  const std::string heading =
      row.number == 0 ? std::string("The stack") : fmt::format("{}. {}", row.number, escaped(capitalised(row.step)));
  const std::string id = row.id.empty() ? "" : fmt::format(" <span class=\"id\">{}</span>", escaped(row.id));
  return fmt::format(
      "<section class=\"step\">\n<div class=\"text\"><h3>{} {}{}</h3>\n{}<div "
      "class=\"facts\">\n{}{}</div>\n{}{}{}</div>\n{}</section>\n",
      kBox, heading, id, doing, sizes_html(sheet.figures, row), figures_html(sheet.figures, row), notes_html(row),
      findings_html(sheet, about_row(row)), caution_html(sheet, stage_of(row.step)), moment_html(sheet, row));
}

}  // namespace

std::string about_row(const LedgerRow& row) {
  return row.number == 0 ? row.billet + ": the stack" : fmt::format("{}: step {},", row.billet, row.number);
}

std::string sizes_head(const Figures& say) {
  const bool inch = say.first() == System::inch;
  return fmt::format(
      "<table class=\"sizes\"><tr><th></th><td>{}</td><td>1/16 in</td><td>{}</td><td>as made</td></tr>\n",
      inch ? "in" : "mm", inch ? "mm" : "in");
}

std::string sizes_row(const Figures& say, std::string_view what, double mm) {
  const std::string metric = mm_figure(mm), inch = inch_figure(mm);
  const bool swap = say.first() == System::inch;
  return fmt::format("<tr><th>{}</th><td>{}</td><td>{}</td><td>{}</td><td><span class=\"made\"></span></td></tr>\n",
                     what, swap ? inch : metric, sixteenths(mm), swap ? metric : inch);
}

std::vector<Course> courses_of(const std::vector<StackEntry>& stack) {
  const auto alike = [&](size_t a, size_t b) {
    return stack[a].name == stack[b].name && stack[a].thickness_mm == stack[b].thickness_mm &&
           stack[a].flip == stack[b].flip;
  };
  for (size_t length = 1; length <= stack.size() / 2; ++length) {
    size_t same = length;
    while (same < stack.size() && alike(same, same % length)) ++same;
    const size_t times = same / length, rest = times * length;
    if (times < 2 || stack.size() - rest > length) continue;
    std::vector<Course> courses{{0, length, times}};
    if (rest < stack.size()) courses.push_back({rest, stack.size(), 1});
    return courses;
  }
  return {{0, stack.size(), 1}};
}

std::string billet_html(Sheet& sheet, size_t billet) {
  const BilletStory& story = sheet.forging.billets[billet];
  const BilletPlan& plan = sheet.recipe.billets[billet];
  std::string text = sheet.forging.billets.size() > 1 ? fmt::format("<h2>Billet {} of {}: {}</h2>\n", billet + 1,
                                                                    sheet.forging.billets.size(), escaped(story.name))
                                                      : "<h2>The bar</h2>\n";
  text += block_html(sheet, story.rows[0], stack_html(sheet, plan.stack));
  for (size_t i = 1; i < story.rows.size(); ++i) {
    const StepCall& call = plan.steps[i - 1];
    text += block_html(sheet, story.rows[i],
                       doing_html({call, story.rows[i - 1], story.rows[i], sheet.recipe.losses, sheet.figures}) +
                           settings_html(call, sheet.figures));
  }
  return text;
}

}  // namespace etchcast
