#pragma once
/// \file commands.hpp — what each command was asked for, and the functions that do it.

#include <optional>
#include <string>
#include <vector>

#include "etchcast/recipe.hpp"

namespace etchcast::cli {

/// A recipe, and keys of it given on the command line: "ladder.spacing=8 mm".
struct RecipeCall {
  std::string recipe;
  std::vector<std::string> set;
};

/// An option is empty if it was not given.
struct RenderCall : RecipeCall {
  std::string out, side, resolution, data, at, view;
  bool plain = false, preview = false, quiet = false;
};
struct ProbeCall : RecipeCall {
  std::string side, step;
  std::vector<std::string> at, inside;
  std::string line;
  std::optional<double> section, across;
  std::optional<int> count;
};
struct MeasureCall : RecipeCall {
  std::string side, at, resolution, picture, scale;
  bool inch = false;
};
struct SheetCall : RecipeCall {
  std::string out;
  bool quiet = false;
};
struct LedgerCall : RecipeCall {
  bool json = false, maps = false, preview = false;
};
struct CheckCall : RecipeCall {
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
int harden_command(const RecipeCall& call);
int steels_command(const LookUp& call);
int steps_command(const LookUp& call);
int shapes_command();
int new_command(const std::string& name);

/// Reads the command line, runs the command, returns its exit code; 2 for a wrong command line.
int run(int count, char** words);

/// The recipe with its keys as asked for.
///   Errors  as read_recipe(), and Error(Fault::use) for a --set without '='.
Recipe read(const RecipeCall& call);

/// An option that has an effect only beside another.
///   Errors  Error(Fault::use) if it is given without.
void goes_with(bool given, const char* option, bool with, const char* other);

/// Pixels per mm from "12 px/mm", "300 px/in" or "300 dpi".
///   Errors  Error(Fault::use) that names the option: no such unit, or outside 0.2 to 2000 px/mm.
double read_resolution(const std::string& text, const std::string& option = "--resolution");

/// `count` numbers separated by commas, e.g. a place "12.5,3".
///   Errors  Error(Fault::use) that names the option and shows what to write.
std::vector<double> read_numbers(const std::string& option, const std::string& text, size_t count);

}  // namespace etchcast::cli
