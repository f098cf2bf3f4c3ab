// Hardening and etch: what is known of these steels, and what is customarily done.
#include <fmt/format.h>

#include "etchcast/etching.hpp"
#include "etchcast/metallurgy.hpp"
#include "sheet/figures.hpp"
#include "sheet/html.hpp"
#include "sheet/parts.hpp"

namespace etchcast {
namespace {

/// The smith's word and the grade; the word "core" says nothing beside "is the core".
std::string named(const SteelInBar& one) {
  return one.name == one.grade || one.name == "core" ? one.grade : fmt::format("{} ({})", one.name, one.grade);
}

std::string steel_html(const SteelInBar& one) {
  const std::string window =
      one.harden ? both_heats(one.harden->low_c, one.harden->high_c) + fmt::format(" [{}]", one.harden->source)
                 : std::string("no hardening heat on record");
  return fmt::format(
      "<li><b>{}</b>, {:.0f} % of the bar; carbon {:.2f} %, after the forge&#39;s heats {:.2f} %. Hardening: {}</li>\n",
      escaped(named(one)), one.share * 100, one.carbon, one.carbon_after, escaped(window));
}

/// Which heat to go by.
std::string decision(const Hardening& all) {
  if (all.cutting >= 0) {
    const SteelInBar& core = all.steels[size_t(all.cutting)];
    const std::string who = fmt::format("{} is {}: it cuts, with {:.2f} % of carbon. ", named(core),
                                        all.core ? "the core" : "the steel at the edge", all.edge_carbon);
    return who + (core.harden
                      ? fmt::format("Harden for it, at {}.", both_heats(core.harden->low_c, core.harden->high_c))
                      : std::string("No hardening heat is on record for it: go by its data sheet."));
  }
  const std::string edge = fmt::format("The edge is a mix with {:.2f} % of carbon. ", all.edge_carbon);
  if (all.harden)
    return edge + fmt::format("The hardening heats of its steels meet at {}{}.",
                              both_heats(all.harden->low_c, all.harden->high_c),
                              all.partly_known ? ", as far as they are known" : "");
  return edge + "No hardening heat common to its steels is on record: go by the data sheets.";
}

std::string tempered(const Hardening& all) {
  std::string text;
  for (const SteelInBar& one : all.steels) {
    const SteelSheet* sheet = one.sheet.get();
    if (one.edge_share < 0.02 || !sheet || sheet->temper.empty()) continue;
    const Content& carbon = sheet->contents[0];
    if (one.carbon_after < carbon.least - 0.02 || one.carbon_after > carbon.most + 0.02)
      continue;  // another steel by now
    for (const double celsius : {175.0, 200.0, 230.0})
      if (const auto hrc = tempered_hardness(*sheet, celsius))
        text += fmt::format("{} {}: {:.0f}–{:.0f} HRC", text.empty() ? "Published tables:" : ";", both_heats(celsius),
                            hrc->least, hrc->most);
    if (!text.empty()) return text + fmt::format(" ({}).", named(one));
  }
  return text;
}

std::string item(std::string_view text) { return fmt::format("<li>{} {}</li>\n", kBox, text); }

}  // namespace

std::string hardening_html(Sheet& sheet) {
  if (!sheet.recipe.blade) return {};
  const Hardening all = hardening(sheet.recipe, sheet.forging);
  std::string text = "<section class=\"part\">\n<h2>Hardening</h2>\n<p class=\"do\">" + escaped(decision(all)) +
                     "</p>\n<ul class=\"set\">\n";
  for (const SteelInBar& one : all.steels) text += steel_html(one);
  text += "</ul>\n";
  text +=
      "<p>Common practice for such a bar, where your data sheet does not say otherwise:</p>\n<ul class=\"ticks\">\n";
  for (const std::string& line : all.practice) text += item(escaped(sentence(line)));
  text += "</ul>\n";
  if (const std::string hrc = tempered(all); !hrc.empty()) text += "<p>" + escaped(hrc) + "</p>\n";
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
  const std::string wiping = "10 min at a time, the oxide wiped off between with fine paper on a block: ";
  if (etch.relief == EtchPlan::Relief::coupon && etch.time_s)
    return fmt::format("{}{:.0f} min in all, wiped as the coupon was.", wiping, *etch.time_s / 60);
  if (bath.usual_um_min == 0) return "How long is not known here: look at an end-crop every so often.";
  const double um = etch.depth_mm * 1000;
  const std::string guess =
      fmt::format("For {:.0f} um some {:.0f} to {:.0f} min in all (a rough guess): measure on the crop.", um,
                  um / bath.fast_um_min, um / bath.slow_um_min);
  if (!etch.time_s) return wiping + guess;
  return fmt::format("{}{:.0f} min in all. {}", wiping, *etch.time_s / 60, guess);
}

}  // namespace

std::string etch_html(Sheet& sheet) {
  const EtchPlan& etch = sheet.recipe.etch;
  const std::string finish = etch.finish == FinishKind::bare     ? "bare metal, the oxide rubbed off"
                             : etch.finish == FinishKind::coffee ? "darkened in strong coffee"
                                                                 : "oxide left in the deep, bright layers polished";
  std::string text = fmt::format(
      "<section class=\"part\">\n<h2>Etch</h2>\n<p class=\"do\">Relief {} between the steels; finish: {}.</p>\n",
      both_lengths(etch.depth_mm), finish);
  text += fmt::format("<p>Relief: {}.{}</p>\n", escaped(relief_text(etch)),
                      etch.greys ? " Greys of the picture: read off your coupon." : "");
  const Bath& bath = bath_of(etch.bath);
  text += "<p>Common practice; your bath decides, so try it on an end-crop first:</p>\n<ul class=\"ticks\">\n";
  text += item(
      "Fully hardened and tempered, ground and sanded evenly to 600 grit at least, 800 to 1500 usually; degreased, not "
      "touched by hand after.");
  text += item(escaped(sentence(std::string(bath.mix))));
  text += item(escaped(time_text(etch, bath)));
  text += item("Neutralise in soda water, rinse, dry, oil.");
  if (etch.finish == FinishKind::coffee && bath.finish != FinishKind::coffee)
    text +=
        item("Strong instant coffee, 60 to 120 g a litre (8 to 16 oz a gallon), one hour to overnight; rinse and oil.");
  if (etch.finish == FinishKind::oxide)
    text += item("Polish the proud, bright layers with 2000 grit or finer on a hard block.");
  if (etch.finish == FinishKind::bare) text += item("Rub all oxide off, evenly, with fine abrasive.");
  text += "</ul>\n" + caution_html(sheet, Stage::etch);
  return text + caution_html(sheet, Stage::finished) + "</section>\n";
}

}  // namespace etchcast
