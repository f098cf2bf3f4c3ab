// One file: magic, key, numbers, checksum.
#include "metal/cache.hpp"

#include <algorithm>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <fstream>
#include <random>
#include <vector>

#include <fmt/format.h>

namespace etchcast::metal {

namespace {

constexpr char kMagic[] = "etchcast table\n";
constexpr size_t kMostFiles = 400;
constexpr std::uintmax_t kMostBytes = 200'000'000;

/// FNV-1a, 64 bits (Fowler, Noll, Vo).
std::uint64_t hash(const std::string& text, std::uint64_t seed = 14695981039346656037ull) {
  for (const char c : text) seed = (seed ^ static_cast<unsigned char>(c)) * 1099511628211ull;
  return seed;
}

void put(std::string& key, double value) { key += fmt::format("{:.9g} ", value + 0.0); }

void put(std::string& key, const std::function<double(double)>& f, double least, double most) {
  if (!f) {
    key += "- ";
    return;
  }
  for (int i = 0; i <= 96; ++i) put(key, f(least + (most - least) * i / 96));
}

std::string key_of(const Problem& p, const Fineness& f) {
  std::string key = fmt::format("version {} ", kSolverVersion);
  for (const double v : {p.half_repeat, double(p.mirrored), double(p.round), double(p.repeat_before), double(p.held), p.sensitivity, p.friction})
    put(key, v);
  for (const Tool* tool : {&p.bottom, &p.top}) {
    key += fmt::format("tool {} ", int(tool->kind));
    for (const double v : {tool->crest, tool->pitch, tool->depth}) put(key, v);
    if (tool->kind != Tool::Kind::flat) put(key, tool->rise, 0, 1.5 * p.half_repeat);
  }
  put(key, p.bottom_before, p.start(), 1);
  put(key, p.top_before, p.start(), 1);
  for (const int v : {f.along, f.through, f.steps, f.columns, f.lines}) key += fmt::format("{} ", v);
  return key;
}

std::filesystem::path folder() {
  const char* cache = std::getenv("XDG_CACHE_HOME");
  if (cache && *cache == '/') return std::filesystem::path(cache) / "etchcast";
  const char* home = std::getenv("HOME");
  if (home && *home == '/') return std::filesystem::path(home) / ".cache" / "etchcast";
  return {};
}

void append(std::string& bytes, double value) {
  char raw[sizeof value];
  std::memcpy(raw, &value, sizeof value);
  bytes.append(raw, sizeof value);
}

struct Old {
  std::filesystem::file_time_type time;
  std::filesystem::path path;
  std::uintmax_t bytes;
};

/// Keeps the folder small: the oldest tables go.
void thin_out(const std::filesystem::path& where) {
  std::vector<Old> files;
  std::error_code fault;
  std::uintmax_t bytes = 0;
  for (std::filesystem::directory_iterator it(where, fault), end; !fault && it != end; it.increment(fault)) {
    if (it->path().extension() != ".flow") continue;
    files.push_back({it->last_write_time(fault), it->path(), it->file_size(fault)});
    bytes += files.back().bytes;
  }
  size_t count = files.size();
  if (count <= kMostFiles && bytes <= kMostBytes) return;
  std::sort(files.begin(), files.end(), [](const Old& a, const Old& b) { return a.time < b.time; });
  for (const Old& old : files) {
    if (count <= kMostFiles * 3 / 4 && bytes <= kMostBytes * 3 / 4) break;
    std::filesystem::remove(old.path, fault);
    --count, bytes -= old.bytes;
  }
}

}  // namespace

KeptFile::KeptFile(std::string key) : key_(std::move(key)) {
  const auto where = folder();
  if (!where.empty()) file_ = where / fmt::format("{:016x}{:016x}.flow", hash(key_), hash(key_, 0x9e3779b97f4a7c15ull));
}

std::optional<std::string> KeptFile::read() const {
  if (file_.empty()) return {};
  std::error_code fault;
  const auto size = std::filesystem::file_size(file_, fault);
  const std::string head = kMagic + key_ + '\n';
  std::uint64_t sum;
  if (fault || size > kMostBytes || size < head.size() + sizeof sum) return {};
  std::ifstream in(file_, std::ios::binary);
  std::string bytes(size, '\0');
  if (!in.read(bytes.data(), std::streamsize(size)) || bytes.compare(0, head.size(), head) != 0) return {};
  std::memcpy(&sum, bytes.data() + size - sizeof sum, sizeof sum);
  bytes.resize(size - sizeof sum);
  if (sum != hash(bytes)) return {};
  return bytes.substr(head.size());
}

void KeptFile::write(const std::string& content) const {
  if (file_.empty()) return;
  std::error_code fault;
  std::filesystem::create_directories(file_.parent_path(), fault);
  std::string bytes = kMagic + key_ + '\n' + content;
  const std::uint64_t sum = hash(bytes);
  bytes.append(reinterpret_cast<const char*>(&sum), sizeof sum);
  const auto beside =
      std::filesystem::path(file_).replace_extension(fmt::format("{:08x}.part", std::random_device{}()));
  std::ofstream out(beside, std::ios::binary);
  out.write(bytes.data(), std::streamsize(bytes.size()));
  out.close();
  if (out)
    std::filesystem::rename(beside, file_, fault);
  else
    fault = std::make_error_code(std::errc::io_error);
  if (fault) std::filesystem::remove(beside, fault);
  thin_out(file_.parent_path());
}

Cache::Cache(const Problem& problem, const Fineness& fineness) : kept_(key_of(problem, fineness)), round_(problem.round) {}

std::optional<Flow> Cache::read() const {
  const auto bytes = kept_.read();
  constexpr size_t kNumbers = 7, kDouble = sizeof(double);
  if (!bytes || bytes->size() < kNumbers * kDouble || bytes->size() % kDouble != 0) return {};
  std::vector<double> v(bytes->size() / kDouble);
  std::memcpy(v.data(), bytes->data(), bytes->size());
  const int columns = int(v[4]), rows = int(v[5]);
  if (columns < 5 || rows < 5 || v.size() != kNumbers + size_t(v[6]) + size_t(columns) * rows) return {};
  Flow flow;
  flow.touch_bottom = v[2], flow.touch_top = v[3];
  const auto middle = v.end() - std::ptrdiff_t(v[6]);
  flow.table = std::make_shared<FlowTable>(v[0], v[1], columns, rows, std::vector<double>(v.begin() + kNumbers, middle),
                                           std::vector<double>(middle, v.end()), round_);
  return flow;
}

void Cache::write(const Flow& flow) const {
  std::string bytes;
  const FlowTable& t = *flow.table;
  for (const double v :
       {t.half_before(), t.half_after(), flow.touch_bottom, flow.touch_top, double(t.columns()), double(t.rows()),
        double(t.origins().size())})
    append(bytes, v);
  for (const double v : t.heights()) append(bytes, v);
  for (const double v : t.origins()) append(bytes, v);
  kept_.write(bytes);
}

}  // namespace etchcast::metal
