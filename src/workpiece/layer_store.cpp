// Numbers in a row: the grid, the levels, the table, the faces.
#include "workpiece/layer_store.hpp"

#include <cstring>
#include <type_traits>

#include <fmt/format.h>

#include "metal/cache.hpp"

namespace etchcast {

namespace {

struct Head {
  Grid2 grid;
  LayerLevel level;
  int ways;
};
static_assert(std::is_trivially_copyable_v<Head>);

metal::KeptFile file_of(const std::string& key) {
  return metal::KeptFile(fmt::format("layers version {} {} ", kLayersVersion, metal::kSolverVersion) + key);
}

template <class Number>
void append(std::string& bytes, const Number* numbers, size_t count) {
  bytes.append(reinterpret_cast<const char*>(numbers), count * sizeof(Number));
}

/// The next numbers of a row; nothing is taken beyond its end.
template <class Number>
std::vector<Number> taken(const std::string& bytes, size_t& from, size_t count) {
  std::vector<Number> numbers(count);
  std::memcpy(numbers.data(), bytes.data() + from, count * sizeof(Number));
  from += count * sizeof(Number);
  return numbers;
}

size_t coefficients_of(const Grid2& g, int ways) {
  return size_t(g.columns + 3) * size_t(g.rows + 3) * size_t(LayerTable::slots_of(ways));
}
size_t depths_of(int ways) { return size_t(ways) * (LayerTable::kDegree + 1); }

}  // namespace

std::optional<LaidLayers> kept_layers(const std::string& key) {
  const auto bytes = file_of(key).read();
  Head head;
  if (!bytes || bytes->size() < sizeof head) return {};
  std::memcpy(&head, bytes->data(), sizeof head);
  const Grid2& g = head.grid;
  if (g.columns < 8 || g.rows < 8 || head.ways < 1 || head.ways > LayerTable::kMostWays) return {};
  const size_t sides = coefficients_of(g, head.ways), depths = depths_of(head.ways), nodes = g.size();
  if (bytes->size() != sizeof head + depths * sizeof(double) + 2 * sides * sizeof(float) + 2 * nodes * sizeof(double))
    return {};
  size_t from = sizeof head;
  LaidLayers laid;
  laid.level = head.level;
  const auto depth = taken<double>(*bytes, from, depths);
  const auto a = taken<float>(*bytes, from, sides), b = taken<float>(*bytes, from, sides);
  laid.table = std::make_shared<LayerTable>(g, head.ways, depth, a, b);
  laid.bottom = taken<double>(*bytes, from, nodes), laid.top = taken<double>(*bytes, from, nodes);
  return laid;
}

void keep_layers(const std::string& key, const LaidLayers& laid) {
  const LayerTable& t = *laid.table;
  Head head;
  std::memset(static_cast<void*>(&head), 0, sizeof head);  // what lies between its numbers is written too
  head.grid = t.grid(), head.level = laid.level, head.ways = t.ways();
  std::string bytes;
  append(bytes, &head, 1);
  append(bytes, t.depth<double>(), depths_of(t.ways()));
  for (const int side : {0, 1}) append(bytes, t.coefficients<float>(side), coefficients_of(t.grid(), t.ways()));
  append(bytes, laid.bottom.data(), laid.bottom.size());
  append(bytes, laid.top.data(), laid.top.size());
  file_of(key).write(bytes);
}

}  // namespace etchcast
