// Memory of the program on a big picture, as the system counts it.

#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cstdint>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

#include "catch.hpp"

namespace fs = std::filesystem;

namespace {

/// Runs the program and returns its greatest resident set, bytes. It begins with what this process has, a few MB.
double peak_of(std::vector<std::string> words) {
  std::vector<char*> arguments;
  for (std::string& word : words) arguments.push_back(word.data());
  arguments.push_back(nullptr);
  const pid_t child = fork();
  if (child == 0) {
    execv(arguments[0], arguments.data());
    _exit(127);
  }
  int status = 0;
  rusage used{};
  REQUIRE(wait4(child, &status, 0, &used) == child);
  REQUIRE(WIFEXITED(status));
  REQUIRE(WEXITSTATUS(status) == 0);
  return double(used.ru_maxrss) * 1024;
}

/// Bytes of the picture in memory, from the PNG's head (ISO/IEC 15948: width and height, big-endian, at byte 16).
double picture_bytes(const fs::path& png) {
  std::ifstream file(png, std::ios::binary);
  unsigned char head[24] = {};
  REQUIRE(file.read(reinterpret_cast<char*>(head), sizeof head));
  const auto word = [&](int at) {
    return double(std::uint32_t(head[at]) << 24 | head[at + 1] << 16 | head[at + 2] << 8 | head[at + 3]);
  };
  return word(16) * word(20) * 3;
}

}  // namespace

TEST_CASE("memory: a picture of 40 million pixels takes little more than itself and its file", "[cli]") {
  const fs::path png = fs::temp_directory_path() / ("etchcast-memory-" + std::to_string(getpid()) + ".png");
  const double peak = peak_of({ETCHCAST_BINARY, "render", ETCHCAST_SOURCE_DIR "/patterns/twist-stars.toml",
                               "--resolution", "48 px/mm", "--plain", "--quiet", "-o", png.string()});
  const double picture = picture_bytes(png), file = double(fs::file_size(png)), room = 64 << 20;
  fs::remove(png);
  INFO("picture " << picture / 1e6 << " MB, file " << file / 1e6 << " MB, peak " << peak / 1e6 << " MB");
  CHECK(picture > 36e6 * 3);
  CHECK(peak < picture + file + room);
}
