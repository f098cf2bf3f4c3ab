// The blade: its picture, its sizes, and how it is laid out on the bar and ground.
#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "base/measures.hpp"
#include "base/units.hpp"
#include "etchcast/metallurgy.hpp"
#include "etchcast/render.hpp"
#include "sheet/figures.hpp"
#include "sheet/html.hpp"
#include "sheet/parts.hpp"

namespace etchcast {
namespace {

// What pages hold between margins of 12 mm: A4 upright, which is narrower than Letter; Letter and A4 on their side.
constexpr double kUpright = 186, kLetterOnItsSide = 255, kA4OnItsSide = 273;  // mm
constexpr double kPxPerMm = 10;                                               // on paper: 254 dots per inch

/// A length to lay a ruler to, drawn as a share of the picture's width so that it shrinks with it.
std::string ruler_html(double shown_mm) {
  const double length = shown_mm > 110 ? 100 : 50;
  return fmt::format(
      "<div class=\"ruler\" style=\"width:{:.3f}%\"></div><div class=\"measure\">{:.0f} mm ({:.2f} in)</div>",
      length / shown_mm * 100, length, length / 25.4);
}

std::string sizes_row(std::string_view what, double mm) {
  return fmt::format("<tr><th>{}</th><td>{}</td><td>{}</td><td>{}</td><td><span class=\"made\"></span></td></tr>\n",
                     what, mm_figure(mm), inch_figure(mm), sixteenths(mm));
}

std::string grind_text(const BladePlan& plan) {
  switch (plan.grind) {
    case Grind::flat:
      return "Full flat grind, edge to spine.";
    case Grind::sabre:
      return fmt::format("Sabre grind: flat bevels up to {:.0f} % of the height, flats above.", plan.bevel * 100);
    case Grind::hollow:
      return fmt::format("Hollow grind on a wheel of {} in diameter, up to {:.0f} % of the height.",
                         both_lengths(plan.wheel_mm), plan.bevel * 100);
    case Grind::convex:
      return fmt::format("Convex grind: the face stands {} over the straight line from edge to spine.",
                         both_lengths(plan.bow_mm));
    case Grind::single:
      return fmt::format("Single bevel on the right side up to {:.0f} % of the height, flat back on the left.",
                         plan.bevel * 100);
  }
  return {};
}

std::string place_text(const Sheet& sheet, const Blade& blade) {
  const BladePlan& plan = *sheet.recipe.blade;
  const BilletStory& story = sheet.forging.billets[finished_billet(sheet)];
  const Bar& bar = *story.bars.back();
  const Fit fit = fit_blade(bar, blade, plan);
  const double under = plan.flip ? bar.width_mm / 2 - fit.y_mm : fit.y_mm + bar.width_mm / 2;
  std::string text = fmt::format(
      "On bar {}: the heel {} from the bar's heel end, the edge line {} in from the {} side; the bar's top face "
      "becomes the {} side of the blade.",
      story.name, both_lengths(fit.x_mm), both_lengths(under), plan.flip ? "upper (spine)" : "lower (edge)",
      plan.flip ? "left" : "right");
  if (fit.z_mm != 0)
    text += fmt::format(" Its mid-plane lies {} off the bar's.", both_lengths(fit.z_mm));
  else
    text += " Its mid-plane is the bar's: grind the same off both faces.";
  return text;
}

bool needs_page_of_its_own(double width_mm) { return width_mm > kUpright && width_mm <= kA4OnItsSide; }

std::string scale_text(double width_mm) {
  if (width_mm <= kUpright || (needs_page_of_its_own(width_mm) && width_mm <= kLetterOnItsSide))
    return "Printed at 100 % it is true to scale: lay a ruler to the line.";
  if (needs_page_of_its_own(width_mm))
    return fmt::format(
        "Printed at 100 % on A4 it is true to scale; Letter is too small and shows {:.0f} %. Lay a ruler to the line.",
        std::floor(kLetterOnItsSide / width_mm * 100));
  return fmt::format("The page is too small for it: shown at {:.0f} % of its size.", kUpright / width_mm * 100);
}

}  // namespace

BladePicture blade_picture(const Sheet& sheet) {
  if (!sheet.recipe.blade) return {};
  RenderOptions options;
  options.view = Looking::blade;
  options.px_per_mm = kPxPerMm;
  options.bare = true;
  const Image image = render(sheet.recipe, sheet.forging, options);
  const double width = image.columns / image.px_per_mm;
  const bool wide = needs_page_of_its_own(width);
  const double scale = wide ? 1 : std::min(1.0, kUpright / width);
  return {
      fmt::format(
          "<figure class=\"blade{}\" style=\"max-width:{:.2f}mm\">{}{}<figcaption>Forecast of the etched blade: "
          "right side above, left side below. {}</figcaption></figure>\n",
          wide ? " wide" : "", width * scale, picture_html(image, scale, "Forecast of both sides of the etched blade"),
          ruler_html(width), scale_text(width)),
      wide};
}

std::string grind_html(Sheet& sheet) {
  if (!sheet.recipe.blade) return {};
  const BladePlan& plan = *sheet.recipe.blade;
  const Blade blade(plan);
  std::string text = fmt::format(
      "<h2>The blade</h2>\n<section class=\"step\">\n<div class=\"text\"><h3>{} Lay out and grind</h3>\n", kBox);
  text += "<p class=\"do\">" + escaped(place_text(sheet, blade)) + " " + escaped(grind_text(plan)) + "</p>\n";
  text += "<table class=\"sizes\"><tr><th></th><td>mm</td><td>in</td><td>1/16 in</td><td>as made</td></tr>\n";
  text += sizes_row("length, heel to tip", blade.length()) + sizes_row("height at most", blade.height());
  text += sizes_row("tang behind the heel", plan.tang_mm);
  text += sizes_row("spine at the heel", blade.spine_thickness(0));
  text += sizes_row("spine in the middle", blade.spine_thickness(blade.length() / 2));
  text += sizes_row("spine 10 mm from tip", blade.spine_thickness(blade.length() - 10));
  text += sizes_row("edge before sharpening", blade.edge_thickness()) + "</table>\n";
  const Measures say(sheet.recipe.units);
  const std::string sizes =
      plan.before_hardening
          ? std::string("These are the sizes before hardening.")
          : fmt::format("These are the sizes of the finished blade. Leave the edge {} or more before hardening.",
                        say.length(edge_before_hardening_mm(blade.edge_thickness())));
  text += fmt::format("<p class=\"note\">{} Sharpen at {} a side, last of all.</p>\n", sizes,
                      quantity_text(plan.edge_angle_rad, Unit::angle));
  return text + findings_html(sheet, "blade") + caution_html(sheet, Stage::grind) + "</div>\n</section>\n";
}

}  // namespace etchcast
