// The steps in a few words each, for the first page.
#include <cmath>
#include <numbers>

#include <fmt/format.h>

#include "base/units.hpp"
#include "sheet/html.hpp"
#include "sheet/parts.hpp"

namespace etchcast {
namespace {

std::string weld(const Task& t, const Arguments& given) {
  return fmt::format(
      "{}{}{}{:.0f} % of the height", given.word("seams") == "flux" ? "flux; " : "seams welded shut; ",
      given.flag("handle") ? "handle on the heel end; " : "",
      t.after.setting > 0 ? fmt::format("{} light heats, then squeeze to ", t.after.setting) : "squeeze to ",
      given.number("to") * 100);
}

std::string fold(const Task& t, const Arguments&) {
  return fmt::format("crop {} each end, clean {} a face; tip half over heel half",
                     apart(t.say.length(t.losses.crop_mm)).first, apart(t.say.length(t.losses.clean_mm)).first);
}

std::string restack(const Task& t, const Arguments& given) {
  const std::string flip = given.word("flip");
  return fmt::format("mark top, number from heel; crop {} each end, cut in <b>{}</b>, clean {} a face; {}",
                     apart(t.say.length(t.losses.crop_mm)).first, int(given.number("pieces")),
                     apart(t.say.length(t.losses.clean_mm)).first,
                     flip == "over"   ? "turn every 2nd over, heel to heel"
                     : flip == "end"  ? "turn every 2nd end for end, top down"
                     : flip == "spin" ? "turn every 2nd end for end, top up"
                                      : "turn none");
}

std::string turn(const Task&, const Arguments& given) {
  const double by = given.number("by");
  return fmt::format("{:.0f}°, {} side up", std::abs(by) * 180 / std::numbers::pi, by > 0 ? "spine" : "edge");
}

std::string twist(const Task& t, const Arguments& given) {
  const double from = given.has("from") ? given.number("from") : 0;
  const double to = std::min(given.has("to") ? given.number("to") : t.before.length_mm, t.before.length_mm);
  const bool part = from > 0 || to < t.before.length_mm - 0.5;
  const std::string after = given.word("after");
  return fmt::format("<b>{:.1f} turns {}-hand</b>{}; then {}",
                     std::abs(t.after.twist_rad_mm) / (2 * std::numbers::pi) * (to - from), given.word("hand"),
                     part ? fmt::format(" from {} to {} off the heel end", apart(t.say.length(from)).first,
                                        apart(t.say.length(to)).first)
                          : std::string(),
                     after == "square"  ? "square up at welding heat"
                     : after == "round" ? "forge round"
                                        : "leave the corners");
}

std::string grind(const Task&, const Arguments& given) {
  const std::string faces = given.word("faces");
  return faces == "both" ? "both faces, the same off each" : faces + " face only";
}

std::string none(const Task&, const Arguments&) { return {}; }

constexpr std::pair<std::string_view, std::string (*)(const Task&, const Arguments&)> kBriefs[] = {
    {"weld", weld}, {"draw", none},   {"upset", none},  {"fold", fold},   {"restack", restack},
    {"turn", turn}, {"twist", twist}, {"grind", grind}, {"flatten", none}};

/// Any other step by the keys that its recipe gives, and where its tools work.
std::string keys(const Task& t, const Arguments& given) {
  std::string text;
  for (const Parameter& p : find_step(t.call.name)->parameters) {
    if (of_the_picture(p.key) || !(given.has(p.key) || p.key == "sides")) continue;
    const std::string value = p.unit == Unit::word   ? given.word(p.key)
                              : p.unit == Unit::flag ? (given.flag(p.key) ? "yes" : "no")
                                                     : apart(t.say.quantity(given.number(p.key), p.unit)).first;
    text += fmt::format("{}{} <b>{}</b>", text.empty() ? "" : ", ", p.key, escaped(value));
  }
  return text;
}

}  // namespace

std::string brief_html(const Task& task) {
  const Arguments given(task.call, find_step(task.call.name)->parameters);
  for (const auto& [name, words] : kBriefs)
    if (name == task.call.name) return words(task, given);
  return keys(task, given);
}

}  // namespace etchcast
