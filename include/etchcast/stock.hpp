#pragma once
/// \file stock.hpp — the cut list: which bars to buy for the first stacks, how to cut them, what is left over.
/// Reads after: forging.hpp. Read next: check.hpp.

#include <string>
#include <vector>

#include "etchcast/forging.hpp"

namespace etchcast {

/// Bars of one kind, and how much is left of each.
struct CutBars {
  int count = 0;
  double over_mm = 0;
};

/// Plates of one length for one billet.
struct CutPieces {
  std::string billet;
  int count = 0;
  double length_mm = 0;
};

/// All plates of one steel, thickness and width: they come out of the same bars.
struct CutLine {
  int steel = 0;  ///< index in the recipe
  double thickness_mm = 0, width_mm = 0;
  std::vector<CutPieces> pieces;  ///< longest first
  double bar_mm = 0;              ///< length of a bar as bought
  std::vector<CutBars> bars;      ///< fullest first
  int too_long = 0;               ///< plates longer than such a bar: it gives none of them
  double mass_g = 0;              ///< of the plates

  int plates() const;
  int bar_count() const;
};

struct CutList {
  std::vector<CutLine> lines;        ///< in the order of the recipe
  std::vector<double> steel_mass_g;  ///< of the plates, by steel of the recipe
  double kerf_mm = 0;
  bool told = false;  ///< by the recipe's [stock]; else 48 in bars and a shear are taken for granted
};

/// Plates that a bar gives. Every plate is parted by one cut, the last one too, unless less than a kerf is left of the
/// bar beyond it: a 48 in bar gives eight of 6 in sheared; seven with a kerf of 2 mm, and 138 mm are over.
int plates_per_bar(double bar_mm, double plate_mm, double kerf_mm);

/// What is left of a bar after `count` plates.
double left_of_bar(double bar_mm, double plate_mm, double kerf_mm, int count);

/// Steel to cut for the first stack of every billet, at the footprint of the pile as it is laid. Bars are taken to be
/// as wide as the plates. Longer plates are cut first; shorter ones fill up what is left of bars already begun.
CutList cut_list(const Recipe& recipe, const Forging& forging);

/// As a few lines for a terminal of 80 columns.
std::string cut_list_text(const Recipe& recipe, const CutList& list);

}  // namespace etchcast
