// Conditions of keys on other keys, taken apart and put in words.

#include "base/conditions.hpp"

#include <fmt/format.h>

#include "base/words.hpp"

namespace etchcast {

std::vector<Condition> conditions_of(std::string_view only) {
  std::vector<Condition> all;
  while (!only.empty()) {
    const std::string_view part = only.substr(0, only.find('&'));
    only.remove_prefix(std::min(part.size() + 1, only.size()));
    const std::size_t equals = part.find('=');
    if (part.starts_with('!'))
      all.push_back({part.substr(1), {}});
    else
      all.push_back({part.substr(0, equals), split_choices(part.substr(equals + 1))});
  }
  return all;
}

std::string written(std::string_view key, std::string_view word) {
  const bool flag = word == "true" || word == "false";
  return flag ? fmt::format("{} = {}", key, word) : fmt::format("{} = {}", key, in_quotes(word));
}

std::string written(const Condition& condition) {
  std::vector<std::string> quoted;
  for (const std::string_view word : condition.words)
    quoted.push_back(quoted.empty() ? written(condition.key, word) : in_quotes(word));
  const std::vector<std::string_view> views(quoted.begin(), quoted.end());
  return one_of(views);
}

std::string only_text(const Parameter& parameter) {
  std::string text;
  for (const Condition& condition : conditions_of(parameter.only))
    text += (text.empty() ? "Only " : " and ") +
            (condition.words.empty() ? fmt::format("without {}", condition.key) : "with " + written(condition));
  return text.empty() ? text : text + ".";
}

}  // namespace etchcast
