#pragma once
/// \file cache.hpp — tables kept on disk between runs, one file a problem.
///
/// Under $XDG_CACHE_HOME/etchcast, else ~/.cache/etchcast; at most some 200 MB, the oldest go first. Never needed and never trusted: a missing, foreign or
/// damaged file counts as absent, a folder that cannot be written to is no error, and the files may be deleted at any
/// time.

#include <filesystem>
#include <optional>
#include <string>

#include "metal/flow.hpp"

namespace etchcast::metal {

/// Part of every key; raise it with every change of the solver that changes its tables.
inline constexpr int kSolverVersion = 8;

/// The bytes that belong to a key.
class KeptFile {
 public:
  explicit KeptFile(std::string key);
  std::optional<std::string> read() const;
  /// Written beside and renamed, so that two programs at once do no harm.
  void write(const std::string& bytes) const;
  /// Empty if there is no home.
  const std::filesystem::path& file() const { return file_; }

 private:
  std::string key_;
  std::filesystem::path file_;
};

/// The flow of a pressing.
class Cache {
 public:
  Cache(const Problem& problem, const Fineness& fineness);
  std::optional<Flow> read() const;
  void write(const Flow& flow) const;
  const std::filesystem::path& file() const { return kept_.file(); }

 private:
  KeptFile kept_;
  bool round_;
};

}  // namespace etchcast::metal
