#pragma once
/// \file terminal.hpp — what a terminal is told: errors and warnings in colour, long work with a clock.

#include <condition_variable>
#include <cstdio>
#include <mutex>
#include <string>
#include <string_view>
#include <thread>

#include "etchcast/error.hpp"

namespace etchcast::cli {

/// Writes to standard output.
///   Errors  Error(Fault::use) if it takes no more, e.g. on a full disk.
void print(std::string_view text);

/// "error: …" for every fault, on standard error.
void print_error(const Error& error);

/// `word` in colour if `stream` is a terminal that may be coloured (NO_COLOR not set).
enum class Colour { red = 31, yellow = 33, cyan = 36 };
std::string coloured(std::FILE* stream, Colour colour, const std::string& word);

/// Text broken between words into lines of at most 96 columns, indented by two.
std::string paragraph(const std::string& text);

/// A line on the terminal that says what takes long, and for how long already; gone when the work is done. Silent
/// unless standard error is a terminal, and for work under half a second.
class Progress {
 public:
  Progress(std::string what, bool quiet);
  ~Progress();
  Progress(const Progress&) = delete;
  Progress& operator=(const Progress&) = delete;

 private:
  void tick();
  std::string what_;
  bool done_ = false;
  std::mutex guard_;
  std::condition_variable wake_;
  std::thread clock_;
};

}  // namespace etchcast::cli
