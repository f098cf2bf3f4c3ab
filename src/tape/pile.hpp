#pragma once
/// \file pile.hpp — many pieces to one: cut and stacked, or hinged and folded.

#include "tape/map.hpp"

namespace etchcast {

/// Pieces cut one after another from the heel, piece k laid kth from the bottom; every second one may be turned.
struct RestackMotion {
  static constexpr const char* kName = "restack";
  int pieces;
  double piece_length, kerf, piece_thickness;
  bool over, end;  ///< of every second piece: y and z turned (over), x turned (end with z, spin with y)
  bool spin;

  template <class Real>
  void before_from_after(Point<Dual<Real>>& p) const {
    Real k = std::floor((p.z.v + Real(pieces * piece_thickness / 2)) * Real(1 / piece_thickness));
    k = k < 0 ? Real(0) : (k > Real(pieces - 1) ? Real(pieces - 1) : k);
    const Real middle = (k + Real(0.5)) * Real(piece_thickness) - Real(pieces * piece_thickness / 2);
    p.z = p.z - middle;
    turn(p, k);
    p.x = p.x + k * Real(piece_length + kerf);
  }
  template <class Real>
  void after_from_before(Point<Dual<Real>>& p) const {
    Real k = std::floor(p.x.v * Real(1 / (piece_length + kerf)));
    k = k < 0 ? Real(0) : (k > Real(pieces - 1) ? Real(pieces - 1) : k);
    p.x = p.x - k * Real(piece_length + kerf);
    turn(p, k);
    p.z = p.z + ((k + Real(0.5)) * Real(piece_thickness) - Real(pieces * piece_thickness / 2));
  }

 private:
  template <class Real>
  void turn(Point<Dual<Real>>& p, Real k) const {
    const bool second = int(k) % 2 == 1;
    p.x = select(second && (end || spin), Real(piece_length) - p.x, p.x);
    p.y = select(second && (over || spin), -p.y, p.y);
    p.z = select(second && (over || end), -p.z, p.z);
  }
};

/// Cut nearly through at mid-length and folded over: the upper half lies end for end, its old top face down.
struct FoldMotion {
  static constexpr const char* kName = "fold";
  double length, thickness;  ///< of the bar before

  template <class Real>
  void before_from_after(Point<Dual<Real>>& p) const {
    const bool upper = p.z.v > 0;
    p.x = select(upper, Real(length) - p.x, p.x);
    p.z = select(upper, Real(thickness / 2) - p.z, p.z + Real(thickness / 2));
  }
  template <class Real>
  void after_from_before(Point<Dual<Real>>& p) const {
    const bool upper = p.x.v > Real(length / 2);
    p.x = select(upper, Real(length) - p.x, p.x);
    p.z = select(upper, Real(thickness / 2) - p.z, p.z - Real(thickness / 2));
  }
};

}  // namespace etchcast
