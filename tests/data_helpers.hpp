#pragma once
/// \file data_helpers.hpp — the part of a picture's data where the metal lies, for tests.

#include <algorithm>

#include "etchcast/render.hpp"

namespace etchcast {

/// The smallest window of a picture's data that holds all its metal.
class MetalData {
 public:
  MetalData(DataArray data, size_t steels) : data_(std::move(data)), steels_(steels) {
    size_t right = 0, foot = 0;
    left_ = data_.shape[1], top_ = data_.shape[0];
    for (size_t r = 0; r < data_.shape[0]; ++r)
      for (size_t c = 0; c < data_.shape[1]; ++c)
        if (metal(pixel(r, c))) {
          left_ = std::min(left_, c), right = std::max(right, c + 1);
          top_ = std::min(top_, r), foot = std::max(foot, r + 1);
        }
    columns_ = right - left_, rows_ = foot - top_;
  }
  size_t rows() const { return rows_; }
  size_t columns() const { return columns_; }
  /// The channels of a pixel of the window.
  const float* at(size_t row, size_t column) const { return pixel(top_ + row, left_ + column); }
  bool metal(const float* channels) const { return channels[steels_ + 2] > 0; }

 private:
  const float* pixel(size_t row, size_t column) const {
    return &data_.values[(row * data_.shape[1] + column) * data_.shape[2]];
  }
  DataArray data_;
  size_t steels_, left_ = 0, top_ = 0, rows_ = 0, columns_ = 0;
};

}  // namespace etchcast
