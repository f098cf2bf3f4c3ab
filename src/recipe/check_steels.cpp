// [steels]: the smith's own names for grades, or steels of their own by composition.

#include <fmt/format.h>

#include <array>

#include "base/words.hpp"
#include "etchcast/steels.hpp"
#include "recipe/check.hpp"
#include "recipe/grades.hpp"

namespace etchcast {
namespace {

struct ElementKey {
  std::string_view key;
  Element element;
  double most;  // weight %
};

constexpr std::array<ElementKey, kElementCount> kElements = {{{"c", Element::carbon, 3},
                                                              {"mn", Element::manganese, 25},
                                                              {"si", Element::silicon, 6},
                                                              {"cr", Element::chromium, 35},
                                                              {"ni", Element::nickel, 100},
                                                              {"mo", Element::molybdenum, 20},
                                                              {"v", Element::vanadium, 20},
                                                              {"w", Element::tungsten, 25}}};
constexpr Range kShare{Unit::number, 0, 1};
constexpr Range kDensity{Unit::number, 1, 23};  // magnesium to osmium, g/cm3

// The grade of that name, else a fault.
const Grade* look_up(const std::string& name, Spot spot, const std::string& path, Faults& faults) {
  if (const Grade* grade = find_grade(name)) return grade;
  const auto words = grade_words();
  const std::string_view nearest = nearest_word(name, words);
  const std::string own = "give a table of your own: { c = 0.8, mn = 0.7, tone = 0.1 }";
  faults.add(spot, path, fmt::format("{} is not a grade known here", in_quotes(name)),
             nearest.empty() ? "etchcast steels lists them; or " + own
                             : fmt::format("did you mean {}? Or {}", in_quotes(nearest), own));
  return nullptr;
}

// Without a grade, tone and attack follow from the elements given; a grade's own tone and attack stay as they are.
Steel steel_by_table(TableReader& reader, Faults& faults) {
  const Value* named = reader.find("grade");
  const auto grade_name = named ? read_word(*named, {}, "grade", reader.path_of("grade"), faults) : std::nullopt;
  const Grade* grade = grade_name ? look_up(*grade_name, named->spot, reader.path_of("grade"), faults) : nullptr;
  Steel steel = grade ? grade->steel : Steel{};
  double sum = 0;
  std::array<std::optional<double>, kElements.size()> given;
  for (std::size_t i = 0; i < kElements.size(); ++i) {
    given[i] = reader.quantity(kElements[i].key, {Unit::number, 0, kElements[i].most});
    sum += given[i].value_or(0);
  }
  if (sum > 100)
    faults.add(reader.table().spot, reader.path_of("c"),
               fmt::format("the elements add up to {} %, more than the whole steel", number_text(sum)));
  for (std::size_t i = 0; i < kElements.size(); ++i) keep(steel.*field_of(kElements[i].element), given[i]);
  if (!grade) {
    const Etched etched = estimated_etch(steel.manganese, steel.chromium, steel.nickel);
    steel.tone = etched.tone;
    steel.attack = etched.attack;
  }
  if (!grade || given[0]) steel.solidus_c = iron_carbon_solidus(steel.carbon);
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
    if (const Grade* grade = look_up(entry.value.text, entry.value.spot, path, faults)) steel = grade->steel;
  } else if (entry.value.shape == Shape::table) {
    TableReader reader(entry.value, path, "steel " + in_quotes(entry.key), faults);
    steel = steel_by_table(reader, faults);
  } else {
    const bool number = entry.value.shape == Shape::whole || entry.value.shape == Shape::decimal;
    const std::string found = number ? number_text(entry.value.number) : std::string(shape_name(entry.value.shape));
    faults.add(entry.value.spot, path, fmt::format("{} must be a grade in quotes or a table, not {}", entry.key, found),
               fmt::format("write: {} = \"{}\"", entry.key, number && find_grade(found) ? found : "1084"));
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
