#pragma once
/// \file settings.hpp — keys given from outside, put into a recipe's values before anything is checked.

#include <span>

#include "recipe/faults.hpp"

namespace etchcast {

/// The values with the settings in them, one after another. A setting stands at Spot{-1 - its index}; what it names
/// and is not there is a fault, a key that is not there is made. `tables` are the recipe's keys outside the billets.
Value with_settings(const Value& root, std::span<const Setting> settings, std::span<const std::string_view> tables,
                    Faults& faults);

}  // namespace etchcast
