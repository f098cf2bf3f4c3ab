#pragma once
/// \file problem.hpp — a pressing as the flow solver sees it: half a repeat of the pattern, in units of the bar's mean
/// thickness before.

#include <functional>

namespace etchcast::metal {

/// What works on one face.
struct Tool {
  enum class Kind {
    flat,   ///< anvil or platen; stretches with the bar where the metal sticks
    ridge,  ///< rigid ridge, free to leave the metal; its crest keeps its place in the repeat
    form    ///< the face takes the die's shape all along, growing from its old shape in proportion: the die is always
            ///< full
  } kind = Kind::flat;
  bool far = false;  ///< the crest stands at the far mirror (x = half repeat), not at x = 0
  std::function<double(double)>
      rise;          ///< height over the crest at a distance from it; rises or stays level; not for flat
  double depth = 0;  ///< how far crest or platen goes below the highest place of the old face
};

struct Problem {
  double half_repeat = 0.5;    ///< of the pattern
  bool repeat_before = false;  ///< half_repeat is that of the bar before; else as seen on the finished bar
  bool held = false;           ///< the bar may not lengthen
  /// m in stress = (rate of shear)^m. Hot steel: 0.1 to 0.2 (value from memory; tables for hot working give 0.08 to
  /// 0.24, Kalpakjian, Manufacturing Processes for Engineering Materials).
  double sensitivity = 0.17;
  /// 0 slips, 1 sticks; between, the share of the metal's own shear stress that the die takes (friction factor),
  /// growing with slip as the metal's stress does with rate.
  double friction = 1;
  Tool bottom, top;
  /// Faces before, over the share (0 .. 1) of the half repeat; empty: flat at 0 and 1. Mean height must be 1.
  std::function<double(double)> bottom_before, top_before;
};

/// How finely to solve.
struct Fineness {
  int along = 16, through = 16;  ///< cells of the mesh
  int steps = 48;                ///< of the dies' travel
  int columns = 64, lines = 32;  ///< table: cells along the half repeat and through the thickness
  bool operator==(const Fineness&) const = default;
};

}  // namespace etchcast::metal
