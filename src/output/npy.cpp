// src/output/npy.cpp — NumPy array files, format 1.0.
#include <bit>
#include <cassert>
#include <cstring>
#include <functional>
#include <numeric>

#include "etchcast/output.hpp"

namespace etchcast {

std::vector<std::uint8_t> npy_bytes(std::span<const float> values, std::span<const size_t> shape) {
  static_assert(std::endian::native == std::endian::little, "float32 is copied as it lies in memory");
  assert(std::accumulate(shape.begin(), shape.end(), size_t(1), std::multiplies<>()) == values.size());
  std::string header = "{'descr': '<f4', 'fortran_order': False, 'shape': (";
  for (const size_t extent : shape) header += std::to_string(extent) + ", ";
  header += "), }";
  // Magic, version and length take 10 bytes; the data must begin at a multiple of 64, after a line feed.
  constexpr size_t kLead = 10;
  header.append((64 - (kLead + header.size() + 1) % 64) % 64, ' ');
  header += '\n';

  const std::uint8_t lead[kLead] = {
      0x93, 'N', 'U', 'M', 'P', 'Y', 1, 0, std::uint8_t(header.size() & 255), std::uint8_t(header.size() >> 8)};
  std::vector<std::uint8_t> bytes(kLead + header.size() + values.size_bytes());
  std::memcpy(bytes.data(), lead, kLead);
  std::memcpy(bytes.data() + kLead, header.data(), header.size());
  if (!values.empty()) std::memcpy(bytes.data() + kLead + header.size(), values.data(), values.size_bytes());
  return bytes;
}

}  // namespace etchcast
