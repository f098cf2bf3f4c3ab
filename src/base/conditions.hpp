#pragma once
/// \file conditions.hpp — when a step's key has an effect, as Parameter::only says it: "die=round|vee&!width".

#include <string>
#include <string_view>
#include <vector>

#include "etchcast/step.hpp"

namespace etchcast {

/// One part of a condition: that a key is one of those words, or, with no words, that it is not given.
struct Condition {
  std::string_view key;
  std::vector<std::string_view> words;
};

std::vector<Condition> conditions_of(std::string_view only);

/// As a recipe writes it: `die = "round"`, `ball = false`.
std::string written(std::string_view key, std::string_view word);

/// What meets a condition: `die = "round" or "vee"`.
std::string written(const Condition& condition);

/// For the reference: "Only with die = "round" or "vee"." Empty if it is always read.
std::string only_text(const Parameter& parameter);

}  // namespace etchcast
