// Looks at a recipe's bytes before they are read as TOML: lines, UTF-8, keys too deep to be meant.

#include "recipe/text_scan.hpp"

#include <algorithm>

namespace etchcast {
namespace {

bool continues_character(unsigned char byte) { return (byte & 0xC0) == 0x80; }

// Length of the UTF-8 character at `offset`, 0 if it is not one: overlong forms, surrogates and values past U+10FFFF
// are none [RFC 3629, section 4].
std::size_t character_length(std::string_view text, std::size_t offset) {
  const auto byte = [&](std::size_t i) {
    return offset + i < text.size() ? static_cast<unsigned char>(text[offset + i]) : 0u;
  };
  const unsigned first = byte(0), second = byte(1);
  if (first < 0x80) return 1;
  const std::size_t length = first < 0xC2 ? 0 : first < 0xE0 ? 2 : first < 0xF0 ? 3 : first < 0xF5 ? 4 : 0;
  if ((first == 0xE0 && second < 0xA0) || (first == 0xED && second > 0x9F)) return 0;
  if ((first == 0xF0 && second < 0x90) || (first == 0xF4 && second > 0x8F)) return 0;
  for (std::size_t i = 1; i < length; ++i)
    if (!continues_character(static_cast<unsigned char>(byte(i)))) return 0;
  return length;
}

// Offset just past the string that opens at `offset`; an unclosed one ends with its line, or with the text if it is a
// string of several lines.
std::size_t past_string(std::string_view text, std::size_t offset) {
  const char quote = text[offset];
  const bool several = text.substr(offset, 3) == std::string(3, quote);
  std::size_t i = offset + (several ? 3 : 1);
  for (; i < text.size(); ++i) {
    if (text[i] == '\n' && !several) return i;
    if (text[i] == '\\' && quote == '"') {
      ++i;
    } else if (text[i] == quote && (!several || text.substr(i, 3) == std::string(3, quote))) {
      return i + (several ? 3 : 1);
    }
  }
  return text.size();
}

}  // namespace

std::vector<std::string> split_lines(std::string_view text) {
  std::vector<std::string> lines;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find('\n'), text.size());
    std::string_view line = text.substr(0, end);
    if (line.ends_with('\r')) line.remove_suffix(1);
    lines.emplace_back(line);
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  return lines;
}

std::string leading_comment(const std::vector<std::string>& lines) {
  std::string comment;
  bool begun = false;
  for (std::string_view line : lines) {
    if (!begun && line.starts_with("\xEF\xBB\xBF")) line.remove_prefix(3);  // byte order mark
    if (line.empty() && !begun) continue;
    if (!line.starts_with('#')) break;
    line.remove_prefix(line.starts_with("# ") ? 2 : 1);
    if (begun) comment += '\n';
    comment += line;
    begun = true;
  }
  return comment;
}

std::optional<std::size_t> first_bad_utf8(std::string_view text) {
  for (std::size_t i = 0; i < text.size();) {
    const std::size_t length = character_length(text, i);
    if (length == 0) return i;
    i += length;
  }
  return {};
}

std::optional<std::size_t> first_control(std::string_view text) {
  for (std::size_t i = 0; i < text.size(); ++i) {
    const auto byte = static_cast<unsigned char>(text[i]);
    const bool high = byte == 0xC2 && i + 1 < text.size() && static_cast<unsigned char>(text[i + 1]) < 0xA0;
    if (high || byte == 0x7F || (byte < 0x20 && byte != '\t' && byte != '\n' && byte != '\r')) return i;
  }
  return {};
}

std::optional<std::size_t> first_deep_key(std::string_view text, int most) {
  int dots = 0;
  std::size_t i = 0;
  while (i < text.size()) {
    const char letter = text[i];
    if (letter == '"' || letter == '\'') {
      i = past_string(text, i);
      continue;
    }
    if (letter == '#') {
      i = std::min(text.find('\n', i), text.size());
      continue;
    }
    if (letter == '.' && ++dots > most) return i;
    if (letter == '\n' || letter == ',' || letter == '{' || letter == '[' || letter == '=') dots = 0;
    ++i;
  }
  return {};
}

Spot spot_at(std::string_view text, std::size_t offset) {
  Spot spot{1, 1};
  for (std::size_t i = 0; i < std::min(offset, text.size()); ++i) {
    if (text[i] == '\n') {
      ++spot.line;
      spot.column = 1;
    } else if (!continues_character(static_cast<unsigned char>(text[i]))) {
      ++spot.column;
    }
  }
  return spot;
}

}  // namespace etchcast
