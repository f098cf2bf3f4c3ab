// Rendering of a fault: place, message, the recipe's own line with a caret, hint.

#include <fmt/format.h>

#include <algorithm>

#include "base/words.hpp"
#include "etchcast/error.hpp"

namespace etchcast {
namespace {

constexpr std::size_t kWidest = 100;  // of an excerpt, so that the caret stays under its column on a usual terminal

// Messages may have several lines; whatever else in them could be taken for a command to the terminal is shown as '?'.
std::string printable_lines(std::string_view text) {
  std::string result;
  for (std::size_t start = 0; start <= text.size();) {
    const std::size_t end = std::min(text.find('\n', start), text.size());
    result += printable(text.substr(start, end - start));
    if (end < text.size()) result += '\n';
    start = end + 1;
  }
  return result;
}

bool continues_character(char byte) { return (static_cast<unsigned char>(byte) & 0xC0) == 0x80; }

// Where each character starts: columns count characters, not bytes.
std::vector<std::size_t> character_starts(const std::string& text) {
  std::vector<std::size_t> starts;
  for (std::size_t i = 0; i < text.size(); ++i)
    if (!continues_character(text[i])) starts.push_back(i);
  starts.push_back(text.size());
  return starts;
}

// The excerpt and its caret, or a window of it round the caret if the line is long.
std::string excerpt_with_caret(const Diagnostic& diagnostic) {
  const std::string line = printable(diagnostic.excerpt);
  const std::vector<std::size_t> starts = character_starts(line);
  const std::size_t length = starts.size() - 1;
  const std::size_t caret =
      diagnostic.place.column > 0 ? static_cast<std::size_t>(diagnostic.place.column) - 1 : length;
  const std::size_t first = caret > kWidest * 3 / 4 ? std::min(caret - kWidest / 2, length) : 0;
  const std::size_t last = std::min(first + kWidest, length);
  std::string text = "    " + line.substr(starts[first], starts[last] - starts[first]);
  if (diagnostic.place.column > 0 && caret <= last) text += "\n    " + std::string(caret - first, ' ') + "^";
  return text;
}

std::string joined(const std::vector<Diagnostic>& diagnostics) {
  std::string text;
  for (const Diagnostic& diagnostic : diagnostics) {
    if (!text.empty()) text += '\n';
    text += to_text(diagnostic);
  }
  return text;
}

Diagnostic without_place(std::string message, std::string hint) {
  Diagnostic diagnostic;
  diagnostic.message = std::move(message);
  diagnostic.hint = std::move(hint);
  return diagnostic;
}

}  // namespace

std::string to_text(const Diagnostic& diagnostic) {
  const Place& place = diagnostic.place;
  std::string text = printable(place.file);
  if (place.line > 0) text += fmt::format("{}{}", text.empty() ? "" : ":", place.line);
  if (place.line > 0 && place.column > 0) text += fmt::format(":{}", place.column);
  if (!text.empty()) text += ": ";
  text += printable_lines(diagnostic.message);
  if (!diagnostic.excerpt.empty()) text += "\n" + excerpt_with_caret(diagnostic);
  if (!diagnostic.hint.empty()) text += "\n  " + printable_lines(diagnostic.hint);
  return text;
}

Error::Error(Fault fault, std::vector<Diagnostic> diagnostics)
    : std::runtime_error(joined(diagnostics)), fault_(fault), diagnostics_(std::move(diagnostics)) {}

Error::Error(Fault fault, std::string message, std::string hint)
    : Error(fault, std::vector<Diagnostic>{without_place(std::move(message), std::move(hint))}) {}

}  // namespace etchcast
