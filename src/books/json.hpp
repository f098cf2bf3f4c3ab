#pragma once
/// \file json.hpp — a small writer of JSON (RFC 8259): objects and arrays in the order they are given.

#include <string>
#include <string_view>

namespace etchcast {

class JsonWriter {
 public:
  void begin_object(std::string_view key = {}) { open(key, '{'); }
  void end_object() { close('}'); }
  void begin_array(std::string_view key = {}) { open(key, '['); }
  void end_array() { close(']'); }
  /// Six significant figures and more where needed; what is no number becomes null.
  void number(std::string_view key, double value);
  void text(std::string_view key, std::string_view value);
  void flag(std::string_view key, bool value);
  std::string take() { return std::move(out_) + "\n"; }

 private:
  void open(std::string_view key, char bracket);
  void close(char bracket);
  void begin(std::string_view key);
  std::string out_;
  int depth_ = 0;
  bool first_ = true;
};

/// The text as a JSON string, quotes included; bytes that are no UTF-8 become U+FFFD.
std::string json_string(std::string_view text);

}  // namespace etchcast
