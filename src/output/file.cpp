// src/output/file.cpp — files that are whole or not there: written beside, forced to disk, renamed.
#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <atomic>
#include <cerrno>
#include <charconv>
#include <climits>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <filesystem>
#include <memory>

#include "etchcast/output.hpp"

namespace etchcast {
namespace {

namespace fs = std::filesystem;

/// Names of parts being written, for remove_partial_files(). A signal handler may neither allocate nor lock, hence a
/// fixed array with an atomic state each: the only global that changes in the library.
enum SlotState : int { kFree, kFilling, kLive };
struct Slot {
  std::atomic<int> state{kFree};
  char path[PATH_MAX];
};
Slot parts[16];
static_assert(std::atomic<int>::is_always_lock_free);

[[noreturn]] void fail(const std::string& path, const std::string& what, int code, const std::string& hint = {}) {
  throw Error(Fault::use, "cannot write " + path + ": " + what + (code ? std::string(": ") + std::strerror(code) : ""),
              hint);
}

/// A part file on disk from construction to the end of its scope, unless kept.
class Part {
 public:
  explicit Part(const std::string& target) {
    static std::atomic<unsigned> serial{0};
    path_ = target + '.' + std::to_string(getpid()) + '-' + std::to_string(serial++) + ".part";
    if (path_.size() >= PATH_MAX) fail(target, "the path is too long", 0);
    for (Slot& slot : parts) {
      int free = kFree;
      if (!slot.state.compare_exchange_strong(free, kFilling)) continue;
      slot_ = &slot;
      std::memcpy(slot.path, path_.c_str(), path_.size() + 1);
      slot.state = kLive;  // before the file exists, so that a signal never finds one without a name
      break;
    }
    if (!slot_) fail(target, "too many files are being written at once", 0);
  }
  Part(const Part&) = delete;
  Part& operator=(const Part&) = delete;
  ~Part() {
    if (!kept_) unlink(path_.c_str());
    slot_->state = kFree;
  }
  const char* path() const { return path_.c_str(); }
  void keep() { kept_ = true; }

 private:
  std::string path_;
  Slot* slot_ = nullptr;
  bool kept_ = false;
};

/// Closes on scope exit; close() tells whether the system had something left to complain about.
class Descriptor {
 public:
  explicit Descriptor(int number) : number_(number) {}
  Descriptor(const Descriptor&) = delete;
  Descriptor& operator=(const Descriptor&) = delete;
  ~Descriptor() { close(); }
  int number() const { return number_; }
  bool close() {
    const int number = number_;
    number_ = -1;
    return number < 0 || ::close(number) == 0;
  }

 private:
  int number_;
};

/// 0, or the system's error number.
int write_all(int descriptor, std::span<const std::uint8_t> bytes) {
  while (!bytes.empty()) {
    const ssize_t written = ::write(descriptor, bytes.data(), bytes.size());
    if (written < 0 && errno == EINTR) continue;
    if (written < 0) return errno;
    if (written == 0) return ENOSPC;
    bytes = bytes.subspan(size_t(written));
  }
  return 0;
}

/// The number at the end of a path in one of the folders that list this process's descriptors.
std::optional<int> listed_descriptor(const fs::path& path) {
  const std::string folder = path.parent_path().lexically_normal().string(), name = path.filename().string();
  const std::string own = "/proc/" + std::to_string(getpid()) + "/fd";
  const bool listed = folder == "/dev/fd" || folder == "/proc/self/fd" || folder == "/proc/thread-self/fd" || folder == own;
  int number = -1;
  const auto [end, fault] = std::from_chars(name.data(), name.data() + name.size(), number);
  if (!listed || fault != std::errc() || end != name.data() + name.size() || number < 0) return {};
  return number;
}

/// A descriptor may be a file that is being appended to, by others too: it takes the bytes where it stands.
void write_descriptor(int number, const std::string& path, std::span<const std::uint8_t> bytes) {
  if (const int code = write_all(number, bytes)) fail(path, "writing stopped", code);
}

/// Pipes, terminals and devices cannot be replaced by a rename and are written to as they are.
void write_through(const std::string& path, std::span<const std::uint8_t> bytes) {
  Descriptor device(open(path.c_str(), O_WRONLY | O_CLOEXEC));
  if (device.number() < 0) fail(path, "it cannot be opened", errno);
  if (const int code = write_all(device.number(), bytes)) fail(path, "writing stopped", code);
  if (!device.close()) fail(path, "writing stopped", errno);
}

void write_beside(const std::string& path, const std::string& target, mode_t old_mode,
                  std::span<const std::uint8_t> bytes) {
  Part part(target);
  Descriptor file(open(part.path(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666));
  if (file.number() < 0) {
    const int code = errno;
    fail(path, "no file can be made in its folder", code, "is there such a folder, and may you write in it?");
  }
  if (old_mode) (void)fchmod(file.number(), old_mode & 07777);  // only a courtesy: the content matters
  if (const int code = write_all(file.number(), bytes))
    fail(path, "writing stopped", code, "the old file is as it was");
  if (fsync(file.number()) != 0 || !file.close()) fail(path, "writing stopped", errno, "the old file is as it was");
  if (std::rename(part.path(), target.c_str()) != 0) fail(path, "it cannot be put in place", errno);
  part.keep();
}

}  // namespace

void write_file(const std::string& path, std::span<const std::uint8_t> bytes) {
  if (const auto number = descriptor_named(path)) return write_descriptor(*number, path, bytes);
  struct stat status {};
  const bool exists = stat(path.c_str(), &status) == 0;
  if (!exists && fs::is_symlink(fs::symlink_status(path)))
    fail(path, "it is a link to a file that is not there", 0, "remove the link, or name the file itself");
  if (exists && S_ISDIR(status.st_mode)) fail(path, "it is a folder", 0, "name a file in it");
  if (exists && !S_ISREG(status.st_mode)) return write_through(path, bytes);
  // A link stays a link: what it points to is replaced.
  const std::unique_ptr<char, void (*)(void*)> real(exists ? realpath(path.c_str(), nullptr) : nullptr, std::free);
  write_beside(path, real ? real.get() : path, exists ? status.st_mode : 0, bytes);
}

std::optional<int> descriptor_named(const std::string& path) {
  constexpr int kMostLinks = 16;  // longer chains are circles
  fs::path at = path;
  std::error_code fault;
  for (int link = 0; link < kMostLinks; ++link) {
    if (const auto number = listed_descriptor(at)) return number;
    const fs::path next = fs::read_symlink(at, fault);
    if (fault) return {};
    at = at.parent_path() / next;  // an absolute link replaces the whole
  }
  return {};
}

bool same_file(const std::string& one, const std::string& other) {
  std::error_code fault;
  if (fs::equivalent(one, other, fault) && !fault) return fs::is_regular_file(one, fault);
  const fs::path a = fs::weakly_canonical(fs::absolute(one), fault), b = fs::weakly_canonical(fs::absolute(other), fault);
  return !fault && a == b && !fs::exists(a, fault);
}

void remove_partial_files() {
  const int code = errno;
  for (Slot& slot : parts) {
    if (slot.state == kLive) unlink(slot.path);
  }
  errno = code;
}

}  // namespace etchcast
