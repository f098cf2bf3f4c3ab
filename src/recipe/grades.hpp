#pragma once
/// \file grades.hpp — looking up the steels the program knows.

#include <array>
#include <memory>
#include <optional>
#include <string_view>
#include <vector>

#include "etchcast/steels.hpp"

namespace etchcast {

/// How a recipe or a file of grades calls an element, and the most of it that anything called steel holds, weight %.
struct ElementKey {
  std::string_view key;
  Element element;
  double most;
};
inline constexpr std::array<ElementKey, kElementCount> kElementKeys = {{{"c", Element::carbon, 3},
                                                                        {"mn", Element::manganese, 25},
                                                                        {"si", Element::silicon, 6},
                                                                        {"cr", Element::chromium, 35},
                                                                        {"ni", Element::nickel, 100},
                                                                        {"mo", Element::molybdenum, 20},
                                                                        {"v", Element::vanadium, 20},
                                                                        {"w", Element::tungsten, 25},
                                                                        {"cu", Element::copper, 100}}};

/// The grade of that designation or of that trade number; case does not count. nullptr if there is none.
const Grade* find_grade(std::string_view name);

/// The steel of that grade by its nominal composition: of the smith's own book first, then of the table.
std::optional<Steel> find_steel(std::string_view name, const std::shared_ptr<const GradeBook>& own);

/// What the etch does to a steel of that composition (weight %), where nobody has looked: estimates that follow the
/// grades' own figures. Nickel and chromium keep a steel bright and proud, manganese blackens it.
struct Etched {
  double tone, attack;
};
Etched estimated_etch(double manganese, double chromium, double nickel);

}  // namespace etchcast
