#pragma once
/// \file document.hpp — a recipe's text as keys and values with their places; no meaning yet.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "etchcast/error.hpp"

namespace etchcast {

/// Line and column in a document, from 1. Columns count characters, not bytes. A line below 0 is a setting: -1 the first.
struct Spot {
  int line = 0, column = 0;
};

enum class Shape { text, whole, decimal, flag, list, table, other };  ///< other: dates and times, never wanted here

struct Entry;

/// A TOML value of any shape; only the members of its own shape hold anything.
struct Value {
  Shape shape = Shape::other;
  Spot spot;
  std::string text;
  double number = 0;  ///< whole and decimal
  bool flag = false;
  bool headed = false;         ///< a list made of [[name]] headings
  bool bare = false;           ///< a setting's scalar without quotes: `text` holds it too, whatever its shape
  std::vector<Value> items;    ///< list
  std::vector<Entry> entries;  ///< table, in the order of the text
};

/// What may be read as text: text, and a setting's bare scalar (--set steels.dark=1084). Else nullptr.
const std::string* text_in(const Value& value);

/// The value of a key in a table, or nullptr.
const Value* find_value(const Value& table, std::string_view key);

struct Entry {
  std::string key;
  Spot spot;  ///< of the key
  Value value;
};

/// Recipes beyond this size are refused; keeps every later stage bounded.
inline constexpr std::size_t kLargestRecipe = 4 * 1024 * 1024;

struct Document {
  std::string file;                ///< as messages call it
  std::string path;                ///< of the file; empty for text from elsewhere
  std::string text;
  std::string comment;             ///< the first comment lines, without their '#'
  std::vector<std::string> lines;  ///< of the text, for excerpts
  Value root;

  Place place(Spot spot) const { return {file, spot.line, spot.column}; }
  /// The line of a spot; empty if there is none or it is too long to show.
  std::string excerpt(Spot spot) const;
};

/// The path of a file that a recipe names: beside the recipe, unless it stands by itself. A recipe from standard input
/// looks in the folder one stands in.
std::string beside(const std::string& recipe, const std::string& file);

/// The text of a file.
///   Errors  Error(Fault::use) if it cannot be read; `what` is what it should be, e.g. "a recipe".
std::string read_file(const std::string& path, std::string_view what, const std::string& if_none);

/// One value as TOML writes it, e.g. ["dark 3 mm"]; every part of it stands at `spot`. Nothing, and why, if it is none.
std::optional<Value> parse_value(std::string_view text, Spot spot, std::string& why);

/// Reads TOML.
///   Errors  Error(Fault::recipe) with one fault: too large, not UTF-8, or not TOML.
Document parse_document(std::string_view text, const std::string& file);

}  // namespace etchcast
