#pragma once
/// \file forging.hpp — the schedule carried out: the bar after each step, and the books of the work.
/// Reads after: batch.hpp. Read next: blade.hpp.
///
/// A bar is never a grid of voxels. It is a list of bands (the first stack, with every step that kept layers flat already
/// worked in) and a list of maps that lead from a point of the present bar back to the flat one.

#include <memory>
#include <string>
#include <vector>

#include "etchcast/batch.hpp"
#include "etchcast/recipe.hpp"
#include "etchcast/step.hpp"

namespace etchcast {

class Map;
class Relief;
class Bar;

enum class Section { rect, round };

/// A finished bar used as a plate of a later stack: child = scale * (x, y, z from the band's middle) + shift.
struct Inset {
  std::shared_ptr<const Bar> bar;
  double scale[3] = {1, 1, 1}, shift[3] = {0, 0, 0};
};

/// Bands of steel from the lower face up. Neighbours of the same steel have been merged into one layer.
struct BandList {
  std::string billet;
  std::vector<double> edges;  ///< mm from the lower face, size() + 1 of them, rising, edges[0] = 0
  std::vector<int> what;      ///< steel's index in the recipe, or -1-k for inset k
  std::vector<Inset> insets;
  long long nominal = 0;      ///< layers as usually advertised: plates times folds, merges not deducted
  double soft_mm = 0;         ///< standard deviation of the blur of a seam by diffusion, mm of stack

  int size() const { return int(what.size()); }
  double total() const { return edges.empty() ? 0 : edges.back(); }
  int at(double s) const;     ///< index of the band that holds s, clamped to the list
};

/// What stands at one point.
struct Pick {
  int leaf = 0;      ///< index into Bar::leaves()
  double s = 0;      ///< stack coordinate, mm from the lower face of the bottom plate
  int layer = 0;     ///< counted from 1 at the bottom
  int steel = 0;
};

/// The bar at one moment. Immutable; any number of threads may ask it.
class Bar {
 public:
  double length_mm = 0, width_mm = 0, thickness_mm = 0;  ///< round: width = thickness = diameter
  double volume_mm3 = 0;
  Section section = Section::rect;
  std::shared_ptr<const Relief> top, bottom;  ///< faces over the bar, mm from its mid-plane
  BandList bands;
  std::vector<std::shared_ptr<const Map>> maps;  ///< in the order of work

  bool even() const;      ///< both big faces flat
  bool flat_layers() const { return maps.empty() && bands.insets.empty(); }
  /// Faces at a place of the bar, with slopes. Round bars: the circle.
  double top_at(double x, double y, double* slope_x = nullptr, double* slope_y = nullptr) const;
  double bottom_at(double x, double y, double* slope_x = nullptr, double* slope_y = nullptr) const;

  /// All band lists that metal of this bar can come from; [0] is its own, then those of insets.
  std::vector<const BandList*> leaves() const;

  /// Where the metal at each point came from. `points` is used up.
  ///   Units     mm; derivatives per unit of the batch's own p and q.
  ///   Accuracy  float: about 1e-3 of a 60 um layer after a dozen maps; double: rounding.
  ///   Cost      one pass per map, no allocation; safe from many threads.
  void origins(Batch<float>& points, Origins<float>& origins) const;
  void origins(Batch<double>& points, Origins<double>& origins) const;

  /// The same for single points (probes and counts), n of them.
  std::vector<Pick> picks(const std::vector<Point<double>>& points) const;
};

/// Metal that cold work took off a bar since it last came out of the fire, mm, where it took least: the fire's soft
/// skin begins that far outside the present faces.
struct SkinOff {
  double bottom = 0, top = 0, sides = 0;
};

/// A line of the ledger.
struct LedgerRow {
  std::string billet, step, id;
  int number = 0;                 ///< counts from 1 in its billet; 0 = the pile
  double length_mm = 0, width_mm = 0, thickness_mm = 0;
  Section section = Section::rect;
  double mass_g = 0, yield = 1;   ///< yield: share of the steel piled for this billet that is still in the bar
  double volume_mm3 = 0;
  long long nominal = 0;          ///< layers as usually counted
  int layers_least = 0, layers_most = 0;  ///< distinct layers through the thickness, least and most along the bar
  double thinnest_mm = 0, mean_mm = 0, thickest_mm = 0;  ///< layer thickness, merged layers counted as one
  int heats = 0;
  double heat_c = 0, soak_s = 0;
  double scale_mm = 0;            ///< scale lost per face in this step
  double removed_mm3 = 0;         ///< metal cut, ground or scaled away in this step
  SkinOff skin_off;               ///< up to the end of this step
  double reduction = 1;           ///< thickness before / after for bulk steps
  std::string rough;              ///< why this step is a rough forecast; empty if it is as good as the model
  std::vector<std::string> notes; ///< what was trimmed, raised, filled …
  Place place;
};

/// Something a master would say beforehand.
struct Warning {
  enum class Weight { note, warning } weight = Weight::warning;
  Place place;
  std::string about;  ///< e.g. "bar: step 8, press"
  std::string text;
};

/// A billet's whole story: bars[k] is the bar after step k, bars[0] the pile as laid.
struct BilletStory {
  std::string name;
  std::vector<std::shared_ptr<const Bar>> bars;
  std::vector<LedgerRow> rows;  ///< same length as bars
};

struct Forging {
  std::vector<BilletStory> billets;
  std::vector<Warning> warnings;  ///< found while forging; check() adds those of the blade

  const BilletStory& story(const std::string& billet) const;  ///< empty name: the last
  const Bar& last() const { return *billets.back().bars.back(); }
};

/// Carries out the schedule.
///   Errors  Error(Fault::recipe) at the first step that cannot be done, and why.
///   Cost    milliseconds; tables of irregular faces take the longest.
Forging forge(const Recipe& recipe);

struct ForgeOptions {
  /// Do not work flat steps into the band list: the same bar, reached the long way. For tests of the program itself.
  bool keep_every_map = false;
  /// The metal's flow under dies by a closed form instead of a solve: milliseconds, and rough. For a first look while
  /// sizes are still being tried; the rows say so.
  bool preview = false;
};
Forging forge(const Recipe& recipe, const ForgeOptions& options);

}  // namespace etchcast
