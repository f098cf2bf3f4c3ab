#pragma once
/// \file march.hpp — the pressing from first touch to full depth: layer lines carried by the flow.

#include <vector>

#include "metal/problem.hpp"

namespace etchcast::metal {

/// Points of the metal: `columns` + 1 along by `lines` + 1 through, those along a line before the next line. They start
/// on lines of even shares of the height, evenly along; line 0 and the last are the faces. They may be laid anew along their
/// line, but for the first and last, which stand on the mirrors or, where there are none, are the same metal a repeat on.
struct Markers {
  bool mirrored = true;
  bool axis = false;  ///< x = 0 is an axis, not a mirror: lines need not be level there
  int columns = 0, lines = 0;
  std::vector<double> x, z;
  std::vector<double> before;  ///< heights at which the metal was
  int at(int column, int line) const { return line * (columns + 1) + column; }
};

/// Points of the bar before; faces over xi.
Markers laid_markers(const Problem& problem, const Fineness& fineness, double half,
                     const std::function<double(double)>& bottom, const std::function<double(double)>& top);

/// Under a crest a line's points drift apart: once twice as far as even ones, they are laid anew along the line. Only its
/// shape matters, for where its metal came from follows from volume.
void space_out(Markers& markers);

struct Marched {
  Markers markers;
  double half_before = 0, half_after = 0;
  double touch_bottom = 0, touch_top = 0;  ///< share of each face that lies on its die at the end
  int iterations = 0;                      ///< equations solved
};

/// Carries out a pressing whose half repeat before is `half_before`.
///   Errors  Error(Fault::recipe): dies too deep, dies that fill, flow not found.
Marched march(const Problem& problem, const Fineness& fineness, double half_before);

/// Height at `x` of a line of the markers, by cubics through its points, level at both mirrors or repeating.
class LineHeights {
 public:
  LineHeights(const Markers& markers, int line) : LineHeights(markers, line, markers.z) {}
  /// Of the heights before or those now.
  LineHeights(const Markers& markers, int line, const std::vector<double>& heights);
  double operator()(double x) const;

 private:
  const double *x_, *z_;
  int count_;
  bool mirrored_, axis_;
  std::vector<double> slopes_;
};

}  // namespace etchcast::metal
