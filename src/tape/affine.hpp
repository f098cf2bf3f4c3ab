#pragma once
/// \file affine.hpp — stretching along the axes, shifting, and quarter turns about the bar's axis.

#include "tape/map.hpp"

namespace etchcast {

/// before = scale * after + shift, each axis for itself.
struct Affine {
  static constexpr const char* kName = "affine";
  double scale[3] = {1, 1, 1}, shift[3] = {0, 0, 0};

  template <class Real>
  void before_from_after(Point<Dual<Real>>& p) const {
    p.x = Real(scale[0]) * p.x + Real(shift[0]);
    p.y = Real(scale[1]) * p.y + Real(shift[1]);
    p.z = Real(scale[2]) * p.z + Real(shift[2]);
  }
  template <class Real>
  void after_from_before(Point<Dual<Real>>& p) const {
    p.x = Real(1 / scale[0]) * (p.x - Real(shift[0]));
    p.y = Real(1 / scale[1]) * (p.y - Real(shift[1]));
    p.z = Real(1 / scale[2]) * (p.z - Real(shift[2]));
  }
  /// One motion for `first` followed by `second` (in the order of work).
  static Affine joined(const Affine& first, const Affine& second) {
    Affine both;
    for (int k = 0; k < 3; ++k) {
      both.scale[k] = first.scale[k] * second.scale[k];
      both.shift[k] = first.scale[k] * second.shift[k] + first.shift[k];
    }
    return both;
  }
};

/// The bar rolled about +x by a quarter turn, `quarters` times: what lay along +y comes to lie along +z.
struct QuarterTurn {
  static constexpr const char* kName = "turn";
  int quarters = 1;

  template <class Real>
  void before_from_after(Point<Dual<Real>>& p) const { roll(p, 4 - quarters); }
  template <class Real>
  void after_from_before(Point<Dual<Real>>& p) const { roll(p, quarters); }

 private:
  template <class Real>
  static void roll(Point<Dual<Real>>& p, int quarters) {
    const Real c = quarters % 2 ? Real(0) : (quarters % 4 ? Real(-1) : Real(1));
    const Real s = quarters % 2 == 0 ? Real(0) : (quarters % 4 == 1 ? Real(1) : Real(-1));
    const Dual<Real> y = c * p.y - s * p.z;
    p.z = s * p.y + c * p.z;
    p.y = y;
  }
};

}  // namespace etchcast
