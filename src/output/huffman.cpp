// src/output/huffman.cpp — lengths and bits of Huffman codes.
#include <algorithm>
#include <vector>

#include "output/deflate.hpp"

namespace etchcast::deflate {
namespace {

/// The two rarest symbols or bundles are bound together until one bundle is left (Huffman 1952). New bundles come in
/// rising order, so that two queues do. Returns the greatest length.
int bind(std::vector<std::pair<std::uint32_t, int>>& symbols, std::uint8_t* lengths) {
  const std::size_t leaves = symbols.size();
  std::vector<std::uint64_t> weight(2 * leaves);
  std::vector<std::size_t> parent(2 * leaves);
  for (std::size_t i = 0; i < leaves; ++i) weight[i] = symbols[i].first;
  std::size_t leaf = 0, bundle = leaves, next = leaves;
  const auto rarest = [&] {
    const bool leaf_first = leaf < leaves && (bundle == next || weight[leaf] <= weight[bundle]);
    return leaf_first ? leaf++ : bundle++;
  };
  for (; next + 1 < 2 * leaves; ++next) {
    const std::size_t a = rarest(), b = rarest();
    weight[next] = weight[a] + weight[b];
    parent[a] = parent[b] = next;
  }
  std::vector<int> depth(next, 0);
  int most = 0;
  for (std::size_t i = next - 1; i-- > 0;) {
    depth[i] = depth[parent[i]] + 1;
    if (i < leaves) lengths[symbols[i].second] = std::uint8_t(depth[i]), most = std::max(most, depth[i]);
  }
  return most;
}

}  // namespace

void code_lengths(const std::uint32_t* counts, int count, int most, std::uint8_t* lengths) {
  std::vector<std::pair<std::uint32_t, int>> symbols;
  for (int i = 0; i < count; ++i) {
    lengths[i] = 0;
    if (counts[i] > 0) symbols.push_back({counts[i], i});
  }
  if (symbols.size() == 1) lengths[symbols[0].second] = 1;
  if (symbols.size() < 2) return;
  std::ranges::sort(symbols);
  // Where a code would be too long the rare symbols are taken for less rare. Halving keeps their order.
  while (bind(symbols, lengths) > most)
    for (auto& symbol : symbols) symbol.first = (symbol.first + 1) / 2;
}

void code_bits(const std::uint8_t* lengths, int symbols, std::uint16_t* codes) {
  std::uint16_t next[17] = {};
  for (int i = 0; i < symbols; ++i) ++next[lengths[i] + 1];
  next[1] = 0;  // what has no code
  for (int length = 2; length <= 16; ++length) next[length] = std::uint16_t((next[length - 1] + next[length]) << 1);
  for (int i = 0; i < symbols; ++i) {
    codes[i] = 0;
    if (lengths[i] == 0) continue;
    const std::uint16_t code = next[lengths[i]]++;
    for (int bit = 0; bit < lengths[i]; ++bit) codes[i] |= std::uint16_t(((code >> bit) & 1) << (lengths[i] - 1 - bit));
  }
}

}  // namespace etchcast::deflate
