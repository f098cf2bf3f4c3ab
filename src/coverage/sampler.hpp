#pragma once
/// \file sampler.hpp — fills a window of a view with shares of steel: the hot loop.

#include <vector>

#include "coverage/band_table.hpp"
#include "coverage/mask.hpp"
#include "coverage/view.hpp"
#include "etchcast/picture.hpp"

namespace etchcast {

class Sampler {
 public:
  Sampler(const Bar& bar, int steels);

  /// Fills `field` (already sized and placed) from the view.
  ///   Method  One evaluation a pixel: the band list is integrated over the pixel's footprint, a parallelogram given by the
  ///           derivatives. Pixels that a seam or crease crosses, or where the map bends by more than a small part of a
  ///           layer, are found by comparing neighbours and divided 4 x 4, and where that is not enough 16 x 16.
  ///   Cost    rows are shared among threads unless the caller is in a team already; no allocation in the loop over pixels.
  void sample(const View& view, Field& field) const;

  /// Share of pixels that had to be divided in the last windows; for the benchmark.
  long long divided() const { return divided_; }

 private:
  struct Window;
  void evaluate_row(const View& view, Field& field, Window& window, int row) const;
  void cover_row(const View& view, Field& field, const Window& window, int row) const;
  void divide(const View& view, Field& field, const std::vector<int>& columns, int row, int n) const;
  void find_hard(const Field& field, const Window& window, int row, std::vector<unsigned char>& hard) const;
  void cover(const float* s, const float* a, const float* b, const int* leaf, int n, float* shares, size_t stride) const;
  const Bar& bar_;
  int steels_;
  std::vector<BandTable> tables_;
  mutable long long divided_ = 0;
};

}  // namespace etchcast
