// JSON as RFC 8259 wants it: UTF-8, control characters escaped, no NaN.
#include "books/json.hpp"

#include <cmath>

#include <fmt/format.h>

namespace etchcast {
namespace {

/// Length of the UTF-8 character at the head of `text`, 0 if there is none (overlong forms and surrogates are none).
size_t character_length(std::string_view text) {
  const auto byte = [&](size_t i) { return i < text.size() ? static_cast<unsigned char>(text[i]) : 0u; };
  const auto follows = [&](size_t i, unsigned least = 0x80, unsigned most = 0xBF) {
    return byte(i) >= least && byte(i) <= most;
  };
  const unsigned head = byte(0);
  if (head < 0x80) return 1;
  if (head >= 0xC2 && head <= 0xDF) return follows(1) ? 2 : 0;
  if (head >= 0xE0 && head <= 0xEF)
    return follows(1, head == 0xE0 ? 0xA0 : 0x80, head == 0xED ? 0x9F : 0xBF) && follows(2) ? 3 : 0;
  if (head >= 0xF0 && head <= 0xF4)
    return follows(1, head == 0xF0 ? 0x90 : 0x80, head == 0xF4 ? 0x8F : 0xBF) && follows(2) && follows(3) ? 4 : 0;
  return 0;
}

}  // namespace

std::string json_string(std::string_view text) {
  std::string out = "\"";
  while (!text.empty()) {
    const size_t length = character_length(text);
    const char c = text[0];
    if (length == 0)
      out += "\uFFFD";
    else if (c == '"' || c == '\\')
      out += {'\\', c};
    else if (c == '\n')
      out += "\\n";
    else if (c == '\t')
      out += "\\t";
    else if (static_cast<unsigned char>(c) < 0x20 || c == 0x7F)
      out += fmt::format("\\u{:04x}", static_cast<unsigned char>(c));
    else
      out += text.substr(0, length);
    text.remove_prefix(length == 0 ? 1 : length);
  }
  return out + '"';
}

void JsonWriter::begin(std::string_view key) {
  if (depth_ > 0) out_ += (first_ ? "\n" : ",\n") + std::string(size_t(depth_) * 2, ' ');
  first_ = false;
  if (!key.empty()) out_ += json_string(key) + ": ";
}

void JsonWriter::open(std::string_view key, char bracket) {
  begin(key);
  out_ += bracket;
  ++depth_;
  first_ = true;
}

void JsonWriter::close(char bracket) {
  --depth_;
  if (!first_) out_ += "\n" + std::string(size_t(depth_) * 2, ' ');
  first_ = false;
  out_ += bracket;
}

void JsonWriter::number(std::string_view key, double value) {
  begin(key);
  out_ += std::isfinite(value) ? fmt::format("{:.10g}", value) : "null";
}

void JsonWriter::text(std::string_view key, std::string_view value) {
  begin(key);
  out_ += json_string(value);
}

void JsonWriter::flag(std::string_view key, bool value) {
  begin(key);
  out_ += value ? "true" : "false";
}

}  // namespace etchcast
