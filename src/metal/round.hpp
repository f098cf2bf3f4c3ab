#pragma once
/// \file round.hpp — one stud or hole in a round cell, told to the planar solver.
///
/// About an axis, with x = r^2 / 2 in place of r, dx dz is volume (over 2 pi), streamlines are those of a function
/// psi(x, z) with dx/dt = psi_z and dz/dt = -psi_x, and a table W(x, c) keeps volume as the planar one keeps area.
/// Mesh, dies, steps and table are therefore the planar ones; only rates of shear and slip differ (creep.hpp,
/// contact.cpp).

#include "metal/problem.hpp"

namespace etchcast::metal {

/// The problem with all places along r told along r^2 / 2; unchanged if it is not round.
Problem over_area(const Problem& problem);

}  // namespace etchcast::metal
