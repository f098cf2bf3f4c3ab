// The first page: what to cut, how to stack it, and every step with its size and heat, in type that reads at arm's
// length.
#include <algorithm>

#include <fmt/format.h>

#include "etchcast/stock.hpp"
#include "sheet/html.hpp"
#include "sheet/parts.hpp"

namespace etchcast {
namespace {

std::string cut_html(const Sheet& sheet) {
  std::string text = "<ul class=\"cuts\">\n";
  for (const CutLine& line : cut_list(sheet.recipe, sheet.forging).lines)
    for (const CutPieces& one : line.pieces) {
      const Steel& steel = sheet.recipe.steels[size_t(line.steel)];
      text += fmt::format("<li>{} <b>{} x {}</b>{}: {} thick, {}{}</li>\n", kBox, one.count, escaped(steel.name),
                          steel.grade == steel.name ? "" : " (" + escaped(steel.grade) + ")",
                          sheet.figures.gauge(line.thickness_mm), sheet.figures.to_cut({line.width_mm, one.length_mm}),
                          sheet.forging.billets.size() > 1 ? " for " + escaped(one.billet) : "");
    }
  return text + "</ul>\n";
}

std::string entry_text(const Sheet& sheet, const StackEntry& entry) {
  constexpr std::string_view kTurned[] = {"", " top down", " end for end, top down", " end for end"};
  return escaped(entry.name) + (entry.thickness_mm ? " " + apart(sheet.figures.gauge(*entry.thickness_mm)).first : "") +
         std::string(kTurned[int(entry.flip)]);
}

std::string stack_text(const Sheet& sheet, size_t billet) {
  const auto& stack = sheet.recipe.billets[billet].stack;
  std::string text;
  for (const Course& course : courses_of(stack)) {
    std::string one;
    for (size_t i = course.from; i < course.to; ++i) one += (one.empty() ? "" : ", ") + entry_text(sheet, stack[i]);
    text += (text.empty() ? "" : "; then ") +
            (course.times > 1 ? fmt::format("<b>{} times</b> {}", course.times, one) : one);
  }
  return "from the bottom " + text + ". Mark the top and the heel end";
}

/// Thickness and width large, the other system and the length under them.
std::string size_cell(const Sheet& sheet, const LedgerRow& row) {
  const bool round = row.section == Section::round;
  const auto [own, other] =
      apart(round ? sheet.figures.length(row.thickness_mm) : sheet.figures.lengths({row.thickness_mm, row.width_mm}));
  return fmt::format("<b>{}{}</b><br><small>{}; {} long</small>", own, round ? " round" : "", other,
                     apart(sheet.figures.length(row.length_mm)).first);
}

std::string heat_cell(const Sheet& sheet, const LedgerRow& row) {
  if (row.heats == 0) return "cold";
  const auto [own, other] = apart(sheet.figures.heat(row.heat_c));
  return fmt::format("<b>{}</b><br><small>{}; {} heat{}</small>", own, other, row.heats, row.heats == 1 ? "" : "s");
}

/// Whether check() warns of the step: what it says stands on the pages behind.
std::string_view warning_text(const Sheet& sheet, const LedgerRow& row) {
  const std::string about = about_row(row);
  const bool any = std::any_of(sheet.findings.begin(), sheet.findings.end(), [&](const Warning& one) {
    return one.weight == Warning::Weight::warning && one.about.starts_with(about);
  });
  return any ? " <b>Read the warning on the pages behind.</b>" : "";
}

std::string row_html(const Sheet& sheet, size_t billet, size_t step) {
  const BilletStory& story = sheet.forging.billets[billet];
  const LedgerRow& row = story.rows[step];
  const std::string words = step == 0 ? stack_text(sheet, billet)
                                      : brief_html({sheet.recipe.billets[billet].steps[step - 1], story.rows[step - 1],
                                                    row, sheet.recipe.losses, sheet.figures});
  return fmt::format("<tr><td>{}</td><td><b>{}{}{}</b>{}{}{}</td><td>{}</td><td>{}</td></tr>\n", kBox,
                     step == 0 ? "" : fmt::format("{} ", row.number), escaped(capitalised(row.step)),
                     row.id.empty() ? "" : " " + escaped(row.id), words.empty() ? "" : ": ", words,
                     warning_text(sheet, row), size_cell(sheet, row), step == 0 ? "" : heat_cell(sheet, row));
}

/// The reminders of all that is done, once each.
std::string care_html(const Sheet& sheet) {
  std::vector<Stage> stages{Stage::fire};
  for (const BilletStory& story : sheet.forging.billets)
    for (const LedgerRow& row : story.rows)
      if (std::find(stages.begin(), stages.end(), stage_of(row.step)) == stages.end())
        stages.push_back(stage_of(row.step));
  std::string text;
  for (const Stage stage : stages) text += " " + escaped(reminder_of(stage));
  return "<p class=\"care\"><b>Care.</b>" + text + "</p>\n";
}

/// So that the page holds all rows: smaller type for longer work.
std::string_view size_class(size_t rows) { return rows <= 13 ? "large" : rows <= 18 ? "middle" : "small"; }

}  // namespace

std::string anvil_html(const Sheet& sheet) {
  size_t rows = 0;
  for (const BilletStory& story : sheet.forging.billets) rows += story.rows.size() + 1;
  std::string text = fmt::format("<section class=\"anvil {}\">\n", size_class(rows)) + cut_html(sheet);
  text += "<table>\n<tr><th></th><th>do</th><th>thick x wide, after</th><th>heat</th></tr>\n";
  for (size_t billet = 0; billet < sheet.forging.billets.size(); ++billet) {
    if (sheet.forging.billets.size() > 1)
      text += fmt::format("<tr class=\"billet\"><td></td><td colspan=\"3\">Billet {}</td></tr>\n",
                          escaped(sheet.forging.billets[billet].name));
    for (size_t step = 0; step < sheet.forging.billets[billet].rows.size(); ++step)
      text += row_html(sheet, billet, step);
  }
  return text + "</table>\n" + care_html(sheet) +
         "<div class=\"blanks\"><span>Forged by</span><span>Date</span><span>Bar no.</span></div>\n</section>\n";
}

}  // namespace etchcast
