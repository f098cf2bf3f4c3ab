// Clocks, tables, other programs.
#include <fcntl.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <ctime>
#include <filesystem>
#include <sstream>

#include "bench.hpp"

namespace etchcast::bench {

namespace {

double seconds(clockid_t clock) {
  timespec t{};
  clock_gettime(clock, &t);
  return double(t.tv_sec) + 1e-9 * double(t.tv_nsec);
}

double median(std::vector<double> v) {
  std::sort(v.begin(), v.end());
  return v[v.size() / 2];
}

double seconds(const timeval& t) { return double(t.tv_sec) + 1e-6 * double(t.tv_usec); }

std::string read_all(int descriptor) {
  std::string text;
  char buffer[4096];
  for (ssize_t n; (n = read(descriptor, buffer, sizeof buffer)) > 0;) text.append(buffer, size_t(n));
  return text;
}

}  // namespace

Spent median_of(int runs, const std::function<void()>& work) {
  std::vector<double> wall, cpu;
  work();
  for (int run = 0; run < runs; ++run) {
    const double wall_start = seconds(CLOCK_MONOTONIC), cpu_start = seconds(CLOCK_PROCESS_CPUTIME_ID);
    work();
    wall.push_back(seconds(CLOCK_MONOTONIC) - wall_start);
    cpu.push_back(seconds(CLOCK_PROCESS_CPUTIME_ID) - cpu_start);
  }
  return {median(wall), median(cpu)};
}

std::string figures(double value) {
  const int whole = value > 0 ? int(std::floor(std::log10(value * 1.0005))) : 0;
  char text[64];
  std::snprintf(text, sizeof text, "%.*f", std::clamp(2 - whole, 0, 4), value);
  return text;
}

std::string ns_text(double seconds, double pixels) { return figures(1e9 * seconds / pixels); }

namespace {

bool in_table = false;

void leave_table() {
  if (in_table) std::printf("\n");
  in_table = false;
}

}  // namespace

void heading(const std::string& text) {
  leave_table();
  std::printf("## %s\n\n", text.c_str());
  std::fflush(stdout);
}

void paragraph(const std::string& text) {
  leave_table();
  constexpr size_t kWide = 120;
  size_t used = 0;
  std::istringstream words(text);
  for (std::string word; words >> word;) {
    const bool fits = used == 0 || used + 1 + word.size() <= kWide;
    std::printf("%s%s", used == 0 ? "" : fits ? " " : "\n", word.c_str());
    used = (fits && used > 0 ? used + 1 : 0) + word.size();
  }
  std::printf("\n\n");
  std::fflush(stdout);
}

void row(const std::vector<std::string>& cells) {
  in_table = true;
  for (const std::string& cell : cells) std::printf("| %s ", cell.c_str());
  std::printf("|\n");
  std::fflush(stdout);
}

void columns(const std::vector<std::string>& names) {
  leave_table();
  row(names);
  for (size_t i = 0; i < names.size(); ++i) std::printf("|---");
  std::printf("|\n");
}

Child run_child(std::vector<std::string> words) {
  std::vector<char*> arguments;
  for (std::string& word : words) arguments.push_back(word.data());
  arguments.push_back(nullptr);
  int ends[2];
  if (pipe(ends) != 0) return {};
  const double start = seconds(CLOCK_MONOTONIC);
  const pid_t pid = fork();
  if (pid == 0) {
    dup2(ends[1], 1), dup2(ends[1], 2);
    close(ends[0]), close(ends[1]);
    execvp(arguments[0], arguments.data());
    _exit(127);
  }
  close(ends[1]);
  Child child;
  child.text = read_all(ends[0]);
  close(ends[0]);
  int status = 0;
  rusage used{};
  if (pid < 0 || wait4(pid, &status, 0, &used) != pid) return child;
  child.ran = WIFEXITED(status) && WEXITSTATUS(status) == 0;
  child.spent = {seconds(CLOCK_MONOTONIC) - start, seconds(used.ru_utime) + seconds(used.ru_stime)};
  child.peak_bytes = double(used.ru_maxrss) * 1024;
  return child;
}

std::string scratch(const std::string& name) {
  struct Folder {
    std::filesystem::path path;
    Folder() {
      std::string pattern = (std::filesystem::temp_directory_path() / "etchcast-bench-XXXXXX").string();
      path = mkdtemp(pattern.data());
    }
    ~Folder() { std::filesystem::remove_all(path); }
  };
  static const Folder folder;
  return (folder.path / name).string();
}

}  // namespace etchcast::bench
