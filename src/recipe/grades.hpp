#pragma once
/// \file grades.hpp — looking up the steels the program knows.

#include <string_view>
#include <vector>

#include "etchcast/recipe.hpp"

namespace etchcast {

/// The grade of that designation or of that trade number; case does not count. nullptr if there is none.
const Grade* find_grade(std::string_view name);

/// Every word find_grade() takes.
std::vector<std::string_view> grade_words();

/// Linear iron-carbon solidus, degrees C, capped at the peritectic: a value from memory, through 1375 C at 0.84 % C and
/// 1355 C at 0.95 % C.
double iron_carbon_solidus(double carbon);

/// What the etch does to a steel of that composition (weight %), where nobody has looked: estimates that follow the
/// grades' own figures. Nickel and chromium keep a steel bright and proud, manganese blackens it.
struct Etched {
  double tone, attack;
};
Etched estimated_etch(double manganese, double chromium, double nickel);

}  // namespace etchcast
