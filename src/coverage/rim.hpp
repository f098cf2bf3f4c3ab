#pragma once
/// \file rim.hpp — the outline's corners broken with a fine stone, so that they catch the light as a knife's do.

#include <vector>

#include <Eigen/Core>

#include "etchcast/picture.hpp"

namespace etchcast {

/// The broken edge along an outline. Every pixel of it knows how deep it lies within the outline and which way is out,
/// so that a spine that climbs one pixel in thirty is as even as one that does not climb, and as wide at any
/// resolution.
class Rim {
 public:
  explicit Rim(const std::vector<Eigen::Vector2d>& outline);

  /// Memory for one thread's work: of each pixel of a window its depth and the way out.
  struct Desk {
    std::vector<float> depth = {}, out_right = {}, out_up = {};
  };
  /// Tilts the ground of the window's pixels outward along the outline. What is ground bright after the etch keeps its
  /// slope: a sharpened edge is not broken.
  void tilt(Field& field, Desk& desk) const;

 private:
  /// One side of the outline, from a to b, mm; unit vectors that point out of the metal from it and from its ends.
  struct Side {
    Eigen::Vector2d a, b, out, out_a, out_b;
  };
  std::vector<Side> sides_;
};

}  // namespace etchcast
