#pragma once
/// \file loops.hpp — the sums in which the flow solver spends its time, compiled for several instruction sets.

namespace etchcast::metal {

/// 2 x 2 Gauss points a cell: exact to the order that splines of this smoothness converge.
inline constexpr int kPoints = 4;
/// Rates of shear below this share of (die speed / thickness) flow as a Newtonian.
inline constexpr double kSmall = 1e-3;

/// (a^2 + b^2 + kSmall^2)^exponent for each of `count` pairs a, b of `rates`, within 1e-11 of its value.
void powers(const double* rates, double exponent, double* result, int count);

/// Sum over the four points of t11 a a' + t12 (a b' + b a') + t22 b b', a 16 x 16 matrix of which the upper right quarter
/// is left out; a, b: 2 e_xx and 2 e_xz of the cell's 16 functions, point by point; three tangents a point.
void cell_matrix(const double* a, const double* b, const double* tangent, double* matrix);

/// Sums over the four points of f0 a + f1 b and of f2 a + f3 b; four factors a point.
void cell_vectors(const double* a, const double* b, const double* factors, double* gradient, double* coupling);

}  // namespace etchcast::metal
