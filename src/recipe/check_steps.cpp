// steps of a billet: each line against the parameters of the step it names.

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "base/conditions.hpp"
#include "base/units.hpp"
#include "base/words.hpp"
#include "recipe/check.hpp"

namespace etchcast {
namespace {

// "press" -> "a press step", "upset" -> "an upset step".
std::string step_title(std::string_view name) {
  const bool vowel = std::string_view("aeiou").find(name[0]) != std::string_view::npos;
  return fmt::format("{} {} step", vowel ? "an" : "a", name);
}

// The step's own parameters, then the common ones it has not replaced. `id` and `do` are read apart.
std::vector<const Parameter*> parameters_of(const Step& step) {
  std::vector<const Parameter*> list;
  for (const Parameter& parameter : step.parameters) list.push_back(&parameter);
  for (const Parameter& parameter : common_parameters()) {
    const bool replaced =
        std::any_of(list.begin(), list.end(), [&](const Parameter* own) { return own->key == parameter.key; });
    if (!replaced && parameter.key != "id" && parameter.key != "do") list.push_back(&parameter);
  }
  return list;
}

std::optional<Argument> check_argument(const Value& value, const Parameter& parameter, const std::string& path,
                                       Faults& faults) {
  Argument argument;
  argument.place = faults.place(value.spot);
  if (parameter.unit == Unit::word) {
    const auto word = read_word(value, parameter.words, parameter.key, path, faults);
    if (!word) return {};
    argument.word = *word;
  } else if (parameter.unit == Unit::flag) {
    const auto flag = read_flag(value, parameter.key, path, faults);
    if (!flag) return {};
    argument.number = *flag ? 1 : 0;
    argument.word = *flag ? "true" : "false";
  } else {
    const Range range{parameter.unit, parameter.least, parameter.most};
    const auto number = read_quantity(value, range, parameter.key, path, faults);
    if (!number) return {};
    argument.number = *number;
  }
  return argument;
}

std::string example_of(const Parameter& parameter) {
  if (parameter.unit != Unit::word || parameter.words.empty()) return unit_examples(parameter.unit);
  return one_of(split_choices(parameter.words));
}

void check_arguments(TableReader& reader, const Step& step, StepCall& call, Faults& faults) {
  for (const Parameter* parameter : parameters_of(step)) {
    if (const Value* value = reader.find(parameter->key)) {
      if (auto argument = check_argument(*value, *parameter, reader.path_of(parameter->key), faults))
        call.given.emplace(parameter->key, std::move(*argument));
    } else if (parameter->required) {
      reader.miss(parameter->key, fmt::format("{} is {}: {}", parameter->key, example_of(*parameter), parameter->text));
    }
  }
}

/// The word that a key has, given or by default; nothing if it is given and at fault.
std::optional<std::string> word_of(TableReader& reader, const Step& step, const StepCall& call, std::string_view key) {
  if (const auto given = call.given.find(std::string(key)); given != call.given.end()) return given->second.word;
  if (reader.find(key)) return {};
  for (const Parameter& parameter : step.parameters)
    if (parameter.key == key) return std::string(parameter.fallback);
  return {};
}

/// Keys that have no effect beside the others.
void check_idle(TableReader& reader, const Step& step, const StepCall& call) {
  for (const Parameter& parameter : step.parameters) {
    if (parameter.only.empty() || !reader.find(parameter.key)) continue;
    for (const Condition& condition : conditions_of(parameter.only)) {
      if (condition.words.empty()) {
        if (reader.find(condition.key)) reader.idle(parameter.key, condition.key, fmt::format("no {}", condition.key));
        continue;
      }
      const auto word = word_of(reader, step, call, condition.key);
      if (word && std::find(condition.words.begin(), condition.words.end(), *word) == condition.words.end())
        reader.idle(parameter.key, written(condition.key, *word), written(condition));
    }
  }
}

// The step that `do` names, else a fault.
const Step* step_named(const Value& line, const std::string& path, Faults& faults) {
  const Value* word = find_value(line, "do");
  if (!word) {
    faults.add(line.spot, path, "a step must say what to do",
               "write for example: { do = \"draw\", thickness = \"10 mm\" }");
    return nullptr;
  }
  const auto name = read_word(*word, {}, "do", path + ".do", faults);
  const Step* step = name ? find_step(*name) : nullptr;
  if (!step && name) {
    std::vector<std::string_view> known;
    for (const Step* entry : catalogue()) known.push_back(entry->name);
    faults.add(word->spot, path + ".do", fmt::format("there is no step {}", in_quotes(*name)),
               hint_for_unknown(*name, known));
  }
  return step;
}

void check_step(const Value& line, const std::string& path, std::set<std::string>& ids, BilletPlan& billet,
                Faults& faults) {
  if (line.shape != Shape::table)
    return faults.add(line.spot, path, fmt::format("a step must be a table, not {}", shape_name(line.shape)),
                      "write for example: { do = \"draw\", thickness = \"10 mm\" }");
  const Step* step = step_named(line, path, faults);
  if (!step) return;
  StepCall call;
  call.name = step->name;
  call.place = faults.place(line.spot);
  TableReader reader(line, path, step_title(step->name), faults);
  reader.find("do");
  if (const Value* id = reader.find("id")) {
    keep(call.id, read_word(*id, {}, "id", reader.path_of("id"), faults));
    if (!call.id.empty() && !ids.insert(call.id).second)
      faults.add(id->spot, reader.path_of("id"),
                 fmt::format("there is a step with the id {} already", in_quotes(call.id)),
                 "each id stands for one step of the billet");
  }
  check_arguments(reader, *step, call, faults);
  check_idle(reader, *step, call);
  reader.finish();
  billet.steps.push_back(std::move(call));
}

}  // namespace

void check_steps(const Value& value, const std::string& path, BilletPlan& billet, Faults& faults) {
  if (value.shape != Shape::list)
    return faults.add(value.spot, path, fmt::format("steps must be a list, not {}", shape_name(value.shape)),
                      "write: steps = [ { do = \"draw\", thickness = \"10 mm\" }, ... ]");
  std::set<std::string> ids;
  for (std::size_t i = 0; i < value.items.size(); ++i)
    check_step(value.items[i], fmt::format("{}[{}]", path, i + 1), ids, billet, faults);
}

}  // namespace etchcast
