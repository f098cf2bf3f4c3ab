// stack, repeat and top of a billet: plates and bars from the bottom to the top, written out.

#include <fmt/format.h>

#include "base/units.hpp"
#include "base/words.hpp"
#include "recipe/check.hpp"
#include "recipe/grades.hpp"

namespace etchcast {
namespace {

constexpr Range kPlate{Unit::length, 0.005, 500};  // foil to the thickest block a press opens for
constexpr Range kRepeat{Unit::count, 1, 10000};
constexpr double kMostPlates = 1e6;    // of a recipe; more would be finer than iron's crystals after the first weld
constexpr double kHighestPile = 2000;  // mm

std::string_view take_first_word(std::string_view& text) {
  text.remove_prefix(std::min(text.find_first_not_of(" \t"), text.size()));
  const std::string_view word = text.substr(0, text.find_first_of(" \t"));
  text.remove_prefix(word.size());
  text.remove_prefix(std::min(text.find_first_not_of(" \t"), text.size()));
  return word;
}

// "over", "end", "spin" or "none" at the end of the entry, taken off it.
Flip take_flip(std::string_view& text) {
  constexpr std::pair<std::string_view, Flip> kFlips[] = {
      {"none", Flip::none}, {"over", Flip::over}, {"end", Flip::end}, {"spin", Flip::spin}};
  text = text.substr(0, text.find_last_not_of(" \t") + 1);
  const std::size_t blank = text.find_last_of(" \t");
  const std::string_view last = blank == std::string_view::npos ? text : text.substr(blank + 1);
  for (const auto& [word, flip] : kFlips) {
    if (last != word) continue;
    text.remove_suffix(last.size());
    text = text.substr(0, text.find_last_not_of(" \t") + 1);
    return flip;
  }
  return Flip::none;
}

// Why a name cannot be laid here, and what could be.
void refuse_name(const std::string& name, Spot spot, const std::string& path, const Names& names, Faults& faults) {
  if (name == names.current && !name.empty())
    return faults.add(spot, path, fmt::format("billet {} cannot be laid in its own stack", in_quotes(name)),
                      "a stack holds steels and billets made before it");
  if (names.billets.contains(name))
    return faults.add(spot, path, fmt::format("billet {} is not made yet: it stands further down", in_quotes(name)),
                      "billets are made in the order written; put its [[billet]] above this one");
  if (faults.full()) return faults.add(spot, path, {});
  std::vector<std::string_view> known(names.steels.begin(), names.steels.end());
  known.insert(known.end(), names.made.begin(), names.made.end());
  std::string hint = hint_for_unknown(name, known);
  if (find_grade(name)) hint = fmt::format("give the grade a name under [steels] first: \"{0}\" = \"{0}\"", name);
  faults.add(spot, path, fmt::format("{} is neither a steel nor an earlier billet", in_quotes(name)), hint);
}

std::optional<StackEntry> check_entry(const Value& value, const std::string& path, const Names& names, Faults& faults) {
  const auto written = read_word(value, {}, "a stack entry", path, faults);
  if (!written) return {};
  std::string_view rest = *written;
  StackEntry entry;
  entry.place = faults.place(value.spot);
  entry.name = take_first_word(rest);
  entry.flip = take_flip(rest);
  const bool steel = names.steels.contains(entry.name);
  if (!steel && !names.made.contains(entry.name)) refuse_name(entry.name, value.spot, path, names, faults);
  if (!rest.empty()) {
    Value thickness;
    thickness.shape = Shape::text;
    thickness.spot = value.spot;
    thickness.text = rest;
    const std::string name = fmt::format("thickness of {}", in_quotes(entry.name));
    entry.thickness_mm = read_quantity(thickness, kPlate, name, path, faults);
  } else if (steel) {
    faults.add(value.spot, path, fmt::format("steel {} needs a thickness", in_quotes(entry.name)),
               fmt::format("write \"{0} 3.2 mm\" or \"{0} 1/8 in\"", entry.name));
  }
  return entry;
}

// A list of entries, or one entry alone.
std::vector<StackEntry> check_entries(const Value& value, const std::string& path, const Names& names, Faults& faults) {
  std::vector<StackEntry> entries;
  if (value.shape == Shape::list) {
    for (std::size_t i = 0; i < value.items.size(); ++i)
      if (auto entry = check_entry(value.items[i], fmt::format("{}[{}]", path, i + 1), names, faults))
        entries.push_back(std::move(*entry));
  } else if (auto entry = check_entry(value, path, names, faults)) {
    entries.push_back(std::move(*entry));
  }
  return entries;
}

double height(const std::vector<StackEntry>& entries) {
  double sum = 0;
  for (const StackEntry& entry : entries) sum += entry.thickness_mm.value_or(0);
  return sum;
}

}  // namespace

void check_stack(TableReader& reader, BilletPlan& billet, Names& names, Faults& faults) {
  const Value* stack = reader.find("stack");
  const double repeat = reader.quantity("repeat", kRepeat).value_or(1);
  const Value* top = reader.find("top");
  const std::string path = reader.path_of("stack");
  if (!stack) return reader.miss("a stack", "from bottom to top: stack = [\"dark 3.2 mm\", \"bright 1.6 mm\"]");
  const std::vector<StackEntry> course = check_entries(*stack, path, names, faults);
  const std::vector<StackEntry> last =
      top ? check_entries(*top, reader.path_of("top"), names, faults) : std::vector<StackEntry>{};
  if (stack->shape == Shape::list && stack->items.empty())
    return faults.add(stack->spot, path, "the stack is empty", "lay at least one plate: [\"dark 3.2 mm\"]");
  names.plates += static_cast<double>(course.size()) * repeat + static_cast<double>(last.size());
  if (names.plates > kMostPlates)
    return faults.add(
        stack->spot, path,
        fmt::format("{} plates are too many: a recipe may lay {}", number_text(names.plates), number_text(kMostPlates)),
        "layers beyond the first pile come from restack and fold");
  const double high = height(course) * repeat + height(last);
  if (high > kHighestPile)
    return faults.add(stack->spot, path,
                      fmt::format("the pile would stand {} high: it may be {} at most",
                                  quantity_text(high, Unit::length), quantity_text(kHighestPile, Unit::length)));
  billet.stack.reserve(course.size() * static_cast<std::size_t>(repeat) + last.size());
  for (int i = 0; i < static_cast<int>(repeat); ++i)
    billet.stack.insert(billet.stack.end(), course.begin(), course.end());
  billet.stack.insert(billet.stack.end(), last.begin(), last.end());
}

}  // namespace etchcast
