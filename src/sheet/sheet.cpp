// The sheet by the forge, put together.
#include "etchcast/sheet.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "etchcast/stock.hpp"
#include "sheet/figures.hpp"
#include "sheet/html.hpp"
#include "sheet/parts.hpp"
#include "sheet/style.hpp"

namespace etchcast {
namespace {

constexpr std::string_view kFirst =
    "What your local codes, the data sheets of your steels, fluxes, oils and acids, and somebody qualified say goes "
    "before this "
    "sheet. It is a forecast from a recipe. It does not know your forge, your press or your hands, and its heats are "
    "figures of "
    "a plan, not advice. Protect eyes, ears, lungs and skin at every step. Know how to stop every machine before you "
    "start it.";

std::string head_html(const Recipe& recipe) {
  const std::string title = recipe.heading().empty() ? "Sheet by the forge" : recipe.heading();
  return fmt::format(
      "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" "
      "content=\"width=device-width, "
      "initial-scale=1\">\n<title>{0}</title>\n<style>{1}</style>\n</head>\n<body>\n<h1>{0}</h1>\n",
      escaped(title), kStyle);
}

std::string figures_html(const Sheet& sheet) {
  double stacked = 0;
  int heats = 0, steps = 0;
  for (const BilletStory& story : sheet.forging.billets)
    for (const LedgerRow& row : story.rows) heats += row.heats, steps += row.number > 0;
  for (const double mass : cut_list(sheet.recipe, sheet.forging).steel_mass_g) stacked += mass;
  const LedgerRow& last = sheet.forging.billets[finished_billet(sheet)].rows.back();
  return fmt::format(
      "<p>{} step{}, {} heat{} with a {} (estimate). {} of steel in the stack, {} in the finished bar of {}. Sizes are "
      "cold "
      "sizes at the "
      "end of a step. Lengths along the bar count from its heel end; top is the top of the stack. Mark both on the "
      "bar. A "
      "&ldquo;~&rdquo; before a sixteenth means it is off by more than 0.1 mm.</p>\n",
      steps, steps == 1 ? "" : "s", heats, heats == 1 ? "" : "s", word_of(sheet.recipe.shop.tool),
      sheet.figures.mass(stacked), sheet.figures.mass(last.mass_g),
      sheet.figures.lengths({last.length_mm, last.width_mm, last.thickness_mm}));
}

/// Findings that no part has told: nothing check() says may be lost.
std::string rest_html(Sheet& sheet) {
  const std::string rest = findings_html(sheet, "");
  return rest.empty() ? "" : "<section class=\"part\">\n<h2>Also</h2>\n" + rest + "</section>\n";
}

}  // namespace

size_t finished_billet(const Sheet& sheet) {
  const auto& billets = sheet.forging.billets;
  for (size_t i = 0; i < billets.size(); ++i)
    if (sheet.recipe.blade && billets[i].name == sheet.recipe.blade->from) return i;
  return billets.size() - 1;
}

std::string caution_html(Sheet& sheet, Stage stage) {
  const bool first = sheet.cautioned.insert(stage).second;
  return fmt::format("<p class=\"care\"><b>Care.</b> {}</p>\n",
                     escaped(first ? caution_of(stage) : reminder_of(stage)));
}

std::string findings_html(Sheet& sheet, const std::string& about) {
  std::string text;
  for (const bool warnings : {true, false})
    for (const Warning& one : sheet.findings)
      if (one.about.starts_with(about) && (one.weight == Warning::Weight::warning) == warnings)
        text += fmt::format("<p class=\"{}\"><b>{}.</b> {}</p>\n", warnings ? "warning" : "note",
                            warnings ? "Warning" : "Note", escaped(sentence(one.text)));
  std::erase_if(sheet.findings, [&](const Warning& one) { return one.about.starts_with(about); });
  return text;
}

std::string sheet_html(const Recipe& recipe, const Forging& forging) {
  Sheet sheet{recipe, forging, check(recipe, forging)};
  std::string text = head_html(recipe) + anvil_html(sheet);
  if (!recipe.comment.empty()) text += "<p class=\"lead\">" + escaped(recipe.comment) + "</p>\n";
  const BladePicture picture = blade_picture(sheet);
  text += figures_html(sheet);
  if (!picture.wide) text += picture.html;
  text += fmt::format("<div class=\"first\"><p><b>First.</b> {}</p>\n{}</div>\n", escaped(kFirst),
                      caution_html(sheet, Stage::fire));
  text += stock_html(sheet);
  if (picture.wide) text += picture.html;
  for (size_t i = 0; i < forging.billets.size(); ++i) text += billet_html(sheet, i);
  // Hardening takes its own findings before the blade takes all that begin alike.
  const std::string hardening = hardening_html(sheet);
  text += grind_html(sheet);
  text += hardening + etch_html(sheet);
  text += rest_html(sheet);
  return text +
         "<footer>Forecast and books by etchcast. Its documents say what is physics in it and what is a "
         "guess.</footer>\n"
         "</body>\n</html>\n";
}

}  // namespace etchcast
