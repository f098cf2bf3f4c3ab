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
  ///           layer, are found by comparing neighbours and divided 4 x 4.
  ///   Cost    one thread per row; no allocation inside a row's loop.
  void sample(const View& view, Field& field) const;

  /// Share of pixels that had to be divided in the last windows; for the benchmark.
  long long divided() const { return divided_; }

 private:
  struct Window;
  void evaluate_row(const View& view, Field& field, Window& window, int row) const;
  void cover_row(const View& view, Field& field, const Window& window, int row) const;
  void divide(const View& view, Field& field, const std::vector<int>& columns, int row) const;
  bool needs_division(const Field& field, const Window& window, int row, int column) const;
  const Bar& bar_;
  int steels_;
  std::vector<BandTable> tables_;
  mutable long long divided_ = 0;
};

}  // namespace etchcast
