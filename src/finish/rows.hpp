#pragma once
/// \file rows.hpp — rows of a window, worked on in whole blocks: no loop has single pixels left over at its end.

#include <cstddef>
#include <new>
#include <vector>

namespace etchcast {

/// As many floats as the widest registers hold.
inline constexpr int kBlock = 16;
inline int whole_blocks(int count) { return (count + kBlock - 1) & -kBlock; }

/// Memory that begins where a register's worth does: none is then read or written in two halves.
template <class T>
struct BlockAllocator {
  using value_type = T;
  static constexpr std::align_val_t kAlign{kBlock * sizeof(float)};
  BlockAllocator() = default;
  template <class U>
  BlockAllocator(const BlockAllocator<U>&) {}
  T* allocate(std::size_t n) { return static_cast<T*>(::operator new(n * sizeof(T), kAlign)); }
  void deallocate(T* p, std::size_t) { ::operator delete(p, kAlign); }
  bool operator==(const BlockAllocator&) const = default;
};

/// One value a pixel, with room for a block that begins at the last one.
template <class T>
using RowOf = std::vector<T, BlockAllocator<T>>;
using Row = RowOf<float>;
template <class T>
void fit(RowOf<T>& row, int count) {
  row.resize(std::size_t(whole_blocks(count) + kBlock));
}

/// Columns [from, to) of a row.
struct Stretch {
  int from, to;
};

}  // namespace etchcast
