#pragma once
/// \file check.hpp — what a master would say beforehand, and the books as text.
/// Reads after: render.hpp.

#include <string>
#include <vector>

#include "etchcast/forging.hpp"
#include "etchcast/recipe.hpp"

namespace etchcast {

/// All warnings and notes on a recipe, those found while forging included, in the order of work.
std::vector<Warning> check(const Recipe& recipe, const Forging& forging);

/// The ledger as a table for a terminal of at least 80 columns, inch and metric, lb and kg.
std::string ledger_text(const Recipe& recipe, const Forging& forging);

/// What each billet's schedule came down to: how many bands its flat steps left, and the maps a point of the finished bar
/// goes back through.
std::string maps_text(const Forging& forging);

/// The ledger as JSON (RFC 8259), all figures in mm, g, degrees C, s.
std::string ledger_json(const Recipe& recipe, const Forging& forging);

}  // namespace etchcast
