#pragma once
/// \file cache.hpp — tables kept on disk between runs, one small file a problem.
///
/// Under $XDG_CACHE_HOME/etchcast, else ~/.cache/etchcast. Never needed and never trusted: a missing, foreign or
/// damaged file counts as absent, a folder that cannot be written to is no error, and the files may be deleted at any
/// time.

#include <filesystem>
#include <optional>
#include <string>

#include "metal/flow.hpp"

namespace etchcast::metal {

/// Part of every key; raise it with every change of the solver that changes its tables.
inline constexpr int kSolverVersion = 8;

class Cache {
 public:
  Cache(const Problem& problem, const Fineness& fineness);
  std::optional<Flow> read() const;
  /// Written beside and renamed, so that two programs at once do no harm.
  void write(const Flow& flow) const;
  /// Empty if there is no home.
  const std::filesystem::path& file() const { return file_; }

 private:
  std::string key_;
  bool round_;
  std::filesystem::path file_;
};

}  // namespace etchcast::metal
