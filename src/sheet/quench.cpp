// Hardening and etch: what is known of these steels, and what is customarily done.
#include <fmt/format.h>

#include "base/measures.hpp"
#include "etchcast/etching.hpp"
#include "etchcast/metallurgy.hpp"
#include "sheet/figures.hpp"
#include "sheet/html.hpp"
#include "sheet/parts.hpp"

namespace etchcast {
namespace {

std::string steel_html(const SteelInBar& one, const Measures& say) {
  const std::string window =
      one.harden ? fmt::format("{} [{}]", say.heats(one.harden->low_c, one.harden->high_c), one.harden->source)
                 : std::string("no hardening heat on record");
  const std::string carbon =
      one.takes_carbon ? fmt::format("{:.2f} % of carbon as bought, {:.2f} % now", one.carbon, one.carbon_after)
                       : std::string("takes up little carbon");
  return fmt::format("<li><b>{}</b>, {:.0f} % of the bar; {}. Hardening: {}</li>\n", escaped(one.told), one.share * 100,
                     carbon, escaped(window));
}

/// Which heat to go by.
std::string decision(const Hardening& all, const Measures& say) {
  const std::string who =
      all.cutting >= 0 ? fmt::format("The edge is {}{}", all.core ? "core: " : "", all.steels[size_t(all.cutting)].told)
                       : std::string("The edge is a mix");
  const std::string edge = fmt::format("{}, with {:.2f} % of carbon. ", who, all.edge_carbon);
  if (!all.melts.empty()) return edge + sentence(all.melts);
  if (!all.heat()) return edge + "No hardening heat is on record for it: go by the data sheets.";
  return edge + fmt::format("Harden it at {}{}.", say.heats(all.heat()->low_c, all.heat()->high_c),
                            all.partly_known ? ", as far as its steels' heats are known" : "");
}

/// The first steel of the edge that has tempering tables and still the carbon of its grade.
std::string tempered(const Hardening& all, const Measures& say) {
  for (const SteelInBar& one : all.steels) {
    const SteelSheet* sheet = one.sheet.get();
    if (one.edge_share < 0.02 || !sheet || sheet->temper.empty()) continue;
    const Content& carbon = sheet->contents[0];
    if (one.carbon_after < carbon.least - 0.02 || one.carbon_after > carbon.most + 0.02)
      continue;  // another steel by now
    std::string text;
    for (const double celsius : {175.0, 205.0, 230.0})
      if (const auto hrc = tempered_hardness(*sheet, celsius))
        text += fmt::format("{}{:.0f} to {:.0f} HRC at {}", text.empty() ? "" : ", ", hrc->least, hrc->most,
                            say.heat(celsius));
    if (!text.empty())
      return fmt::format("{} after tempering: {}. From {}, and how far such tables differ.", one.told, text,
                         temper_sources(*sheet));
  }
  return {};
}

std::string item(std::string_view text) { return fmt::format("<li>{} {}</li>\n", kBox, text); }

}  // namespace

std::string hardening_html(Sheet& sheet) {
  if (!sheet.recipe.blade) return {};
  const Hardening all = hardening(sheet.recipe, sheet.forging);
  const Measures say(sheet.recipe.units);
  std::string text = "<section class=\"part\">\n<h2>Hardening</h2>\n<p class=\"do\">" + escaped(decision(all, say)) +
                     "</p>\n<p>What to do: common practice, where your data sheet does not say otherwise.</p>\n"
                     "<ul class=\"ticks\">\n";
  for (const std::string& line : all.practice) text += item(escaped(line));
  text += "</ul>\n";
  if (const std::string hrc = tempered(all, say); all.melts.empty() && !hrc.empty())
    text += "<p>" + escaped(hrc) + "</p>\n";
  text += "<ul class=\"set\">\n";
  for (const SteelInBar& one : all.steels) text += steel_html(one, say);
  text += "</ul>\n";
  std::string cautions;
  for (size_t i = 0; i < all.cautions.size(); ++i) {
    if (i == all.objections) continue;  // true of every blade: the cautions of the quench say it
    const bool objects = i < all.objections;
    cautions += fmt::format("<p class=\"{}\"><b>{}.</b> {}</p>\n", objects ? "warning" : "note",
                            objects ? "Warning" : "Note", escaped(sentence(all.cautions[i])));
  }
  findings_html(sheet, "blade: hardening");  // the same again
  return text + cautions + caution_html(sheet, Stage::quench) + "</section>\n";
}

namespace {

/// How long in the bath: as told, as on the coupon, or as the bath's guessed rate has it.
std::string time_text(const EtchPlan& etch, const Bath& bath) {
  const std::string wiping = "Etch 10 min at a time, and wipe the oxide off in between with fine paper on a block. ";
  if (etch.relief == EtchPlan::Relief::coupon && etch.time_s)
    return fmt::format("{}It takes {:.0f} min in all, wiped as the coupon was.", wiping, *etch.time_s / 60);
  if (bath.usual_um_min == 0)
    return "How long it takes is not known here: try it on an end-crop, and look every so often.";
  const double um = etch.depth_mm * 1000;
  const std::string guess =
      fmt::format("{:.0f} um take about {:.0f} to {:.0f} min in all. That is a rough guess: measure it on an end-crop.",
                  um, um / bath.fast_um_min, um / bath.slow_um_min);
  if (!etch.time_s) return wiping + guess;
  return fmt::format("{}The recipe says {:.0f} min in all. {}", wiping, *etch.time_s / 60, guess);
}

}  // namespace

std::string etch_html(Sheet& sheet) {
  const EtchPlan& etch = sheet.recipe.etch;
  const std::string finish = etch.finish == FinishKind::bare ? "Finish: bare metal, all oxide rubbed off"
                             : etch.finish == FinishKind::coffee
                                 ? "Finish: darkened in strong coffee"
                                 : "Finish: oxide on the deep, dark layers, the bright layers polished";
  std::string text = fmt::format(
      "<section class=\"part\">\n<h2>Etch</h2>\n<p class=\"do\">Etch until the dark steel lies {} below the bright. "
      "{}.</p>\n",
      both_lengths(etch.depth_mm), finish);
  text += fmt::format("<p>Relief: {}.{}</p>\n", escaped(relief_text(etch)),
                      etch.greys ? " Greys of the picture: read off your coupon." : "");
  const Bath& bath = bath_of(etch.bath);
  text +=
      "<p>What to do: common practice. Your bath decides, so try it on an end-crop first.</p>\n<ul class=\"ticks\">\n";
  text += item(
      "The blade is hardened, tempered, and sanded evenly to 600 grit at least, usually to 800 to 1500. Degrease it, "
      "and do "
      "not touch it by hand after that.");
  text += item(escaped(sentence(std::string(bath.mix))));
  text += item(escaped(time_text(etch, bath)));
  text += item("Neutralise the acid in a solution of baking soda in water. Rinse, dry, oil.");
  if (etch.finish == FinishKind::coffee && bath.finish != FinishKind::coffee)
    text += item(
        "Lay it in strong instant coffee, 60 to 120 g a litre (8 to 16 oz a gallon), for one hour to overnight. Rinse "
        "and "
        "oil it.");
  if (etch.finish == FinishKind::oxide)
    text += item("Polish the bright layers, which stand proud, with 2000 grit or finer on a hard block.");
  if (etch.finish == FinishKind::bare) text += item("Rub all oxide off, evenly, with fine abrasive.");
  text += "</ul>\n" + caution_html(sheet, Stage::etch);
  return text + caution_html(sheet, Stage::finished) + "</section>\n";
}

}  // namespace etchcast
