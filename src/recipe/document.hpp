#pragma once
/// \file document.hpp — a recipe's text as keys and values with their places; no meaning yet.

#include <string>
#include <string_view>
#include <vector>

#include "etchcast/error.hpp"

namespace etchcast {

/// Line and column in a document, from 1. Columns count characters, not bytes.
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
  std::vector<Value> items;    ///< list
  std::vector<Entry> entries;  ///< table, in the order of the text
};

struct Entry {
  std::string key;
  Spot spot;  ///< of the key
  Value value;
};

/// Recipes beyond this size are refused; keeps every later stage bounded.
inline constexpr std::size_t kLargestRecipe = 4 * 1024 * 1024;

struct Document {
  std::string file;
  std::string comment;             ///< the first comment lines, without their '#'
  std::vector<std::string> lines;  ///< of the text, for excerpts
  Value root;

  Place place(Spot spot) const { return {file, spot.line, spot.column}; }
  /// The line of a spot; empty if there is none or it is too long to show.
  std::string excerpt(Spot spot) const;
};

/// The text of a file.
///   Errors  Error(Fault::use) if it cannot be read; `what` is what it should be, e.g. "a recipe".
std::string read_file(const std::string& path, std::string_view what, const std::string& if_none);

/// Reads TOML.
///   Errors  Error(Fault::recipe) with one fault: too large, not UTF-8, or not TOML.
Document parse_document(std::string_view text, const std::string& file);

}  // namespace etchcast
