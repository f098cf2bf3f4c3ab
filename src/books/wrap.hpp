#pragma once
/// \file wrap.hpp — running text broken between words.

#include <algorithm>
#include <string>
#include <string_view>

namespace etchcast {

/// Lines of at most `width` columns, each led by `indent`, the first by `first`; ends with a line feed.
inline std::string wrapped(std::string_view text, size_t width, const std::string& indent, const std::string& first) {
  std::string out, line = first;
  bool empty = true;
  while (!text.empty()) {
    const size_t end = std::min(text.find(' '), text.size());
    const std::string_view word = text.substr(0, end);
    if (!empty && line.size() + 1 + word.size() > width) {
      out += line + "\n";
      line = indent;
      empty = true;
    }
    line += empty ? "" : " ";
    line += word;
    empty = false;
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  return out + line + "\n";
}

}  // namespace etchcast
