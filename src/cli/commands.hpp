#pragma once
/// \file commands.hpp — what each command was asked for, and the functions that do it.

#include <optional>
#include <string>
#include <vector>

namespace etchcast::cli {

struct RenderCall {
  std::string recipe, out, side = "both", resolution, data, at, view;
  bool plain = false, preview = false, quiet = false;
};
struct ProbeCall {
  std::string recipe, side = "right", step;
  std::vector<std::string> at, inside;
  std::string line;
  std::optional<double> section;
  double across = 0;
  int count = 100;
};
struct MeasureCall {
  std::string recipe, side = "both", at, resolution, picture, scale;
  bool inch = false;
};
struct SheetCall {
  std::string recipe, out;
  bool quiet = false;
};
struct LedgerCall {
  std::string recipe;
  bool json = false, maps = false, preview = false;
};
struct CheckCall {
  std::string recipe;
  bool preview = false, quiet = false;
};
struct LookUp {
  std::string name, grades;
  bool markdown = false;
};

/// Each returns the exit code, 0 or 1; faults of recipe and use leave as Error.
int render_command(const RenderCall& call);
int probe_command(const ProbeCall& call);
int measure_command(const MeasureCall& call);
int sheet_command(const SheetCall& call);
int ledger_command(const LedgerCall& call);
int check_command(const CheckCall& call);
int quench_command(const std::string& recipe);
int steels_command(const LookUp& call);
int steps_command(const LookUp& call);
int shapes_command();
int new_command(const std::string& name);

/// Reads the command line, runs the command, returns its exit code; 2 for a wrong command line.
int run(int count, char** words);

/// Pixels per mm from "12 px/mm", "300 px/in" or "300 dpi".
///   Errors  Error(Fault::use) that names the option: no such unit, or outside 0.2 to 2000 px/mm.
double read_resolution(const std::string& text, const std::string& option = "--resolution");

/// Told before the work, not after it: the folder of a file to write is there.
///   Errors  Error(Fault::use).
void need_folder(const std::string& file);

/// `count` numbers separated by commas, e.g. a place "12.5,3".
///   Errors  Error(Fault::use) that names the option and shows what to write.
std::vector<double> read_numbers(const std::string& option, const std::string& text, size_t count);

}  // namespace etchcast::cli
