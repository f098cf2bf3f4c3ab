// tests/test_output.cpp — files as other programs read them, and what is left when writing fails.
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <csignal>
#include <cstdlib>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <iterator>

#include "catch.hpp"
#include "etchcast/output.hpp"

using namespace etchcast;
namespace fs = std::filesystem;

namespace {

using Bytes = std::vector<std::uint8_t>;

/// A folder of its own that goes with the test.
struct Folder {
  fs::path path;
  Folder() {
    std::string name = (fs::temp_directory_path() / "etchcast-test-XXXXXX").string();
    path = mkdtemp(name.data());
  }
  ~Folder() { fs::remove_all(path); }
  std::string file(const std::string& name) const { return (path / name).string(); }
  size_t files() const { return size_t(std::distance(fs::directory_iterator(path), fs::directory_iterator())); }
};

Bytes read_back(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  return Bytes(std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>());
}

std::string message_of(const std::string& path, const Bytes& bytes) {
  try {
    write_file(path, bytes);
  } catch (const Error& error) {
    CHECK(error.fault() == Fault::use);
    REQUIRE(error.diagnostics().size() == 1);
    return error.diagnostics()[0].message;
  }
  return "";
}

bool tells(const std::string& message, const std::string& first, const std::string& second = "") {
  UNSCOPED_INFO(message);
  return message.find(first) != std::string::npos && message.find(second) != std::string::npos;
}

void limit_file_size(rlim_t bytes) {
  rlimit limit{};
  getrlimit(RLIMIT_FSIZE, &limit);
  limit.rlim_cur = std::min(bytes, limit.rlim_max);
  setrlimit(RLIMIT_FSIZE, &limit);
}

}  // namespace

TEST_CASE("npy: the header is version 1.0, aligned, and names type and shape", "[output][npy]") {
  const std::vector<float> values = {0.5f, -1, 2, 3, 4, 1e-9f};
  const std::pair<std::vector<size_t>, std::string> shapes[] = {
      {{6}, "(6, )"}, {{2, 3}, "(2, 3, )"}, {{1, 3, 2}, "(1, 3, 2, )"}};
  for (const auto& [shape, text] : shapes) {
    const Bytes npy = npy_bytes(values, shape);
    const Bytes magic = {0x93, 'N', 'U', 'M', 'P', 'Y', 1, 0};
    CHECK(Bytes(npy.begin(), npy.begin() + 8) == magic);
    const size_t length = npy[8] + 256u * npy[9];
    CHECK((10 + length) % 64 == 0);
    const std::string header(npy.begin() + 10, npy.begin() + 10 + long(length));
    CHECK(header.back() == '\n');
    CHECK(header.find("{'descr': '<f4', 'fortran_order': False, 'shape': " + text + ", }") == 0);
    REQUIRE(npy.size() == 10 + length + 4 * values.size());
    CHECK(std::memcmp(&npy[10 + length], values.data(), 4 * values.size()) == 0);
  }
}

TEST_CASE("file: what is written is what is read, and nothing else is left", "[output][file]") {
  const Folder folder;
  const std::string path = folder.file("a blade.png");
  for (const size_t size : {size_t(0), size_t(1), size_t(3000000)}) {
    const Bytes bytes(size, 0x5A);
    write_file(path, bytes);
    CHECK(read_back(path) == bytes);
    CHECK(folder.files() == 1);
  }
  fs::create_symlink(path, folder.file("link.png"));
  write_file(folder.file("link.png"), Bytes{1, 2, 3});
  CHECK(fs::is_symlink(folder.file("link.png")));
  CHECK(read_back(path) == Bytes{1, 2, 3});
}

TEST_CASE("file: a missing folder, a folder for a name and a full disk are told with path and reason",
          "[output][file]") {
  const Folder folder;
  const std::string in_nowhere = folder.file("no such folder/a.png");
  CHECK(tells(message_of(in_nowhere, {1}), in_nowhere, std::strerror(ENOENT)));
  write_file(folder.file("plain"), Bytes{1});
  CHECK(tells(message_of(folder.file("plain/a.png"), {1}), std::strerror(ENOTDIR)));
  CHECK(tells(message_of(folder.path.string(), {1}), "folder"));
  if (fs::exists("/dev/full")) {
    CHECK(tells(message_of("/dev/full", Bytes(100000)), "/dev/full", std::strerror(ENOSPC)));
    CHECK(fs::is_character_file("/dev/full"));
  }
  CHECK(folder.files() == 1);
}

TEST_CASE("file: when writing stops half way the old file is whole and no part is left", "[output][file]") {
  const Folder folder;
  const std::string path = folder.file("blade.png");
  const Bytes old(100, 7);
  write_file(path, old);
  rlimit before{};
  getrlimit(RLIMIT_FSIZE, &before);
  const auto handler = std::signal(SIGXFSZ, SIG_IGN);
  limit_file_size(4096);
  const std::string message = message_of(path, Bytes(100000, 9));
  setrlimit(RLIMIT_FSIZE, &before);
  std::signal(SIGXFSZ, handler);
  CHECK(tells(message, path, std::strerror(EFBIG)));
  CHECK(read_back(path) == old);
  CHECK(folder.files() == 1);
}

