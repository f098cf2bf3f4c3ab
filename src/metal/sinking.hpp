#pragma once
/// \file sinking.hpp — how far the free face between ridges goes along with them, by a closed form.

#include <vector>

#include "metal/problem.hpp"

namespace etchcast::metal {

/// Ridges close together drag the face between them down; staggered ones far apart bend the bar, and the face between them
/// comes up. First order, m = 1: each ridge presses evenly over its contact; a viscous layer with faces free of shear answers
/// each wave of the pressure by
///   w = q / (2 eta k) (cosh kH - 1) / (sinh kH + kH)    both faces alike (H: half of that wave's thickness on an anvil)
///   w = q / (2 eta k) (cosh kH + 1) / (sinh kH - kH)    one face against the other,
/// the long waves of which are squeezing, q H / 8 eta, and a bending beam. In a rate-sensitive metal flow keeps nearer to the
/// ridges; sinking is made less by m^0.3, fitted to the lengthening of the solved flow (a guess elsewhere).
///   Source  biharmonic equation; identity.
class Sinking {
 public:
  /// `half`: half repeat, by which waves are measured.
  Sinking(const Problem& problem, double half);
  /// Share of the ridges' depth by which the face sinks at a distance from a crest; negative where it rises.
  double operator()(double away) const;

 private:
  double raw(double away) const;
  void spread(double contact);
  double wave_ = 0;                ///< wave number of one ridge a pitch; 0: no ridges
  double local_ = 1;               ///< what a rate-sensitive metal keeps of it
  double mean_ = 0, under_ = 1;    ///< raw shares: mean, and under the crest
  std::vector<double> answer_, shares_;  ///< of each wave: to a pressure of 1, and with the pressure's share
};

}  // namespace etchcast::metal
