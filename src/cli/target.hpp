#pragma once
/// \file target.hpp — where a command writes: a file, or standard output.

#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace etchcast::cli {

/// What is written, and by which option its name is given.
struct Ware {
  std::string_view option, what;
  std::vector<std::string_view> endings;  ///< of its files, the usual one first
};
extern const Ware kPicture, kNumbers, kPage;

class Target {
 public:
  /// "-" and /dev/stdout are standard output. Checked before the work, not after it.
  ///   Errors  Error(Fault::use): a folder, a name in no folder, the ending of another kind of file.
  Target(const Ware& ware, const std::string& name);

  bool standard_output() const { return standard_output_; }
  std::string shown() const;  ///< for messages
  std::string_view option() const { return option_; }
  const std::string& name() const { return name_; }

  /// A file is written whole or not at all; standard output takes the bytes where it stands.
  ///   Errors  Error(Fault::use).
  void write(std::span<const std::uint8_t> bytes) const;

 private:
  std::string_view option_;
  std::string name_;
  bool standard_output_;
};

/// No two of the outputs are one file, and none is a file that the recipe was read from; by another path, a link or a
/// hard link neither.
///   Errors  Error(Fault::use).
void need_apart(std::span<const Target> outputs, std::span<const std::string> inputs);

/// The recipe's name without folder and ending; "etchcast" for standard input.
std::string stem_of(const std::string& recipe);

}  // namespace etchcast::cli