TEST_CASE("file: a signal in the middle of writing leaves no part", "[output][file]") {
  const Folder folder;
  const std::string path = folder.file("blade.png");
  const Bytes old(100, 7);
  write_file(path, old);
  const pid_t child = fork();
  REQUIRE(child >= 0);
  if (child == 0) {  // the limit's own signal comes while write() is at work
    std::signal(SIGXFSZ, [](int) {
      remove_partial_files();
      _exit(3);
    });
    limit_file_size(4096);
    try {
      write_file(path, Bytes(100000, 9));
    } catch (...) {
    }
    _exit(0);
  }
  int status = 0;
  REQUIRE(waitpid(child, &status, 0) == child);
  CHECK(WIFEXITED(status));
  CHECK(WEXITSTATUS(status) == 3);
  CHECK(read_back(path) == old);
  CHECK(folder.files() == 1);
}

TEST_CASE("text: ink lies within the measured width, whichever end is anchored", "[output][text]") {
  const std::string text = "AVA 25 µm × 12.7°";
  TextStyle style;
  const double width = text_width(text, style);
  CHECK(width > 8 * style.size_px * 0.4);
  for (const auto& [anchor, left] :
       {std::pair{Anchor::left, 300.0}, {Anchor::centre, 300 - width / 2}, {Anchor::right, 300 - width}}) {
    Image image{600, 60, 20, Bytes(600 * 60 * 3, 230)};
    style.anchor = anchor;
    CHECK(draw_text(image, 300, 40, text, style) == Approx(width));
    int first = 600, last = -1;
    for (int i = 0; i < 600 * 60; ++i) {
      if (image.rgb[size_t(i) * 3] < 200) first = std::min(first, i % 600), last = std::max(last, i % 600);
    }
    CHECK(first >= left - 2);
    CHECK(first <= left + 6);
    CHECK(last <= left + width + 2);
    CHECK(last >= left + width - 8);
  }
}

TEST_CASE("text: capitals are about 0.72 of the size, pairs are kerned, every sign needed has a shape",
          "[output][text]") {
  TextStyle style;
  style.size_px = 100;
  Image image{200, 200, 20, Bytes(200 * 200 * 3, 255)};
  draw_text(image, 50, 150, "H", style);
  int top = 200;
  for (int i = 200 * 200 - 1; i >= 0; --i) {
    if (image.rgb[size_t(i) * 3] < 128) top = i / 200;
  }
  CHECK(150 - top == Approx(72).margin(2));
  CHECK(text_width("AV", style) < text_width("A", style) + text_width("V", style));
  CHECK(text_width("nn", style) == Approx(2 * text_width("n", style)).margin(1));
  for (const char* sign : {"×", "°", "±", "µ", "–", "·", "ä", "é", "½"}) CHECK(text_width(sign, style) > 10);
  CHECK(text_width("", style) == 0);
}

TEST_CASE("text: a second face has what the first one lacks, and what none has is a question mark", "[output][text]") {
  const auto ink = [](const std::string& text) {
    Image image{200, 60, 20, Bytes(200 * 60 * 3, 255)};
    draw_text(image, 10, 40, text, TextStyle{});
    return image.rgb;
  };
  for (const char* letter : {"Ж", "Ѣ", "Ω", "ა", "→", "≤", "½"}) {
    INFO(letter);
    CHECK(letters_without_shape(letter).empty());
    CHECK(ink(letter) != ink("?"));
  }
  for (const char* letter : {"牛", "ש", "م", "🔨"}) {  // no face, or written from the right
    INFO(letter);
    CHECK(letters_without_shape(letter) == std::vector<std::string>{letter});
    CHECK(ink(letter) == ink("?"));
  }
  CHECK(letters_without_shape("Ladder petty, 15 µm × 80–84 · é").empty());
  CHECK(letters_without_shape("牛刀牛") == std::vector<std::string>{"牛", "刀"});
}

TEST_CASE("text: lines are broken between words, and within a word that is too long", "[output][text]") {
  const TextStyle style;
  const std::string text = "one two three four five six seven eight nine ten";
  for (const double width : {30.0, 90.0, 200.0, 5000.0}) {
    std::string again;
    for (const std::string& line : lines_within(text, style, width)) {
      CHECK((text_width(line, style) <= width || line.size() == 1));
      again += line;
    }
    std::string letters = text;
    for (std::string* s : {&letters, &again}) s->erase(std::remove(s->begin(), s->end(), ' '), s->end());
    CHECK(again == letters);
  }
  CHECK(lines_within(text, style, 5000) == std::vector<std::string>{text});
  CHECK(lines_within("", style, 10) == std::vector<std::string>{""});
  CHECK(lines_within("éé", style, 1) == std::vector<std::string>{"é", "é"});
}

TEST_CASE("text: what lies outside the picture is cut off", "[output][text]") {
  Image image{30, 12, 20, Bytes(30 * 12 * 3, 200)};
  for (const double x : {-1e9, -40.0, 25.0, 1e9}) draw_text(image, x, 8, "Damascus \xff", TextStyle{});
  CHECK(image.rgb.size() == 30 * 12 * 3);
}
