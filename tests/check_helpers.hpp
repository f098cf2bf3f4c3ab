#pragma once
/// \file check_helpers.hpp — what check() finds in a recipe given as text.

#include <algorithm>
#include <string>
#include <vector>

#include "etchcast/check.hpp"

namespace etchcast {

inline std::vector<Warning> checked(const std::string& text) {
  const Recipe recipe = parse_recipe(text, "test.toml");
  return check(recipe, forge(recipe));
}

/// The first finding whose text holds `words`, or nullptr.
inline const Warning* find(const std::vector<Warning>& all, const std::string& words) {
  const auto found =
      std::find_if(all.begin(), all.end(), [&](const Warning& w) { return w.text.find(words) != std::string::npos; });
  return found == all.end() ? nullptr : &*found;
}

inline bool warned(const std::vector<Warning>& all, const std::string& words) {
  const Warning* found = find(all, words);
  return found && found->weight == Warning::Weight::warning;
}

}  // namespace etchcast
