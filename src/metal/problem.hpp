#pragma once
/// \file problem.hpp — a pressing as the flow solver sees it: one repeat of the pattern, in units of the bar's mean
/// thickness before.
///
/// Places along the repeat are told as shares of half of it: 0 in its middle, -1 and 1 at its ends. Where everything is
/// mirrored about 0 and 1 (a die's ridges by themselves always are) only the half 0 .. 1 is solved.

#include <cmath>
#include <functional>

namespace etchcast::metal {

/// What works on one face.
struct Tool {
  enum class Kind {
    flat,   ///< anvil or platen; stretches with the bar where the metal sticks
    ridge,  ///< rigid ridges, free to leave the metal; their crests keep their places in the repeat
    form    ///< the face takes the die's shape all along, growing from its old shape in proportion: the die is always
            ///< full
  } kind = Kind::flat;
  double crest = 0;  ///< where a crest stands, as a share of the half repeat
  double pitch = 2;  ///< crest to crest, likewise; 2 over a whole number
  std::function<double(double)>
      rise;          ///< height over the crest at a distance from it; rises or stays level; not for flat
  double depth = 0;  ///< how far crest or platen goes below the highest place of the old face
  /// Place of the crest nearest to xi.
  double nearest(double xi) const { return crest + pitch * std::round((xi - crest) / pitch); }
};

struct Problem {
  double half_repeat = 0.5;    ///< of the pattern
  bool mirrored = true;        ///< about 0 and 1: dies and faces before
  bool round = false;          ///< half_repeat is the radius of a round cell about one stud or hole, see round.hpp
  bool repeat_before = false;  ///< half_repeat is that of the bar before; else as seen on the finished bar
  bool held = false;           ///< the bar may not lengthen
  /// m in stress = (rate of shear)^m. Hot steel: 0.1 to 0.2 (value from memory; tables for hot working give 0.08 to
  /// 0.24, Kalpakjian, Manufacturing Processes for Engineering Materials).
  double sensitivity = 0.17;
  /// 0 slips, 1 sticks; between, the share of the metal's own shear stress that the die takes (friction factor),
  /// growing with slip as the metal's stress does with rate.
  double friction = 1;
  Tool bottom, top;
  /// Faces before, over -1 .. 1; empty: flat at 0 and 1. Mean height must be 1.
  std::function<double(double)> bottom_before, top_before;
  double pitch_before = 2;  ///< their shortest pattern, as a share of the half repeat: sets the mesh
  /// Left end of what is solved, and its length.
  double start() const { return mirrored ? 0 : -1; }
  double extent() const { return mirrored ? 1 : 2; }
};

/// How finely to solve.
struct Fineness {
  int along = 16, through = 16;  ///< cells of the mesh
  int steps = 48;                ///< of the dies' travel
  int columns = 64, lines = 32;  ///< table: cells along what is solved and through the thickness
  bool operator==(const Fineness&) const = default;
};

}  // namespace etchcast::metal
