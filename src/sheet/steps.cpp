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

std::string size_row(std::string_view what, double mm) {
  return fmt::format("<tr><th>{}</th><td>{}</td><td>{}</td><td>{}</td><td><span class=\"made\"></span></td></tr>\n",
                     what, mm_figure(mm), inch_figure(mm), sixteenths(mm));
}

std::string sizes_html(const LedgerRow& row) {
  std::string text =
      "<table class=\"sizes\"><tr><th></th><td>mm</td><td>in</td><td>1/16 in</td><td>as made</td></tr>\n";
  text += size_row("long", row.length_mm);
  if (row.section == Section::round) return text + size_row("round", row.thickness_mm) + "</table>\n";
  return text + size_row("wide", row.width_mm) + size_row("thick", row.thickness_mm) + "</table>\n";
}

std::string layer_figure(double mm) {
  if (mm >= 0.995) return fmt::format("{:.2f}\u00A0mm", mm);
  return fmt::format("{:.{}f}\u00A0µm", mm * 1000, mm < 0.01 ? 1 : 0);
}

std::string layers_text(const LedgerRow& row) {
  if (row.layers_least != row.layers_most)
    return fmt::format("{} to {} ({} as counted)", row.layers_least, row.layers_most, row.nominal);
  if (row.nominal == row.layers_most) return fmt::format("{}", row.nominal);
  return fmt::format("{} ({} as counted)", row.layers_most, row.nominal);
}

std::string figures_html(const LedgerRow& row) {
  std::string text;
  if (row.heats > 0) {
    text += fmt::format("<b>Heat {}</b>", both_heats(row.heat_c));
    if (row.soak_s > 0) text += fmt::format(", soak {}", quantity_text(row.soak_s, Unit::time));
    text += fmt::format(", {} heat{}<br>", row.heats, row.heats == 1 ? "" : "s");
  }
  text += fmt::format("<b>Layers</b> {}, {} each<br>", layers_text(row), layer_figure(row.mean_mm));
  text += fmt::format("<b>Mass</b> {}, {:.0f}\u00A0% of the pile", both_masses(row.mass_g), row.yield * 100);
  return "<p class=\"figures\">" + text + "</p>\n";
}

std::string notes_html(const LedgerRow& row) {
  std::string text = row.rough.empty() ? "" : "rough: " + escaped(row.rough);
  for (const std::string& note : row.notes) text += (text.empty() ? "" : "; ") + escaped(note);
  return text.empty() ? "" : "<p class=\"note\">" + sentence(text) + "</p>\n";
}

/// Length of a course that the stack repeats from its bottom, and how often; the rest closes the pile.
std::pair<size_t, size_t> course_of(const std::vector<StackEntry>& stack) {
  const auto alike = [&](size_t a, size_t b) {
    return stack[a].name == stack[b].name && stack[a].thickness_mm == stack[b].thickness_mm &&
           stack[a].flip == stack[b].flip;
  };
  for (size_t length = 1; length <= stack.size() / 2; ++length) {
    size_t same = length;
    while (same < stack.size() && alike(same, same % length)) ++same;
    if (same / length >= 2 && stack.size() - same / length * length <= length) return {length, same / length};
  }
  return {stack.size(), 1};
}

std::string entry_html(const Sheet& sheet, const StackEntry& entry) {
  std::string text = entry.name;
  for (const Steel& steel : sheet.recipe.steels)
    if (steel.name == entry.name) text = named(steel);
  if (entry.thickness_mm) text += " " + both_lengths(*entry.thickness_mm);
  constexpr std::string_view kTurned[] = {"", ", turned over: top face down", ", end for end and top face down",
                                          ", end for end, top face up"};
  return escaped(text + std::string(kTurned[int(entry.flip)]));
}

/// How bars made earlier are cut up for the pile.
std::string lengths_html(const Sheet& sheet, const std::vector<StackEntry>& stack) {
  const Losses& lost = sheet.recipe.losses;
  std::string text;
  for (const BilletStory& story : sheet.forging.billets) {
    const auto uses =
        std::count_if(stack.begin(), stack.end(), [&](const StackEntry& e) { return e.name == story.name; });
    if (uses == 0) continue;
    text += fmt::format("<p class=\"do\">Bar {}: crop {} off both ends{}, clean the faces bright, {} a face.</p>\n",
                        escaped(story.name), both_lengths(lost.crop_mm),
                        uses == 1
                            ? std::string()
                            : fmt::format(", cut in {} equal lengths (kerf {}), the one from the heel end lying lowest",
                                          uses, both_lengths(lost.kerf_mm)),
                        both_lengths(lost.clean_mm));
  }
  return text;
}

std::string stack_html(const Sheet& sheet, const std::vector<StackEntry>& stack) {
  const auto [course, times] = course_of(stack);
  const std::string lengths = lengths_html(sheet, stack);
  const auto listed = [&](size_t from, size_t to) {
    std::string text;
    for (size_t i = from; i < to; ++i) text += "<li>" + entry_html(sheet, stack[i]) + "</li>\n";
    return text;
  };
  if (times == 1)
    return lengths + "<p class=\"do\">Pile, from bottom to top:</p>\n<ol class=\"set\">\n" + listed(0, stack.size()) +
           "</ol>\n";
  std::string text =
      lengths +
      fmt::format("<p class=\"do\">Pile, from bottom to top, {} times over:</p>\n<ol class=\"set\">\n{}</ol>\n", times,
                  listed(0, course));
  if (course * times < stack.size())
    text += "<p class=\"do\">and on top of all:</p>\n<ol class=\"set\">\n" + listed(course * times, stack.size()) +
            "</ol>\n";
  return text;
}

std::string block_html(Sheet& sheet, const LedgerRow& row, const std::string& doing) {
  const std::string heading =
      row.number == 0 ? std::string("The pile") : fmt::format("{}. {}", row.number, escaped(capitalised(row.step)));
  const std::string id = row.id.empty() ? "" : fmt::format(" <span class=\"id\">{}</span>", escaped(row.id));
  const std::string about =
      row.number == 0 ? row.billet + ": the pile" : fmt::format("{}: step {},", row.billet, row.number);
  return fmt::format(
      "<section class=\"step\">\n<div class=\"text\"><h3>{} {}{}</h3>\n{}<div "
      "class=\"facts\">\n{}{}</div>\n{}{}{}</div>\n{}</section>\n",
      kBox, heading, id, doing, sizes_html(row), figures_html(row), notes_html(row), findings_html(sheet, about),
      caution_html(sheet, stage_of(row.step)), moment_html(sheet, row));
}

}  // namespace

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
                       doing_html(call, story.rows[i - 1], story.rows[i], sheet.recipe.losses) + settings_html(call));
  }
  return text;
}

}  // namespace etchcast
