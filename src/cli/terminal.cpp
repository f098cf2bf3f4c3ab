// The terminal's side of the program.
#include "cli/terminal.hpp"

#include <unistd.h>

#include <chrono>
#include <cstdlib>
#include <cstring>

#include <fmt/format.h>

namespace etchcast::cli {
namespace {

bool may_colour(std::FILE* stream) {
  const char* no_colour = std::getenv("NO_COLOR");  // set to anything but nothing: no colour, as is the custom
  const char* terminal = std::getenv("TERM");
  const bool dumb = terminal && std::strcmp(terminal, "dumb") == 0;
  return isatty(fileno(stream)) && !(no_colour && *no_colour) && !dumb;
}

}  // namespace

void print(std::string_view text) {
  if (std::fwrite(text.data(), 1, text.size(), stdout) != text.size() || std::fflush(stdout) != 0)
    throw Error(Fault::use, fmt::format("standard output takes no more: {}", std::strerror(errno)));
}

std::string coloured(std::FILE* stream, Colour colour, const std::string& word) {
  return may_colour(stream) ? fmt::format("\x1b[1;{}m{}\x1b[0m", int(colour), word) : word;
}

void print_error(const Error& error) {
  const std::string head = coloured(stderr, Colour::red, "error: ");
  for (const Diagnostic& diagnostic : error.diagnostics())
    std::fputs((head + to_text(diagnostic) + "\n").c_str(), stderr);
}

std::string paragraph(const std::string& text) {
  constexpr size_t kWide = 96;
  std::string out, line = "  ";
  for (size_t start = 0; start < text.size();) {
    const size_t end = std::min(text.find(' ', start), text.size());
    if (line.size() > 2 && line.size() + 1 + end - start > kWide) {
      out += line + "\n";
      line = "  ";
    }
    line += (line.size() > 2 ? " " : "") + text.substr(start, end - start);
    start = end + 1;
  }
  return out + line + "\n";
}

Progress::Progress(std::string what, bool quiet) : what_(std::move(what)) {
  if (!quiet && isatty(STDERR_FILENO)) clock_ = std::thread(&Progress::tick, this);
}

Progress::~Progress() {
  {
    const std::lock_guard lock(guard_);
    done_ = true;
  }
  wake_.notify_one();
  if (clock_.joinable()) clock_.join();
}

void Progress::tick() {
  const auto start = std::chrono::steady_clock::now();
  std::unique_lock lock(guard_);
  bool shown = false;
  while (!wake_.wait_for(lock, std::chrono::milliseconds(500), [this] { return done_; })) {
    const double seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
    std::fputs(fmt::format("\r{} … {:.0f} s", what_, seconds).c_str(), stderr);
    std::fflush(stderr);
    shown = true;
  }
  if (shown) std::fputs("\r\x1b[K", stderr);
  std::fflush(stderr);
}

}  // namespace etchcast::cli
