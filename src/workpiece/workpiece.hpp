#pragma once
/// \file workpiece.hpp — the bar under the hammer: what steps may do to it, with the books kept at the same time.

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "base/measures.hpp"
#include "etchcast/forging.hpp"
#include "tape/map.hpp"
#include "workpiece/relief.hpp"
#include "workpiece/repeat.hpp"

namespace etchcast {

struct Holes;

class Workpiece {
 public:
  /// The recipe tells the shop: its losses, the figures its smith reads first.
  Workpiece(Bar pile, const HandPlan& hand, const Recipe& recipe, const ForgeOptions& options);

  const Bar& bar() const { return bar_; }
  double length() const { return bar_.length_mm; }
  double width() const { return bar_.width_mm; }
  double thickness() const { return bar_.thickness_mm; }
  const Losses& losses() const { return losses_; }
  const Measures& say() const { return say_; }
  bool preview() const { return options_.preview; }
  LedgerRow& row() { return row_; }
  void note(std::string text) { row_.notes.push_back(std::move(text)); }
  void warn(const Place& place, std::string text);
  std::vector<Warning>& warnings() { return warnings_; }

  // --- Before the blow ---
  /// Refuses unless both big faces are flat (and the section rectangular, if asked).
  void need_even(const Arguments& arguments, bool rect = true, bool uneven_will_do = false) const;
  /// Books the heats of a hot step and takes their scale off every face. Heat by default: `welding` 1260 C as given, else
  /// the last forging heat, else 1090 C.
  void heat(const Arguments& arguments, bool welding, int heats_by_default);

  // --- What may be done ---
  /// Stretch along the axes; the product is 1 for a bulk step.
  void stretch(double along, double across, double through);
  /// Takes metal off: mm from the lower and upper face, from each side, from heel and tip end.
  void cut(double below, double above, double sides, double heel_end, double tip_end);
  /// Lays n pieces, cut one after another from the heel, on one another; `crop`, `kerf` and `clean` in mm.
  void pile(int pieces, Flip every_second, double crop, double kerf, double clean);
  /// Hinges the bar at mid-length; the upper half comes to lie end for end.
  void fold(double crop, double clean);
  /// Rolls the bar about its length by quarter turns.
  void turn(int quarters);
  /// A motion that bends layers. Lays the hand's wander before the first one.
  void bend(MapPtr map);
  void set_size(double length, double width, double thickness) {
    bar_.length_mm = length, bar_.width_mm = width, bar_.thickness_mm = thickness;
  }
  void set_section(Section section) { bar_.section = section; }
  void set_faces(Relief bottom, Relief top);
  /// The mid-plane of the books moves to height z; the metal stays where it is. Set the faces next.
  void recentre(double z);
  /// Metal now filling the space between the faces and ends (for cuts); books what went.
  void settle_volume(double volume_mm3);
  /// The hand's wander, unless it is already in. Called at the last moment layers are still flat.
  void lay_wander();

  /// How uneven faces repeat along the bar, where the steps that made them know it (see repeat.hpp).
  const std::optional<Repeat>& repeat() const { return repeat_; }
  void set_repeat(const std::optional<Repeat>& repeat) { repeat_ = repeat; }

  /// Holes drilled into an even bar, while its faces are as the drill left them (see tools.hpp).
  const std::shared_ptr<const Holes>& holes() const { return holes_; }
  void set_holes(std::shared_ptr<const Holes> holes) { holes_ = std::move(holes); }

  /// The pressing that made the present uneven faces, while they are as the die left them.
  struct Pressing {
    Bar before;          ///< the even bar it began with
    MapPtr map;
    bool valid = false;
  };
  Pressing& pressing() { return pressing_; }
  /// Takes the last pressing back, so that the next one starts from the even bar with the joined faces.
  void undo_pressing();

 private:
  void push(MapPtr map);
  Bar bar_;
  HandPlan hand_;
  Losses losses_;
  Measures say_;
  ForgeOptions options_;
  bool wander_laid_ = false;
  double last_heat_c_ = 1090;
  LedgerRow row_;
  std::vector<Warning> warnings_;
  Pressing pressing_;
  std::optional<Repeat> repeat_;  ///< lost with the next change of the faces
  std::shared_ptr<const Holes> holes_;  ///< likewise
};

// --- Band lists (bands.cpp) ---
/// What to say of a bar of so many bands, where that is more than a million; else empty. Ask before building the list.
std::string too_many_bands(double bands);
/// Appends a band, merging it with the last one if both are the same steel.
void append_band(BandList& list, double thickness_mm, int what);
/// The list turned top face down.
BandList turned_over(const BandList& list);
/// What is left between `below` and `above` mm off the two faces.
BandList trimmed(const BandList& list, double below, double above);

}  // namespace etchcast
