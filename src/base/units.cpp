// Quantities: the number, then the unit, then what to write instead when either is wrong.

#include "base/units.hpp"

#include <fmt/format.h>

#include <charconv>
#include <cmath>
#include <numbers>
#include <numeric>

#include "base/words.hpp"

namespace etchcast {
namespace {

constexpr double kInch = 25.4;  // mm, exactly [NIST SP 811]
constexpr double kTurn = 2 * std::numbers::pi;

struct UnitWord {
  std::string_view words;  // spellings, separated by '|'
  Unit unit;
  double scale;
  double zero = 0;  // subtracted before scaling
};

constexpr UnitWord kUnitWords[] = {
    {"mm", Unit::length, 1},
    {"cm", Unit::length, 10},
    {"m", Unit::length, 1000},
    {"um|\u00B5m|\u03BCm", Unit::length, 1e-3},
    {"in|inch|inches|\"|\u2033", Unit::length, kInch},
    {"ft|foot|feet", Unit::length, 12 * kInch},
    {"thou", Unit::length, kInch / 1000},
    {"C|degC|\u00B0C", Unit::temperature, 1},
    {"F|degF|\u00B0F", Unit::temperature, 1 / 1.8, 32},
    {"s|sec|second|seconds", Unit::time, 1},
    {"min|minute|minutes", Unit::time, 60},
    {"h|hour|hours", Unit::time, 3600},
    {"%|percent", Unit::share, 0.01},
    {"deg|degrees|\u00B0", Unit::angle, kTurn / 360},
    {"rad", Unit::angle, 1},
    {"turn|turns", Unit::turns, 1},
};

struct UnitNames {
  Unit unit;
  std::string_view kind, examples;
};

constexpr UnitNames kUnitNames[] = {
    {Unit::length, "a length", "\"9.5 mm\" or \"3/8 in\""},
    {Unit::temperature, "a temperature", "\"1260 C\" or \"2300 F\""},
    {Unit::time, "a time", "\"8 min\" or \"90 s\""},
    {Unit::share, "a share", "\"60 %\""},
    {Unit::angle, "an angle", "\"30 deg\""},
    {Unit::turns, "a number of turns", "\"3 turns\""},
    {Unit::turns_per_length, "turns per length", "\"1.25 turns/in\" or \"5 turns/100 mm\""},
    {Unit::count, "a whole number", "4"},
    {Unit::number, "a plain number", "0.3"},
    {Unit::word, "a word", "\"round\""},
    {Unit::flag, "yes or no", "true or false"},
};

const UnitNames& names(Unit unit) {
  for (const UnitNames& entry : kUnitNames)
    if (entry.unit == unit) return entry;
  return kUnitNames[0];
}

bool is_digit(char letter) { return letter >= '0' && letter <= '9'; }

std::string_view trimmed(std::string_view text) {
  const auto blank = [](char letter) { return letter == ' ' || letter == '\t'; };
  while (!text.empty() && blank(text.front())) text.remove_prefix(1);
  while (!text.empty() && blank(text.back())) text.remove_suffix(1);
  return text;
}

// "3/8" at the head of `text`, moved past; nothing and `text` untouched if there is no such fraction.
std::optional<double> take_fraction(std::string_view& text) {
  unsigned long over = 0, under = 0;
  const char* const end = text.data() + text.size();
  const auto top = std::from_chars(text.data(), end, over);
  if (top.ec != std::errc() || end - top.ptr < 2 || *top.ptr != '/') return {};
  const auto bottom = std::from_chars(top.ptr + 1, end, under);
  if (bottom.ec != std::errc()) return {};
  text.remove_prefix(static_cast<std::size_t>(bottom.ptr - text.data()));
  return static_cast<double>(over) / static_cast<double>(under);
}

// The number at the head of `text`, moved past: "9.5", "3/8", "1 1/2", "1-1/2". Not finite: out of range or over
// nought.
std::optional<double> take_number(std::string_view& text) {
  double sign = 1;
  if (!text.empty() && (text[0] == '-' || text[0] == '+')) {
    sign = text[0] == '-' ? -1 : 1;
    text = trimmed(text.substr(1));
  }
  // Checked here because from_chars would take "inf" and "nan".
  if (text.empty() || !(is_digit(text[0]) || (text[0] == '.' && text.size() > 1 && is_digit(text[1])))) return {};
  if (const auto fraction = take_fraction(text)) return sign * *fraction;
  double number = 0;
  const auto result = std::from_chars(text.data(), text.data() + text.size(), number);
  const std::string_view digits(text.data(), static_cast<std::size_t>(result.ptr - text.data()));
  const bool whole = digits.find_first_not_of("0123456789") == std::string_view::npos;
  text.remove_prefix(digits.size());
  if (result.ec != std::errc()) return HUGE_VAL;
  if (!whole || text.empty() || !(text[0] == ' ' || text[0] == '-')) return sign * number;
  std::string_view rest = trimmed(text.substr(1));
  if (const auto fraction = take_fraction(rest)) {
    text = rest;
    return sign * (number + *fraction);
  }
  return sign * number;
}

std::string without_blanks(std::string_view text) {
  std::string result;
  for (const char letter : text)
    if (letter != ' ' && letter != '\t') result += letter;
  return result;
}

const UnitWord* find_unit(std::string_view word) {
  for (const UnitWord& entry : kUnitWords)
    for (const std::string_view spelling : split_choices(entry.words))
      if (spelling == word) return &entry;
  return nullptr;
}

// What to write in place of a bare number: the number itself with units, so that the smith sees both readings.
std::string with_units(double number, Unit unit) {
  const std::string plain = number_text(number);
  switch (unit) {
    case Unit::length: {
      const std::string inches = inch_fraction(number);
      const bool small = std::abs(number) < kInch / 32 || std::abs(number) > 100 * kInch;
      return fmt::format("\"{} mm\" or \"{} in\"", plain, small ? "3/8" : inches.substr(inches[0] == '~' ? 1 : 0));
    }
    case Unit::temperature:
      return fmt::format("\"{0} C\" or \"{0} F\"", plain);
    case Unit::time:
      return fmt::format("\"{0} min\" or \"{0} s\"", plain);
    case Unit::share:
      return fmt::format("\"{} %\"", number_text(std::abs(number) <= 1 ? 100 * number : number));
    case Unit::angle:
      return fmt::format("\"{} deg\"", plain);
    case Unit::turns:
      return fmt::format("\"{} turns\"", plain);
    case Unit::turns_per_length:
      return fmt::format("\"{0} turns/in\" or \"{0} turns/mm\"", plain);
    default:
      return std::string(names(unit).examples);
  }
}

std::string needs_unit(double number, Unit unit) {
  const std::string_view what = unit == Unit::share ? "a percent sign" : "a unit";
  return fmt::format("needs {}: write {}", what, with_units(number, unit));
}

std::string wrong_unit(std::string_view written, std::string_view rest, Unit unit) {
  const UnitWord* known = find_unit(without_blanks(rest));
  const bool rate = rest.starts_with("turn") && rest.find('/') != std::string_view::npos;
  const Unit found = known ? known->unit : rate ? Unit::turns_per_length : unit;
  if (found != unit)
    return fmt::format("must be {}, but {} is {}: write {}", names(unit).kind, in_quotes(written), names(found).kind,
                       names(unit).examples);
  return fmt::format("has an unknown unit {}: write {}", in_quotes(rest), names(unit).examples);
}

// Lengths in mm that "in", "mm" or "100 mm" stand for after "turns/".
std::optional<double> length_below(std::string_view text) {
  text = trimmed(text);
  const bool has_number = !text.empty() && (is_digit(text[0]) || text[0] == '.');
  const std::optional<double> number = has_number ? take_number(text) : 1.0;
  const UnitWord* word = find_unit(without_blanks(text));
  if (!number || !word || word->unit != Unit::length || !(*number > 0)) return {};
  return *number * word->scale;
}

// What stands after the number, as a factor to inside units.
std::optional<double> scaled(double number, std::string_view rest, Unit unit) {
  if (unit == Unit::turns_per_length) {
    const std::size_t slash = rest.find('/');
    const std::string above = without_blanks(rest.substr(0, slash));
    if (slash == std::string_view::npos || (above != "turns" && above != "turn")) return {};
    const auto length = length_below(rest.substr(slash + 1));
    return length ? std::optional<double>(number * kTurn / *length) : std::nullopt;
  }
  const UnitWord* word = find_unit(without_blanks(rest));
  if (!word || word->unit != unit) return {};
  return (number - word->zero) * word->scale;
}

std::optional<double> parse_flag(std::string_view text, std::string& why) {
  if (text == "true") return 1;
  if (text == "false") return 0;
  why = "is true or false";
  return {};
}

}  // namespace

std::optional<double> parse_quantity(std::string_view text, Unit unit, std::string& why) {
  const std::string_view written = text = trimmed(text);
  const std::string_view examples = names(unit).examples;
  if (unit == Unit::flag) return parse_flag(text, why);
  if (unit == Unit::word || text.empty()) {
    why = fmt::format("{}: write {}", text.empty() ? "is empty" : "is a word", examples);
    return {};
  }
  const std::optional<double> number = take_number(text);
  const std::string_view rest = trimmed(text);
  const bool plain = unit == Unit::count || unit == Unit::number;
  if (!number) {
    why = fmt::format("must be {}, not {}: write {}", names(unit).kind, in_quotes(written), examples);
  } else if (!std::isfinite(*number)) {
    why = fmt::format("cannot be {}: that is no usable number", in_quotes(written));
  } else if (rest.size() > 1 && rest[0] == ',' && is_digit(rest[1])) {
    why =
        fmt::format("has a comma in {}: write decimals with a point and thousands without a mark", in_quotes(written));
  } else if (rest.empty() && !plain) {
    why = needs_unit(*number, unit);
  } else if (plain && (!rest.empty() || (unit == Unit::count && std::floor(*number) != *number))) {
    why = fmt::format("must be {}, not {}", names(unit).kind, in_quotes(written));
  } else if (plain) {
    return number;
  } else {
    const auto value = scaled(*number, rest, unit);
    if (value && std::isfinite(*value)) return value;
    why = wrong_unit(written, rest, unit);
  }
  return {};
}

std::string unit_examples(Unit unit) {
  if (unit == Unit::flag) return std::string(names(unit).examples);
  return fmt::format("{} such as {}", names(unit).kind, names(unit).examples);
}

std::string quantity_text(double value, Unit unit) {
  switch (unit) {
    case Unit::length:
      if (std::abs(value) >= 10000) return number_text(value / 1000) + " m";
      if (value != 0 && std::abs(value) < 0.1) return number_text(value * 1000) + " um";
      return number_text(value) + " mm";
    case Unit::temperature:
      return number_text(value) + " C";
    case Unit::time:
      return std::abs(value) >= 120 ? number_text(value / 60) + " min" : number_text(value) + " s";
    case Unit::share:
      return number_text(value * 100) + " %";
    case Unit::angle:
      return number_text(std::round(value * 36000 / kTurn) / 100) + " deg";
    case Unit::turns:
      return number_text(value) + " turns";
    case Unit::turns_per_length:
      return number_text(value * kInch / kTurn) + " turns/in";
    default:
      return number_text(value);
  }
}

std::string inch_fraction(double mm) {
  if (!(std::abs(mm) < 1e12)) return "~" + number_text(mm / kInch);  // past what a long holds in sixteenths
  const long sixteenths = std::lround(std::abs(mm) / kInch * 16);
  const bool rough = std::abs(std::abs(mm) - static_cast<double>(sixteenths) * kInch / 16) > 0.1;
  const long whole = sixteenths / 16, part = sixteenths % 16, common = std::gcd(part, 16L);
  std::string text = rough ? "~" : "";
  if (mm < 0 && sixteenths > 0) text += '-';
  if (whole > 0 || part == 0) text += std::to_string(whole);
  if (part == 0) return text;
  return fmt::format("{}{}{}/{}", text, whole > 0 ? " " : "", part / common, 16 / common);
}

}  // namespace etchcast
