#pragma once
/// \file pressing.hpp — one press of one billet: what is left of its wave where a smith looks at the blade, and how the rungs
/// lie there.

#include <optional>
#include <string>
#include <vector>

#include "check/scene.hpp"
#include "check/wave.hpp"
#include "workpiece/repeat.hpp"

namespace etchcast {

/// The wave at one place.
struct WaveAt {
  const char* where;
  double right = 0, left = 0;  ///< crest to trough on the two sides of the blade, mm
  double plane = 0;            ///< what plane sections show on the right, mm
  double lines = 0;            ///< layers it cuts through on the right: the lines of a rung
};

struct Pressing {
  const LedgerRow* row;
  std::string sides;
  double spacing = 0, angle = 0;  ///< of the die: as seen on the pressed bar
  double thick = 0;               ///< of the bar as it came to the press, mm
  double faces = 0;               ///< wave of the deeper pressed face, mm
  bool solved = false;            ///< the step itself followed the metal's flow: the picture shows the wave as told
  bool flattened = false;         ///< since forged flat: told is what that left
  double layer_mm = 0;            ///< mean layer of the pressed or flattened bar; 0 if layers did not lie flat
  Rungs rungs;                    ///< on the last bar
  std::vector<WaveAt> places;

  bool lengthwise() const;        ///< rungs run along the blade
  double fewest() const;          ///< lines, over the places
  double most() const;
};

/// Nothing if a later press works on the faces that this one left, and is judged with both waves.
std::optional<Pressing> pressing_of(const Scene& scene, size_t billet, size_t step);

/// Of ridges pressed in `step`, on the bar after step `last`.
Rungs rungs_after(const BilletStory& story, size_t step, size_t last, const Rungs& pressed);

/// How far below the floors of a pressed bar half of its wave is left, and how much of the bar hardly moves.
struct Reach {
  std::optional<double> half_mm;  ///< nothing: more than half is left all the way in
  double still_mm = 0;            ///< of the bar's height moves by less than a layer; 0 if layers do not lie flat
  double height_mm = 0;           ///< the bar's mean height
};

/// Of a pressing that was solved.
Reach reach_of(const Scene& scene, size_t billet, size_t step, const Pressing& pressing);

}  // namespace etchcast
