#pragma once
/// \file check.hpp — the tables of a recipe, each checked in a file of its own. Every function notes what is wrong in
/// `faults` and goes on; what it returns is only used when nothing was.

#include <set>
#include <string>

#include "etchcast/recipe.hpp"
#include "recipe/faults.hpp"
#include "recipe/table_reader.hpp"

namespace etchcast {

/// What a stack may name: steels, and billets by the order in which they are made.
struct Names {
  using Set = std::set<std::string, std::less<>>;
  Set steels;
  Set billets;          ///< all of the recipe
  Set made;             ///< those above the billet being read
  std::string current;  ///< the billet being read
  double plates = 0;    ///< laid so far, all billets together
};

/// Reads the file of the smith's own grades; its faults are noted among the recipe's.
void check_grades(const Value& value, Recipe& recipe, Faults& faults);
void check_steels(const Value& value, Recipe& recipe, Names& names, Faults& faults);
void check_billets(const Value& value, Recipe& recipe, Names& names, Faults& faults);
void check_stack(TableReader& reader, BilletPlan& billet, Names& names, Faults& faults);
void check_steps(const Value& value, const std::string& path, BilletPlan& billet, Faults& faults);
void check_stock(const Value& value, Recipe& recipe, const Names& names, Faults& faults);
void check_blade(const Value& value, Recipe& recipe, const Names& names, Faults& faults);
/// After the steels: a coupon tells their greys.
void check_etch(const Value& value, Recipe& recipe, Faults& faults);

/// True for a table; else a fault that says how `name` is written.
bool is_table(const Value& value, std::string_view name, Faults& faults);

/// True if `name` can stand in a stack entry: no blanks, quotes or brackets. Else a fault.
bool is_good_name(const std::string& name, Spot spot, const std::string& path, Faults& faults);

/// Copies a value read into its place, if there is one.
template <class Place, class Value>
void keep(Place& place, const std::optional<Value>& value) {
  if (value) place = *value;
}

}  // namespace etchcast
