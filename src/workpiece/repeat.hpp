#pragma once
/// \file repeat.hpp — how ridges and grooves repeat along a bar, and whether two such patterns have a repeat in common.

#include <optional>

namespace etchcast {

/// A pattern of faces that depend on u = x cos(angle) + y sin(angle) only.
struct Repeat {
  double spacing_mm = 0;  ///< after which everything comes again
  double place_mm = 0;    ///< u about which all is mirrored, as it is half a spacing on; without mirrors any place
  double angle_rad = 0;
  bool mirrored = true;
  double finest_mm = 0;  ///< shortest spacing of the patterns in it
  /// In the bar drawn out along and across by those factors.
  Repeat stretched(double along, double across) const;
};

/// Ridges as they lie in a bar, whether its faces still show them or not. They are lines: what draws the bar out along or
/// across turns them and moves them apart.
struct Rungs {
  double spacing = 0, angle = 0;  ///< along their normal, mm; rad
  Rungs stretched(double along, double across) const;
};

/// New ridges or grooves beside an old pattern.
struct Joined {
  Repeat repeat;        ///< of both together
  double spacing_mm;    ///< of the new ones, fitted to it
  double crest_mm;      ///< u of one of them
};

/// The least repeat that holds whole numbers, up to four, of both, if the new spacing fits within `tolerance` of itself.
/// The new ones stand at (phase + k) of their spacing, those of the other face at these places or midway between.
std::optional<Joined> joined(const Repeat& old, double spacing_mm, double phase, double angle_rad, double tolerance);

}  // namespace etchcast
