// The steps as sentences to a smith.
#include <cmath>
#include <numbers>

#include <fmt/format.h>

#include "base/units.hpp"
#include "sheet/figures.hpp"
#include "sheet/html.hpp"
#include "sheet/parts.hpp"

namespace etchcast {
namespace {

/// All that a sentence may draw on.
struct Task {
  const Arguments& given;
  const LedgerRow &before, &after;
  const Losses& losses;
  bool round() const { return after.section == Section::round; }
};

std::string from_to(double before, double after) {
  return fmt::format("from {} to {}", both_lengths(before), both_lengths(after));
}

std::string weld(const Task& t) {
  return fmt::format(
      "Squeeze the pile {} while it is at welding heat ({:.0f} % of its height), before any work on its edges.",
      from_to(t.before.thickness_mm - 2 * t.after.scale_mm, t.after.thickness_mm), t.given.number("to") * 100);
}

std::string draw(const Task& t) {
  if (t.round())
    return fmt::format("Draw out round, to {} in diameter; it comes out {} long.", both_lengths(t.after.thickness_mm),
                       both_lengths(t.after.length_mm));
  return fmt::format("Draw out {} thick and {} wide; it comes out {} long.",
                     from_to(t.before.thickness_mm, t.after.thickness_mm), both_lengths(t.after.width_mm),
                     both_lengths(t.after.length_mm));
}

std::string upset(const Task& t) {
  return fmt::format("Drive the bar together {} in length.", from_to(t.before.length_mm, t.after.length_mm));
}

std::string fold(const Task& t) {
  return fmt::format(
      "Crop {} off both ends and clean the faces bright, {} a face. Cut nearly through from below at mid-length "
      "and fold the tip half over onto the heel half: top face meets top face.",
      both_lengths(t.losses.crop_mm), both_lengths(t.losses.clean_mm));
}

std::string restack(const Task& t) {
  const int pieces = int(t.given.number("pieces"));
  const std::string flip = t.given.word("flip");
  const std::string turned = flip == "over"
                                 ? " Turn every second piece over about its length: top face down, heel stays."
                             : flip == "end"  ? " Turn every second piece end for end and top face down."
                             : flip == "spin" ? " Turn every second piece end for end, top face up."
                                              : " All lie as they were: top face up, heel to heel.";
  return fmt::format(
      "Crop {} off both ends, cut in {} equal pieces (kerf {}), clean the faces bright, {} a face. Pile them: the "
      "piece from the heel end at the bottom, the next on it.{}",
      both_lengths(t.losses.crop_mm), pieces, both_lengths(t.losses.kerf_mm), both_lengths(t.losses.clean_mm), turned);
}

std::string turn(const Task& t) {
  const double by = t.given.number("by");
  return fmt::format("Roll the bar about its length by {:.0f}°{}.", std::abs(by) * 180 / std::numbers::pi,
                     by > 0 ? ", the spine side up" : ", the edge side up");
}

std::string twist(const Task& t) {
  const double from = t.given.has("from") ? t.given.number("from") : 0;
  const double to = std::min(t.given.has("to") ? t.given.number("to") : t.before.length_mm, t.before.length_mm);
  const double turns =
      t.given.has("rate") ? t.given.number("rate") / (2 * std::numbers::pi) * (to - from) : t.given.number("turns");
  const std::string part =
      from > 0 || to < t.before.length_mm - 0.5
          ? fmt::format(" between {} and {} from the heel end", both_lengths(from), both_lengths(to))
          : std::string();
  const std::string after = t.given.word("after") == "square"  ? " Then square up."
                            : t.given.word("after") == "round" ? " Then forge it round."
                                                               : "";
  return fmt::format("Twist {}, {:.1f} turns in all ({:.2f} turns an inch){}, as a {}-hand screw.{}",
                     part.empty() ? "the whole bar" : "the bar", turns, turns / (to - from) * 25.4, part,
                     t.given.word("hand"), after);
}

std::string grind(const Task& t) {
  const std::string faces = t.given.word("faces");
  const std::string which = faces == "both" ? "both faces, the same on each" : "the " + faces + " face only";
  const double off = t.before.thickness_mm - t.after.thickness_mm;
  return fmt::format("Grind flat to {} from {}: {} in all from the highest places.", both_lengths(t.after.thickness_mm),
                     which, both_lengths(off));
}

std::string flatten(const Task& t) {
  return fmt::format("Forge the uneven faces flat, to {}; it comes out {} long.", both_lengths(t.after.thickness_mm),
                     both_lengths(t.after.length_mm));
}

constexpr std::pair<std::string_view, std::string (*)(const Task&)> kTasks[] = {
    {"weld", weld}, {"draw", draw},   {"upset", upset}, {"fold", fold},      {"restack", restack},
    {"turn", turn}, {"twist", twist}, {"grind", grind}, {"flatten", flatten}};

/// Keys that say nothing to a smith: how the picture is reckoned.
bool of_the_picture(std::string_view key) {
  return key == "flow" || key == "seed" || key == "friction" || key == "sensitivity";
}

/// Whether a key left at its default says anything about the tool that was chosen.
bool matters(const Arguments& given, const Parameter& p) {
  if (p.fallback.empty() || of_the_picture(p.key)) return false;
  const auto is = [&](std::string_view key, std::string_view word) {
    for (const Parameter& one : find_step(given.call().name)->parameters)
      if (one.key == key) return given.word(key) == word;
    return false;
  };
  if (p.key == "land") return is("die", "flat");
  if (p.key == "flank") return !is("die", "sine") && !is("profile", "square");
  if (p.key == "floor") return is("profile", "square");
  if (p.key == "point") return !given.flag("ball");
  if (p.unit == Unit::flag) return given.flag(p.key);
  return !p.fallback.starts_with("0 ");
}

}  // namespace

std::string doing_html(const StepCall& call, const LedgerRow& before, const LedgerRow& after, const Losses& losses) {
  const Step& step = *find_step(call.name);
  const Arguments given(call, step.parameters);
  std::string text(step.summary);
  for (const auto& [name, sentence] : kTasks)
    if (name == call.name) text = sentence({given, before, after, losses});
  return "<p class=\"do\">" + escaped(text) + "</p>\n";
}

std::string settings_html(const StepCall& call) {
  const Step& step = *find_step(call.name);
  for (const auto& [name, sentence] : kTasks)
    if (name == call.name) return {};  // its sentence says it all
  const Arguments given(call, step.parameters);
  std::string rows;
  for (const Parameter& p : step.parameters) {
    if (given.has(p.key) ? of_the_picture(p.key) : !matters(given, p)) continue;
    const std::string value = p.unit == Unit::word   ? given.word(p.key)
                              : p.unit == Unit::flag ? (given.flag(p.key) ? "yes" : "no")
                                                     : both(given.number(p.key), p.unit);
    const std::string_view text = p.text.substr(0, p.text.find(" Default:"));  // of no use beside the value itself
    rows += fmt::format("<li><b>{} {}</b>. {}</li>\n", p.key, escaped(value), escaped(text));
  }
  return rows.empty() ? "" : "<ul class=\"set\">\n" + rows + "</ul>\n";
}

}  // namespace etchcast
