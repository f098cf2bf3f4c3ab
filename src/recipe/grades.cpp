// The steels the program knows as a recipe takes them: made from the one table of steels, etchcast/steels.hpp.

#include "recipe/grades.hpp"

#include <algorithm>
#include <tuple>

#include <fmt/format.h>

#include "etchcast/steels.hpp"

namespace etchcast {
namespace {

std::vector<Grade> make_grades() {
  std::vector<Grade> list;
  for (const SteelSheet& sheet : steel_sheets()) {
    Grade grade;
    grade.steel = steel_of({std::shared_ptr<const SteelSheet>(), &sheet});  // lives as long as the program
    grade.also = sheet.also;
    grade.standard = sheet.standard;
    grade.source = sheet.source;
    list.push_back(std::move(grade));
  }
  return list;
}

}  // namespace

Steel steel_of(std::shared_ptr<const SteelSheet> sheet) {
  Steel steel;
  steel.name = steel.grade = sheet->grade;
  steel.density = sheet->density;
  steel.tone = sheet->tone;
  steel.attack = sheet->attack;
  steel.carbon = steel.manganese = 0;
  for (const Content& content : sheet->contents) steel.*field_of(content.element) = content.nominal;
  steel.solidus_c = sheet->solidus_c > 0 ? sheet->solidus_c : iron_carbon_solidus_c(steel.carbon);
  steel.sheet = std::move(sheet);
  return steel;
}

Etched estimated_etch(double manganese, double chromium, double nickel) {
  const double black = std::max(0.03, 0.17 + tone_weight(Element::manganese) * manganese);
  const double bright =
      std::min(1.0, tone_weight(Element::nickel) * nickel + tone_weight(Element::chromium) * chromium);
  return {black + bright * (0.97 - black), 1 - bright};
}

const std::vector<Grade>& grades() {
  static const std::vector<Grade> list = make_grades();
  return list;
}

const Grade* find_grade(std::string_view name) {
  const SteelSheet* sheet = find_sheet(name);
  return sheet ? &grades()[size_t(sheet - steel_sheets().data())] : nullptr;
}

std::optional<Steel> find_steel(std::string_view name, const std::shared_ptr<const GradeBook>& own) {
  std::optional<Steel> steel;
  if (const SteelSheet* sheet = own ? own->find(name) : nullptr)
    steel = steel_of({own, sheet});
  else if (const Grade* grade = find_grade(name))
    steel = grade->steel;
  if (!steel) return steel;
  const std::string_view called = name_in(*steel->sheet, name);
  if (called != steel->grade) steel->called = called;
  return steel;
}

std::string designation(const Steel& steel) {
  if (!steel.sheet) return steel.name;
  return steel.called.empty() ? steel.grade : fmt::format("{} ({})", steel.grade, steel.called);
}

std::string named(const Steel& steel) {
  if (!steel.sheet) return fmt::format("{} (own composition)", steel.name);
  if (steel.name == steel.grade) return designation(steel);
  if (steel.called.empty() || steel.called == steel.name) return fmt::format("{} ({})", steel.name, steel.grade);
  return fmt::format("{} ({}, {})", steel.name, steel.grade, steel.called);
}

std::size_t same_metal(const Recipe& recipe, std::size_t steel) {
  const auto facts = [](const Steel& s) {
    return std::tie(s.sheet, s.carbon, s.manganese, s.silicon, s.chromium, s.nickel, s.molybdenum, s.vanadium,
                    s.tungsten, s.copper, s.density, s.tone, s.attack, s.solidus_c, s.grey);
  };
  std::size_t first = 0;
  while (first < steel && facts(recipe.steels[first]) != facts(recipe.steels[steel])) ++first;
  return first;
}

}  // namespace etchcast
