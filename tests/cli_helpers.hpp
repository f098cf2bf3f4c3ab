#pragma once
/// \file cli_helpers.hpp — a folder to work in, and the program run there as a shell runs it.

#include <sys/wait.h>
#include <unistd.h>

#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>

#include "catch.hpp"

namespace etchcast {

namespace fs = std::filesystem;

/// A folder of its own for each case, gone afterwards.
class Workshop {
 public:
  Workshop() {
    std::string name = (fs::temp_directory_path() / "etchcast-cli-XXXXXX").string();
    folder_ = mkdtemp(name.data());
  }
  ~Workshop() { fs::remove_all(folder_); }
  const fs::path& folder() const { return folder_; }
  fs::path write(const std::string& name, const std::string& text) const {
    std::ofstream(folder_ / name) << text;
    return folder_ / name;
  }
  std::string read(const std::string& name) const {
    std::ifstream stream(folder_ / name);
    std::stringstream text;
    text << stream.rdbuf();
    return text.str();
  }
  size_t files() const { return size_t(std::distance(fs::directory_iterator(folder_), fs::directory_iterator{})); }

 private:
  fs::path folder_;
};

struct Answer {
  int code = -1;
  std::string out;  ///< standard output and error together
};

/// Runs `etchcast` with those words in the folder, as a shell does.
inline Answer etchcast_in(const Workshop& shop, const std::string& words, const std::string& before = "") {
  const std::string line =
      "cd '" + shop.folder().string() + "' && " + before + " '" ETCHCAST_BINARY "' " + words + " 2>&1";
  Answer answer;
  std::FILE* pipe = popen(line.c_str(), "r");
  char buffer[4096];
  while (const size_t n = fread(buffer, 1, sizeof buffer, pipe)) answer.out.append(buffer, n);
  const int status = pclose(pipe);
  answer.code = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
  return answer;
}

inline bool holds(const std::string& text, const std::string& words) { return text.find(words) != std::string::npos; }

/// A workshop with ladder.toml in it.
inline Workshop& with_recipe(Workshop& shop) {
  REQUIRE(etchcast_in(shop, "new ladder").code == 0);
  return shop;
}

}  // namespace etchcast
