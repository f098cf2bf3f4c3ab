#pragma once
/// \file step.hpp — what a step of the forge is to the program, and the list of all of them.
/// Reads after: recipe.hpp. Read next: batch.hpp.
///
/// A step is one file in src/steps and one word in CMakeLists.txt. Recipe keys, units, ranges, help, the reference in
/// docs/steps.md and the conformance tests are all derived from the catalogue.

#include <span>
#include <string>
#include <string_view>

#include "etchcast/recipe.hpp"

namespace etchcast {

class Workpiece;

/// What a key's value is measured in. Inside the program: mm, degrees C, s, radians, radians per mm, fractions.
enum class Unit { length, temperature, time, share, angle, turns, turns_per_length, count, number, word, flag };

/// One key of a step.
struct Parameter {
  std::string_view key;
  Unit unit = Unit::number;
  double least = 0, most = 0;      ///< inclusive, in inside units; for words unused
  std::string_view fallback;       ///< default as the smith would write it; empty: see `required` and the text
  bool required = false;
  std::string_view words;          ///< for Unit::word: the choices, separated by '|'
  std::string_view text;           ///< one sentence
  /// When the key has an effect: "die=round|vee", that key being one of those words, given or by default; "!width", that
  /// key not being given; several joined by '&'. Empty: always. Given otherwise, the key is a fault.
  std::string_view only = {};
};

/// What a step does to the metal.
enum class Kind {
  bulk,  ///< moves metal and keeps its volume
  pile,  ///< many pieces become one
  cut    ///< takes metal away
};

/// A worked example: a step line as in a recipe, and what must come of it. Run by the tests.
struct Example {
  std::string_view line;  ///< e.g. `{ do = "draw", thickness = "10 mm" }`
  std::string_view says;  ///< one sentence for the reference
};

/// The keys of one line of the schedule, checked against the step's parameters.
class Arguments {
 public:
  Arguments(const StepCall& call, std::span<const Parameter> parameters) : call_(call), parameters_(parameters) {}
  bool has(std::string_view key) const;
  /// Value given, else the default. Throws std::logic_error for a key without either: a programmer's mistake.
  double number(std::string_view key) const;
  std::string word(std::string_view key) const;
  bool flag(std::string_view key) const;
  /// Throws Error(Fault::recipe) at the place of `key` (or of the step, if it was not given).
  [[noreturn]] void refuse(std::string_view key, std::string message, std::string hint = {}) const;
  const StepCall& call() const { return call_; }
  /// Refuses a heat, soak or number of heats that the step has not asked for: it is done cold.
  void refuse_idle_heats() const;

 private:
  const StepCall& call_;
  std::span<const Parameter> parameters_;
  mutable bool asked_heats_ = false;
};

struct Step {
  std::string_view name;
  std::string_view summary;  ///< one line
  Kind kind = Kind::bulk;
  std::span<const Parameter> parameters;
  std::span<const Example> examples;
  std::string_view text;     ///< a paragraph for the reference: what it does to metal and books, with sources
  void (*apply)(const Arguments&, Workpiece&) = nullptr;
};

/// Every step, in the order of CMakeLists.txt.
std::span<const Step* const> catalogue();

/// The step of that name, or nullptr.
const Step* find_step(std::string_view name);

/// Every step also takes these keys (id, heat, soak, heats) unless it lists its own of that name.
std::span<const Parameter> common_parameters();

}  // namespace etchcast
