#pragma once
/// \file error.hpp — how a fault is told: in the smith's words, with its place in the recipe.
/// Reads first. Read next: recipe.hpp.

#include <stdexcept>
#include <string>
#include <vector>

namespace etchcast {

/// Where in a text something stands. Lines and columns count from 1; 0 means "no particular place".
struct Place {
  std::string file;
  int line = 0;
  int column = 0;
};

/// One fault or one warning.
struct Diagnostic {
  Place place;
  std::string key;      ///< the recipe key at fault, e.g. "billet.bar.steps[3].depth"; may be empty
  std::string message;  ///< what is wrong, one sentence
  std::string hint;     ///< what would be right; may be empty
  std::string excerpt;  ///< the recipe's own line, for the caret; may be empty
};

/// Several lines of text for a terminal: place, message, source line with a caret, hint.
std::string to_text(const Diagnostic& diagnostic);

/// Whose fault it is; decides the exit code of the program.
enum class Fault {
  recipe,  ///< the recipe asks for what cannot be (exit 1)
  use      ///< wrong command line, or a file that cannot be read or written (exit 2)
};

/// Thrown by every function of the library that can fail. Carries all faults found, never just the first.
class Error : public std::runtime_error {
 public:
  Error(Fault fault, std::vector<Diagnostic> diagnostics);
  Error(Fault fault, std::string message, std::string hint = {});
  Fault fault() const { return fault_; }
  const std::vector<Diagnostic>& diagnostics() const { return diagnostics_; }

 private:
  Fault fault_;
  std::vector<Diagnostic> diagnostics_;
};

}  // namespace etchcast
