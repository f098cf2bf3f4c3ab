#pragma once
/// \file tools.hpp — shapes of dies, cutters, punches and hammers, and where they meet the bar.

#include <string>

#include "workpiece/forming.hpp"

namespace etchcast {

/// Height of a tool's surface over its deepest point, at distance r from it, mm.
struct Profile {
  enum class Kind { nose, flat, sine, cap } kind = Kind::nose;
  double radius = 3.2;       ///< nose, cap: rounding of the tip
  double flank_rad = 1.047;  ///< angle of the flank from the bar's face; 90 degrees is taken as 85
  double land = 0;           ///< flat: width of the floor
  double spacing = 12, swing = 1;  ///< sine: crest to crest, crest to trough
  double rise(double r) const;
  /// Distance at which the tool, pressed in or cut to a depth, meets the untouched face, mm; at most a metre.
  double reach(double depth) const;
  /// Smallest thing on it that a table must show.
  double feature(double depth) const;
};

/// Parallel ridges: crests at (phase + k) * spacing along the normal.
ToolFace ridges(const Profile& profile, double spacing, double phase, double angle_rad, double depth);

/// How the metal answers.
struct MetalKeys {
  double sensitivity = 0.17;  ///< m in stress = (rate of shear)^m
  double friction = 1;        ///< 0 slides, 1 sticks
};

/// A part of the plan.
struct Room {
  double from_x = -1e9, to_x = 1e9, from_y = -1e9, to_y = 1e9;
  bool holds(double x, double y) const { return x >= from_x && x <= to_x && y >= from_y && y <= to_y; }
};

/// Where single tools stand.
struct Pattern {
  enum class Set { hexagonal, square, random } set = Set::hexagonal;
  double spacing = 10;
  bool between = false;   ///< stand in the gaps of the set on the other face
  unsigned seed = 1;
  double stray = 0.25;  ///< random: how far off a regular set's place each stands at most, as a share of spacing and row
  /// A random set may be made to repeat: its places from those columns and rows on, so many of each; 0: it never does.
  int first_column = 0, first_row = 0, columns = 0, rows = 0;
  Room room{};  ///< places outside of it are left out
  double row() const;
  /// Squares of the distances from (x, y) to the places near it, the nearest surely among them; returns how many.
  static constexpr int kNear = 16;
  int near(double x, double y, double* squares) const;
  /// Distance from (x, y) to the nearest place of the set; very far if all near ones are left out.
  double nearest(double x, double y) const;
  /// Radius of the disc as large as the plan that falls to one place.
  double cell_radius() const;
  /// Distance that any two places keep at least.
  double least_apart() const;
};
/// Lets a random set stray no further than leaves that distance between any two places.
void keep_apart(Pattern& pattern, double least);
ToolFace studs(const Profile& profile, const Pattern& pattern, double depth);

/// Random blows of a hammer with a crown of that radius; their depth varies from 0.4 to 1 of `depth`.
struct Blows {
  double crown = 60, spacing = 12, depth = 0.6;
  unsigned seed = 1;
  /// Made to repeat, as a random Pattern, and left out outside of its room.
  int first_column = 0, first_row = 0, columns = 0, rows = 0;
  Room room{};
  /// Radius of the deepest dent where it meets the untouched face.
  double radius() const;
  /// Squares of the grid of blows to each side that may tell at a place.
  int squares_around() const;
  /// Beyond it some hundred blows tell at every place, which takes too long.
  static constexpr int kMostAround = 4;
  /// Spacing from which on squares_around() is at most kMostAround.
  double least_spacing() const;
  /// How far below the untouched face they reach at (x, y); negative where none does.
  double reach(double x, double y) const;
};
ToolFace blows(const Blows& blows);

/// The recipe word for a set.
Pattern::Set set_of(const std::string& word);

}  // namespace etchcast
