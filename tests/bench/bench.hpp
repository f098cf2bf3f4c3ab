#pragma once
/// \file bench.hpp — what the sections of the benchmark share: clocks, medians, rows of a table, other programs run.

#include <functional>
#include <string>
#include <vector>

namespace etchcast::bench {

struct Options {
  bool quick = false;  ///< smaller cuts and fewer runs: to see whether something moved, not to publish
  int runs() const { return quick ? 3 : 7; }
};

/// Seconds by the clock on the wall, and of all processors together.
struct Spent {
  double wall = 0, cpu = 0;
};

/// Medians over `runs` of each clock by itself, after one run that is not counted.
Spent median_of(int runs, const std::function<void()>& work);

/// Nanoseconds a pixel, with as many digits as three figures ask for.
std::string ns_text(double seconds, double pixels);
/// Three figures of any number.
std::string figures(double value);

void heading(const std::string& text);
void paragraph(const std::string& text);
/// The first row of a table, with the line under it; then each further one. Written out at once: runs take minutes.
void columns(const std::vector<std::string>& names);
void row(const std::vector<std::string>& cells);

/// Another program, run to its end.
struct Child {
  bool ran = false;  ///< found, and ended with 0
  Spent spent;
  double peak_bytes = 0;  ///< greatest resident set
  std::string text;       ///< what it wrote to both its outputs
};
Child run_child(std::vector<std::string> words);

/// A folder for files that pass between programs; gone when the benchmark ends.
std::string scratch(const std::string& name);

/// Sections, in the order they are printed.
void machine(const Options& options);
void workload(const Options& options);
void levels(const Options& options);
void peers(const Options& options);
void quality(const Options& options);
void quality_of_patterns(const Options& options);
void growth(const Options& options);
void memory(const Options& options);
void shaping(const Options& options);
void patterns(const Options& options);

/// Parts of the above that run as programs of their own.
void draw_workload(const std::string& png);  ///< from recipe text to a PNG file
void memory_rows(bool quick);                ///< the rows of the table of memory
void shaping_rows();                         ///< those of bars shaped by single tools
void time_level();                           ///< one line of timings at the level this program runs at

}  // namespace etchcast::bench
