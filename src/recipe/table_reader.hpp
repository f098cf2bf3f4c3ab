#pragma once
/// \file table_reader.hpp — reads one table of a recipe: checked values by key, a fault for every key nobody reads.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "etchcast/step.hpp"
#include "recipe/faults.hpp"

namespace etchcast {

/// What a quantity may be, in inside units; both ends belong to it.
struct Range {
  Unit unit = Unit::number;
  double least = 0, most = 0;
};

/// What a smith would call the shape of a value: "a list", "text" …
std::string_view shape_name(Shape shape);

/// The quantity, word-free and within range, else a fault that begins with `name`.
std::optional<double> read_quantity(const Value& value, const Range& range, std::string_view name,
                                    const std::string& path, Faults& faults);

/// Any text, else a fault.
std::optional<std::string> read_text(const Value& value, std::string_view name, const std::string& path,
                                     Faults& faults);

/// One of the choices "a|b|c" (any text on one line if there are none), else a fault.
std::optional<std::string> read_word(const Value& value, std::string_view choices, std::string_view name,
                                     const std::string& path, Faults& faults);

std::optional<bool> read_flag(const Value& value, std::string_view name, const std::string& path, Faults& faults);

class TableReader {
 public:
  /// `path` names the table in Diagnostic::key; `title` in messages, e.g. "[blade]" or "a press step".
  TableReader(const Value& table, std::string path, std::string title, Faults& faults)
      : table_(table), path_(std::move(path)), title_(std::move(title)), faults_(faults) {}

  /// Each of these makes its key known to finish(). Nothing is returned for a key that is absent or at fault.
  const Value* find(std::string_view key);
  std::optional<double> quantity(std::string_view key, const Range& range);
  std::optional<std::string> word(std::string_view key, std::string_view choices = {});
  std::optional<std::string> text(std::string_view key);  ///< of any number of lines
  std::optional<bool> flag(std::string_view key);

  /// Notes the absence of a key that must be there.
  void miss(std::string_view key, std::string hint);

  /// A fault if the key is given: beside `other`, which holds as the recipe stands, it has no effect; it would have with
  /// `wanted`. Both as a recipe writes them, e.g. `die = "round"`.
  void idle(std::string_view key, std::string_view other, std::string_view wanted);

  /// Every key asked for so far.
  const std::vector<std::string_view>& known() const { return known_; }

  /// A fault for each key that was not asked for, with the nearest one that was.
  void finish();

  std::string path_of(std::string_view key) const;
  const Value& table() const { return table_; }

 private:
  const Value& table_;
  std::string path_, title_;
  Faults& faults_;
  std::vector<std::string_view> known_;
};

}  // namespace etchcast
