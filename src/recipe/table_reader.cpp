// Reads one table of a recipe: checked values by key, and a fault for every key nobody reads.

#include "recipe/table_reader.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/units.hpp"
#include "base/words.hpp"

namespace etchcast {
namespace {

bool is_number(const Value& value) { return value.shape == Shape::whole || value.shape == Shape::decimal; }

// Range ends are constants in inside units, values come from conversions: both round. Ends in radians are commonly
// written to four figures, so that "5 deg" must pass 0.0873.
bool below(double value, double bound, Unit unit) {
  const double slack = unit == Unit::angle ? 5e-4 : 1e-9;
  return value < bound - slack * std::max(1e-3, std::abs(bound));
}

std::string extent(const Range& range) {
  return fmt::format("it may be {} to {}", quantity_text(range.least, range.unit),
                     quantity_text(range.most, range.unit));
}

// A count or plain number, which TOML writes without quotes.
std::optional<double> plain_number(const Value& value, Unit unit, std::string_view name, const std::string& path,
                                   Faults& faults) {
  const bool fits = value.shape == Shape::whole || (value.shape == Shape::decimal && unit == Unit::number);
  if (fits && std::isfinite(value.number)) return value.number;
  const std::string_view what = unit == Unit::count ? "a whole number" : "a plain number";
  const std::string example = unit == Unit::count ? "4" : "0.3";
  if (value.shape == Shape::text) {
    std::string unused;
    const auto meant = parse_quantity(value.text, unit, unused);
    faults.add(value.spot, path, fmt::format("{} must be {} without quotes, not {}", name, what, in_quotes(value.text)),
               fmt::format("write: {} = {}", name, meant ? number_text(*meant) : example));
  } else {
    const std::string found = is_number(value) ? number_text(value.number) : std::string(shape_name(value.shape));
    faults.add(value.spot, path, fmt::format("{} must be {}, not {}", name, what, found),
               fmt::format("write for example: {} = {}", name, example));
  }
  return {};
}

// A quantity with its unit, which stands in quotes.
std::optional<double> unit_quantity(const Value& value, Unit unit, std::string_view name, const std::string& path,
                                    Faults& faults) {
  std::string why;
  if (value.shape == Shape::text) {
    if (const auto quantity = parse_quantity(value.text, unit, why)) return quantity;
  } else if (is_number(value) && std::isfinite(value.number)) {
    parse_quantity(number_text(value.number), unit, why);
  } else {
    const std::string found = is_number(value) ? number_text(value.number) : std::string(shape_name(value.shape));
    why = fmt::format("must be {}, in quotes, not {}", unit_examples(unit), found);
  }
  faults.add(value.spot, path, fmt::format("{} {}", name, why));
  return {};
}

}  // namespace

std::string_view shape_name(Shape shape) {
  switch (shape) {
    case Shape::text:
      return "text";
    case Shape::whole:
      return "a whole number";
    case Shape::decimal:
      return "a number";
    case Shape::flag:
      return "true or false";
    case Shape::list:
      return "a list";
    case Shape::table:
      return "a table";
    case Shape::other:
      break;
  }
  return "a date or time";
}

std::optional<double> read_quantity(const Value& value, const Range& range, std::string_view name,
                                    const std::string& path, Faults& faults) {
  const bool plain = range.unit == Unit::count || range.unit == Unit::number;
  const auto quantity = plain ? plain_number(value, range.unit, name, path, faults)
                              : unit_quantity(value, range.unit, name, path, faults);
  if (!quantity) return {};
  const bool small = below(*quantity, range.least, range.unit), large = below(-*quantity, -range.most, range.unit);
  if (!small && !large) return quantity;
  const std::string written = value.shape == Shape::text ? in_quotes(value.text) : number_text(value.number);
  faults.add(value.spot, path,
             fmt::format("{} = {} is too {}: {}", name, written, small ? "small" : "large", extent(range)));
  return {};
}

namespace {

const std::string* text_of(const Value& value, const std::string& wanted, std::string_view name,
                           const std::string& path, Faults& faults) {
  const std::string* text = text_in(value);
  if (!text) faults.add(value.spot, path, fmt::format("{} must be {}, not {}", name, wanted, shape_name(value.shape)));
  return text;
}

}  // namespace

std::optional<std::string> read_text(const Value& value, std::string_view name, const std::string& path,
                                     Faults& faults) {
  const std::string* text = text_of(value, "text in quotes", name, path, faults);
  if (!text) return {};
  if (!text->empty()) return *text;
  faults.add(value.spot, path, fmt::format("{} is empty: write text in quotes or leave it out", name));
  return {};
}

std::optional<std::string> read_word(const Value& value, std::string_view choices, std::string_view name,
                                     const std::string& path, Faults& faults) {
  const std::vector<std::string_view> words = split_choices(choices);
  if (words.empty()) {
    const auto text = read_text(value, name, path, faults);
    if (!text || text->find_first_of("\t\r\n") == std::string::npos) return text;
    faults.add(value.spot, path, fmt::format("{} must stand on one line, without tabs", name), "put blanks in their place");
    return {};
  }
  const std::string* text = text_of(value, one_of(words) + ", in quotes", name, path, faults);
  if (!text) return {};
  if (std::find(words.begin(), words.end(), *text) != words.end()) return *text;
  const std::string_view nearest = nearest_word(*text, words);
  faults.add(value.spot, path, fmt::format("{} may be {}, not {}", name, one_of(words), in_quotes(*text)),
             nearest.empty() ? std::string() : fmt::format("did you mean {}?", in_quotes(nearest)));
  return {};
}

std::optional<bool> read_flag(const Value& value, std::string_view name, const std::string& path, Faults& faults) {
  if (value.shape == Shape::flag) return value.flag;
  const std::string found = value.shape == Shape::text ? in_quotes(value.text) : std::string(shape_name(value.shape));
  faults.add(value.spot, path, fmt::format("{} must be true or false, without quotes, not {}", name, found));
  return {};
}

std::string TableReader::path_of(std::string_view key) const {
  return path_.empty() ? std::string(key) : fmt::format("{}.{}", path_, key);
}

const Value* TableReader::find(std::string_view key) {
  if (std::find(known_.begin(), known_.end(), key) == known_.end()) known_.push_back(key);
  return find_value(table_, key);
}

std::optional<double> TableReader::quantity(std::string_view key, const Range& range) {
  const Value* value = find(key);
  return value ? read_quantity(*value, range, key, path_of(key), faults_) : std::nullopt;
}

std::optional<std::string> TableReader::word(std::string_view key, std::string_view choices) {
  const Value* value = find(key);
  return value ? read_word(*value, choices, key, path_of(key), faults_) : std::nullopt;
}

std::optional<std::string> TableReader::text(std::string_view key) {
  const Value* value = find(key);
  return value ? read_text(*value, key, path_of(key), faults_) : std::nullopt;
}

std::optional<bool> TableReader::flag(std::string_view key) {
  const Value* value = find(key);
  return value ? read_flag(*value, key, path_of(key), faults_) : std::nullopt;
}

void TableReader::miss(std::string_view key, std::string hint) {
  faults_.add(table_.spot, path_of(key), fmt::format("{} needs {}", title_, key), std::move(hint));
}

void TableReader::idle(std::string_view key, std::string_view other, std::string_view wanted) {
  if (const Value* value = find(key))
    faults_.add(value->spot, path_of(key), fmt::format("{} has no effect with {}", key, other),
                fmt::format("take {} out, or write {}", key, wanted));
}

void TableReader::finish() {
  for (const Entry& entry : table_.entries) {
    if (std::find(known_.begin(), known_.end(), entry.key) != known_.end()) continue;
    faults_.add(entry.spot, path_of(entry.key), fmt::format("{} has no key {}", title_, in_quotes(entry.key)),
                faults_.full() ? std::string() : hint_for_unknown(entry.key, known_));
  }
}

}  // namespace etchcast
