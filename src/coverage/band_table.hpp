#pragma once
/// \file band_table.hpp — how much of each steel lies under a pixel, from the band list, exactly.
///
/// A pixel's footprint on the stack coordinate is two boxes convolved (one for each direction of the surface): a trapezoid.
/// The share of a steel under it is a second difference of the twice integrated indicator of that steel. Taking the means
/// out before integrating keeps the integrals small, so the difference keeps its digits.
///
/// Seams that diffusion has blurred widen the footprint instead: two equal boxes, a triangle, stand for the normal
/// distribution, and the seam is within 0.012 of the error function.
///
/// Most footprints reach over a few bands only. A table over even cells knows the next four edges of a steel from each cell
/// on, in one record, and a second one four more: the share is a sum over edges, with nothing to lose digits by. Where a
/// footprint holds more than eight,
/// the integral itself is tabled over the same cells: index, one comparison, a parabola, four times. No search and no branch
/// a pixel, so loops over pixels run in the widest registers there are.

#include <vector>

#include "etchcast/forging.hpp"

namespace etchcast {

template <class Real>
struct Frame;

class BandTable {
 public:
  BandTable(const BandList& whole, int steels);

  /// Shares of the steels under n footprints about s_i: parallelograms of widths p_i and q_i (the slopes over a pixel, either
  /// sign), mm.
  ///   Shape     shares[k * stride + i] receives steel k under footprint i.
  ///   Accuracy  1e-3 in float where the list allows it; where it does not, the same in double (see precise()).
  void shares(const float* s, const float* p, const float* q, int n, float* shares, size_t stride) const;
  /// Whether any of s +- reach lies in an inset of another bar, whose own list must be asked.
  bool touches_inset(double s, double reach) const;
  /// Whether an edge between two steels may lie within s +- reach.
  bool edge_within(float s, float reach) const;
  /// The same of n places at once, at most kLanes: within[i] is not 0 if so.
  void edges_within(const float* s, const float* reach, int n, int* within) const;
  /// Where insets lie: from, to, from, to …
  const std::vector<double>& inset_edges() const { return edges_; }
  /// Mean thickness of the bands, mm: what "a small part of a layer" is measured by.
  double mean_band() const { return mean_band_; }
  /// Standard deviation of the seams' blur, mm.
  double soft_mm() const { return soft_mm_; }
  /// Whether the integral is tabled in double: thick bands beside very fine ones.
  bool precise() const { return precise_; }

  /// The next edges of a steel from a cell's lower end on, their distances from it with a cell added so that the first's sign
  /// is free: negative if the steel is there already. One load.
  struct alignas(16) Ahead {
    float edge[4];
  };
  /// Of one cell: second integral and first integral at its lower end, and the edge in it. `edge` is its distance from
  /// the lower end, negative where the steel begins at it, positive where it ends; beyond the cell if there is none.
  template <class Real>
  struct alignas(4 * sizeof(Real)) Record {
    Real second, first, edge, unused;
  };

 private:
  struct Steel {
    int steel = 0;
    double mean = 0;
    float spans[4] = {};                ///< shortest stretches that hold more than 2, 3, 4 and 8 edges, mm
    std::vector<Ahead> ahead, beyond;  ///< the next four edges, and the four after those
    std::vector<Record<float>> quick;
    std::vector<Record<double>> exact;
  };
  template <class Real>
  Frame<Real> frame(const Steel& steel) const;
  template <class Real>
  void filter(const Steel& steel, const std::vector<Record<Real>>& cells, const float* s, const float* p, const float* q, int n, float* out) const;
  Ahead ahead_of(const std::vector<double>& runs, size_t next, double from) const;
  void lay_ahead(const std::vector<double>& runs, Steel& steel) const;
  void lay_cells(const std::vector<double>& runs, Steel& steel);
  int steels_ = 0;
  double mean_band_ = 1, total_ = 1, cell_mm_ = 1, soft_mm_ = 0;
  int count_ = 1;
  bool precise_ = false;
  std::vector<int> absent_;     ///< steels of other lists only
  std::vector<Steel> tabled_;   ///< all steels of the list but one
  int rest_ = 0;                ///< the one that takes what the others leave
  std::vector<double> edges_;   ///< of insets only: from, to, from, to …
};

}  // namespace etchcast
