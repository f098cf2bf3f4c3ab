// [[billet]]: name and footprint of each billet, and the order in which they are made.

#include <fmt/format.h>

#include <algorithm>

#include "base/words.hpp"
#include "recipe/check.hpp"

namespace etchcast {
namespace {

constexpr Range kWidth{Unit::length, 1, 1000};
constexpr Range kLength{Unit::length, 1, 20000};
constexpr std::size_t kMostBillets = 1000;

// The names of all billets, so that a stack can tell a later billet from a word that means nothing.
void gather_names(const Value& list, Names& names) {
  for (const Value& billet : list.items)
    if (const Value* name = find_value(billet, "name"); name && text_in(*name)) names.billets.insert(*text_in(*name));
}

std::string check_name(TableReader& reader, const Names& names, Faults& faults) {
  const Value* value = reader.find("name");
  if (!value) {
    reader.miss("a name", "one word, by which later billets and the blade may call for it: name = \"bar\"");
    return {};
  }
  const std::string path = reader.path_of("name");
  const auto name = read_word(*value, {}, "name", path, faults);
  if (!name || !is_good_name(*name, value->spot, path, faults)) return name.value_or("");
  if (names.steels.contains(*name))
    faults.add(value->spot, path,
               fmt::format("{} is a steel already; a billet needs a name of its own", in_quotes(*name)));
  if (names.made.contains(*name))
    faults.add(value->spot, path, fmt::format("there is a billet {} already", in_quotes(*name)),
               "each billet needs a name of its own");
  return *name;
}

// A length, or "auto" for the shortest that gives the blade.
std::optional<double> check_length(TableReader& reader, BilletPlan& billet, Faults& faults) {
  const Value* value = reader.find("length");
  if (!value) return {};
  if (value->shape == Shape::text && value->text == "auto") {
    billet.length_auto = true;
    billet.length_place = faults.place(value->spot);
    return {};
  }
  return read_quantity(*value, kLength, "length", reader.path_of("length"), faults);
}

void check_billet(const Value& value, std::size_t number, Recipe& recipe, Names& names, Faults& faults) {
  if (value.shape != Shape::table)
    return faults.add(value.spot, "billet", fmt::format("a billet must be a table, not {}", shape_name(value.shape)),
                      "each billet begins with [[billet]] on a line of its own");
  const Value* named = find_value(value, "name");
  const bool has_name = named && text_in(*named) && named->text.size() <= 60;
  TableReader reader(value, has_name ? "billet." + named->text : fmt::format("billet[{}]", number), "a billet", faults);
  BilletPlan billet;
  billet.place = faults.place(value.spot);
  billet.name = names.current = check_name(reader, names, faults);
  const auto width = reader.quantity("width", kWidth), length = check_length(reader, billet, faults);
  check_stack(reader, billet, names, faults);
  const bool has_bars = std::any_of(billet.stack.begin(), billet.stack.end(),
                                    [&](const StackEntry& entry) { return !names.steels.contains(entry.name); });
  billet.width_mm = width.value_or(has_bars ? 0 : billet.width_mm);
  billet.length_mm = length.value_or(has_bars ? 0 : billet.length_mm);
  if (const Value* steps = reader.find("steps")) check_steps(*steps, reader.path_of("steps"), billet, faults);
  reader.finish();
  names.made.insert(billet.name);
  recipe.billets.push_back(std::move(billet));
}

}  // namespace

void check_billets(const Value& value, Recipe& recipe, Names& names, Faults& faults) {
  if (value.shape != Shape::list)
    return faults.add(value.spot, "billet",
                      fmt::format("billet must be a list of tables, not {}", shape_name(value.shape)),
                      "each billet begins with [[billet]], two brackets, on a line of its own");
  if (value.items.empty())
    return faults.add(value.spot, "billet", "there is no billet", "write [[billet]] and its keys below");
  if (value.items.size() > kMostBillets)
    return faults.add(value.spot, "billet",
                      fmt::format("{} billets are too many: a recipe may have {}", value.items.size(), kMostBillets));
  gather_names(value, names);
  for (std::size_t i = 0; i < value.items.size(); ++i) check_billet(value.items[i], i + 1, recipe, names, faults);
}

}  // namespace etchcast
