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

/// A task with its keys at hand.
struct Doing : Task {
  explicit Doing(const Task& task) : Task(task), given(task.call, find_step(task.call.name)->parameters) {}
  Arguments given;
  bool round() const { return after.section == Section::round; }
  std::string from_to(double before_mm, double after_mm) const {
    return fmt::format("from {} to {}", say.length(before_mm), say.length(after_mm));
  }
};

std::string weld(const Doing& t) {
  std::string text = t.given.word("seams") == "flux" ? "Flux the seams with borax at a dull red."
                                                     : "Weld the seams shut all round; use no flux.";
  if (t.given.flag("handle")) text += " Weld a handle to the heel end.";
  if (t.after.setting > 0)
    text += fmt::format(" Set the weld in {} light heat{}.", t.after.setting, t.after.setting == 1 ? "" : "s");
  return text +
         fmt::format(
             " Then squeeze the stack to {}, {:.0f} % of its height, while it is at welding heat. Do not work its "
             "edges before that.",
             t.say.length(t.after.thickness_mm), t.given.number("to") * 100);
}

std::string draw(const Doing& t) {
  if (t.round())
    return fmt::format("Draw the bar out round, to {} in diameter. It comes out {} long.",
                       t.say.length(t.after.thickness_mm), t.say.length(t.after.length_mm));
  return fmt::format("Draw the bar out {} thick and {} wide. It comes out {} long.",
                     t.from_to(t.before.thickness_mm, t.after.thickness_mm), t.say.length(t.after.width_mm),
                     t.say.length(t.after.length_mm));
}

std::string upset(const Doing& t) {
  return fmt::format("Drive the bar together {} in length.", t.from_to(t.before.length_mm, t.after.length_mm));
}

std::string fold(const Doing& t) {
  return fmt::format(
      "Crop {} off both ends and clean the faces bright, {} off each. Cut nearly through from below at mid-length. "
      "Fold the "
      "tip half over onto the heel half, so that top face meets top face.",
      t.say.length(t.losses.crop_mm), t.say.length(t.losses.clean_mm));
}

std::string restack(const Doing& t) {
  const std::string flip = t.given.word("flip");
  const std::string turned = flip == "over"
                                 ? " Turn every second piece over about its length: top face down, heel where it was."
                             : flip == "end"  ? " Turn every second piece end for end with its top face down."
                             : flip == "spin" ? " Turn every second piece end for end with its top face up."
                                              : " Turn no piece: all lie top face up, heel over heel.";
  return fmt::format(
      "Mark the top face and number the pieces from the heel end. Crop {} off both ends, cut the bar in {} equal "
      "pieces (kerf "
      "{}), clean the faces bright, {} off each. Stack them: the piece from the heel end at the bottom, the next on "
      "it.{}",
      t.say.length(t.losses.crop_mm), int(t.given.number("pieces")), t.say.length(t.losses.kerf_mm),
      t.say.length(t.losses.clean_mm), turned);
}

std::string turn(const Doing& t) {
  const double by = t.given.number("by");
  return fmt::format("Roll the bar about its length by {:.0f}°, {} side up.", std::abs(by) * 180 / std::numbers::pi,
                     by > 0 ? "the spine" : "the edge");
}

std::string twist(const Doing& t) {
  const double length = t.before.length_mm, rate = std::abs(t.after.twist_rad_mm);
  const double from = t.given.has("from") ? t.given.number("from") : 0;
  const double to = std::min(t.given.has("to") ? t.given.number("to") : length, length);
  const bool part = from > 0 || to < length - 0.5;
  const std::string where =
      part ? fmt::format("the bar between {} and {} from the heel end", t.say.length(from), t.say.length(to))
           : std::string("the whole bar");
  const std::string after =
      t.given.word("after") == "square"  ? " Then clean and flux it, and square it up at welding heat."
      : t.given.word("after") == "round" ? " Then clean and flux it, and forge it round at welding heat."
                                         : " Leave its corners standing out.";
  return fmt::format("Twist {} by {:.1f} turns, {}, like a {}-hand screw. Count the turns.{}", where,
                     rate / (2 * std::numbers::pi) * (to - from), t.say.quantity(rate, Unit::turns_per_length),
                     t.given.word("hand"), after);
}

std::string grind(const Doing& t) {
  const std::string faces = t.given.word("faces");
  const std::string which = faces == "both" ? "both faces, the same off each" : "the " + faces + " face only";
  return fmt::format("Grind the bar flat to {}, from {}: {} in all off the highest places.",
                     t.say.length(t.after.thickness_mm), which,
                     t.say.length(t.before.thickness_mm - t.after.thickness_mm));
}

std::string flatten(const Doing& t) {
  return fmt::format("Forge the uneven faces flat, to {}. The bar comes out {} long.",
                     t.say.length(t.after.thickness_mm), t.say.length(t.after.length_mm));
}

constexpr std::pair<std::string_view, std::string (*)(const Doing&)> kTasks[] = {
    {"weld", weld}, {"draw", draw},   {"upset", upset}, {"fold", fold},      {"restack", restack},
    {"turn", turn}, {"twist", twist}, {"grind", grind}, {"flatten", flatten}};

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

bool of_the_picture(std::string_view key) {
  return key == "flow" || key == "seed" || key == "friction" || key == "sensitivity";
}

std::string doing_html(const Task& task) {
  std::string text(find_step(task.call.name)->summary);
  for (const auto& [name, sentence] : kTasks)
    if (name == task.call.name) text = sentence(Doing(task));
  return "<p class=\"do\">" + escaped(text) + "</p>\n";
}

std::string settings_html(const StepCall& call, const Figures& say) {
  const Step& step = *find_step(call.name);
  for (const auto& [name, sentence] : kTasks)
    if (name == call.name) return {};  // its sentences say it all
  const Arguments given(call, step.parameters);
  std::string rows;
  for (const Parameter& p : step.parameters) {
    if (given.has(p.key) ? of_the_picture(p.key) : !matters(given, p)) continue;
    const std::string value = p.unit == Unit::word   ? given.word(p.key)
                              : p.unit == Unit::flag ? (given.flag(p.key) ? "yes" : "no")
                                                     : say.quantity(given.number(p.key), p.unit);
    const std::string_view text = p.text.substr(0, p.text.find(" Default:"));  // of no use beside the value itself
    rows += fmt::format("<li><b>{} {}</b>. {}</li>\n", p.key, escaped(value), escaped(text));
  }
  return rows.empty() ? "" : "<ul class=\"set\">\n" + rows + "</ul>\n";
}

}  // namespace etchcast
