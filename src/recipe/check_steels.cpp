// [steels]: the smith's own names for grades, or steels of their own by composition.

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "base/words.hpp"
#include "etchcast/steels.hpp"
#include "recipe/check.hpp"
#include "recipe/grades.hpp"

namespace etchcast {
namespace {

constexpr Range kShare{Unit::number, 0, 1};
constexpr Range kDensity{Unit::number, 1, 23};           // magnesium to osmium, g/cm3
constexpr Range kMelting{Unit::temperature, 600, 1700};  // zinc alloys are no part of a stack

using Book = std::shared_ptr<const GradeBook>;

// The steel of that grade, else a fault.
std::optional<Steel> look_up(const std::string& name, const Book& own, Spot spot, const std::string& path,
                             Faults& faults) {
  if (auto steel = find_steel(name, own)) return steel;
  const std::string meant = steel_hint(name, own.get());
  const std::string by_hand =
      "give a table of its elements: { c = 0.8, mn = 0.7, tone = 0.1 }. 'etchcast steels' lists all";
  faults.add(spot, path, fmt::format("{} is not a steel known here", in_quotes(name)),
             meant.empty() ? by_hand : fmt::format("{}. Or {}", meant, by_hand));
  return {};
}

// Where a metal begins to melt: as told, else on the iron-carbon line, which says nothing of metals that are not iron.
void keep_melting(TableReader& reader, Steel& steel, Faults& faults) {
  constexpr double kForeign = 5;         // weight % of copper; hot iron hardly dissolves more
  constexpr double kNickelMelts = 1400;  // C; nickel alone 1435, with chromium from 1400: value from memory
  if (!steel.sheet && steel.nickel > 50) steel.solidus_c = std::min(steel.solidus_c, kNickelMelts);
  const auto melts = reader.quantity("melts", kMelting);
  if (!melts && !steel.sheet && steel.copper > kForeign)
    faults.add(reader.table().spot, reader.path_of("melts"), "it is not told at what heat this metal begins to melt",
               "write: melts = \"1065 C\" for copper; bronze and brass melt lower");
  keep(steel.solidus_c, melts);
}

// Without a grade, tone and attack follow from the elements given; a grade's own tone and attack stay as they are.
Steel steel_by_table(TableReader& reader, const Book& own, Faults& faults) {
  const Value* named = reader.find("grade");
  const auto grade_name = named ? read_word(*named, {}, "grade", reader.path_of("grade"), faults) : std::nullopt;
  const auto grade =
      grade_name ? look_up(*grade_name, own, named->spot, reader.path_of("grade"), faults) : std::nullopt;
  Steel steel = grade.value_or(Steel{});
  double sum = 0;
  std::array<std::optional<double>, kElementKeys.size()> given;
  for (std::size_t i = 0; i < kElementKeys.size(); ++i) {
    given[i] = reader.quantity(kElementKeys[i].key, {Unit::number, 0, kElementKeys[i].most});
    sum += given[i].value_or(0);
  }
  if (sum > 100)
    faults.add(reader.table().spot, reader.path_of("c"),
               fmt::format("the elements add up to {} %, more than the whole steel", number_text(sum)));
  for (std::size_t i = 0; i < kElementKeys.size(); ++i) keep(steel.*field_of(kElementKeys[i].element), given[i]);
  if (!grade) {
    const Etched etched = estimated_etch(steel.manganese, steel.chromium, steel.nickel);
    steel.tone = etched.tone;
    steel.attack = etched.attack;
  }
  if (!grade || given[0]) steel.solidus_c = iron_carbon_solidus_c(steel.carbon);
  keep_melting(reader, steel, faults);
  keep(steel.tone, reader.quantity("tone", kShare));
  keep(steel.attack, reader.quantity("attack", kShare));
  keep(steel.density, reader.quantity("density", kDensity));
  reader.finish();
  return steel;
}

void check_steel(const Entry& entry, Recipe& recipe, Faults& faults) {
  const std::string path = "steels." + entry.key;
  Steel steel;
  if (entry.value.shape == Shape::text) {
    keep(steel, look_up(entry.value.text, recipe.own_grades, entry.value.spot, path, faults));
  } else if (entry.value.shape == Shape::table) {
    TableReader reader(entry.value, path, "steel " + in_quotes(entry.key), faults);
    steel = steel_by_table(reader, recipe.own_grades, faults);
  } else {
    const bool number = entry.value.shape == Shape::whole || entry.value.shape == Shape::decimal;
    const std::string found = number ? number_text(entry.value.number) : std::string(shape_name(entry.value.shape));
    faults.add(
        entry.value.spot, path, fmt::format("{} must be a grade in quotes or a table, not {}", entry.key, found),
        fmt::format("write: {} = \"{}\"", entry.key, number && find_steel(found, recipe.own_grades) ? found : "1084"));
  }
  steel.name = entry.key;
  if (steel.grade.empty()) steel.grade = "own";
  recipe.steels.push_back(std::move(steel));
}

}  // namespace

void check_steels(const Value& value, Recipe& recipe, Names& names, Faults& faults) {
  if (!is_table(value, "steels", faults)) return;
  if (value.entries.empty())
    faults.add(value.spot, "steels", "[steels] is empty", "write for example: dark = \"1084\"");
  for (const Entry& entry : value.entries) {
    is_good_name(entry.key, entry.spot, "steels." + entry.key, faults);
    names.steels.insert(entry.key);  // even at fault: a stack that names it is right
    check_steel(entry, recipe, faults);
  }
}

}  // namespace etchcast
