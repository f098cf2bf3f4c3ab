#pragma once
/// \file metallurgy.hpp — what the fire does inside a forged bar: what diffuses, what hardens, and at which heat.
/// Reads after: forging.hpp, steels.hpp.

#include <optional>
#include <string>
#include <vector>

#include "etchcast/forging.hpp"
#include "etchcast/steels.hpp"

namespace etchcast {

/// A time at heat. `thinning` = layer thickness then / layer thickness in the finished bar.
struct Heat {
  double celsius = 0, seconds = 0, thinning = 1;
};

/// All heats of a bar's metal in the order of work.
struct HeatHistory {
  std::vector<Heat> heats;
  std::vector<std::string> notes;  ///< what was taken for granted
};

/// How long a heat lasts where the recipe names no soak: common practice of a few minutes at heat between blows.
inline constexpr double kUsualHoldS = 240;

/// The heats a billet's ledger books. Only the first heat of a step lasts longer than `hold_s`, if the step has a soak.
/// Heats come before the blows, the layers thinning evenly from one to the next. A bar rolled onto its side or twisted
/// has its layers thinned as the side of its section (noted).
HeatHistory heat_history(const BilletStory& story, double hold_s = kUsualHoldS);

/// Fills in BandList::soft_mm of a billet's bars, one after each step, earlier bars laid into them included: each of
/// those goes on through the later heats and is softer there than it was by itself.
///   Method  The square is the sum over the heats of 2 D t (thickness of the layers in the list / in that heat)^2. D is
///           that of nickel, chromium and manganese, each counted by how much its differences at the list's seams change
///           the etch (see tone_weight()). Carbon has no part in it. 0 where the steels differ in none of the three.
///   Accuracy  One figure for all seams of a list: those of a restack are softened a little less. D is known within a
///           factor of 3, so the width within a factor of 1.7.
void soften_seams(const Recipe& recipe, BilletStory& story, const Forging& earlier, double hold_s = kUsualHoldS);

/// What the seams' blur leaves of the differences between a list's steels in attack, in the middles of the bands: 1 where
/// seams are sharp, 0 where all has evened out and the acid finds one steel. Lists above 4096 bands: of their middle 4096.
double contrast_left(const BandList& list, const std::vector<Steel>& steels);

/// What is left of one element's differences between layers.
struct ElementFate {
  Element element = Element::carbon;
  double dt_mm2 = 0;         ///< sum of D t over the heats, at the finished bar's scale
  double edge_mm = 0;        ///< width of the softened edge, 2 sqrt(Dt)
  double contrast_left = 1;  ///< mean distance of the bands' middles from the average: 1 as piled, 0 evened out
  double washout_mm = 0;     ///< layers thinner than this, one like another, keep less than a tenth of their contrast
  std::vector<double> centres;  ///< weight % at the middle of each band, bottom to top
  std::vector<double> means;    ///< weight %, averaged over each band
};

/// One band list of the finished bar: its own, or that of an earlier bar that was laid into it.
struct BandFate {
  std::string billet;
  std::vector<double> thickness_mm;  ///< of the bands in the finished bar, before any grinding after layers bent
  std::vector<int> what;             ///< as BandList::what
  HeatHistory history;
  std::vector<ElementFate> elements;  ///< C, Mn, Cr and Ni, in this order; silicon and the rest have no D here
};

/// Diffusion through every band list of the bar the blade comes from (without a blade: the last), own list first.
///   Accuracy  Exact for one-dimensional diffusion through the list with tight faces. All seams count as old as the
///             pile: those of a later restack are softened a little less. Bars laid in count with their average. D is
///             good to a factor of 3, widths to its root. Lists above 4096 bands are judged by their middle 4096.
std::vector<BandFate> diffuse(const Recipe& recipe, const Forging& forging, double hold_s = kUsualHoldS);

/// The element that makes these bands etch unlike: nickel before chromium before manganese, whichever differs enough to
/// be seen. nullptr: none does.
const ElementFate* contrast_carrier(const BandFate& fate, const std::vector<Steel>& steels);

/// One steel of the bar when it goes to the quench.
struct SteelInBar {
  std::string name, grade;              ///< the recipe's word and the standard's
  std::string told;                     ///< both as they are printed; the word "core" is left out
  int steel = 0;                        ///< index in the recipe
  std::shared_ptr<const SteelSheet> sheet;  ///< of its grade, if there is one
  bool takes_carbon = true;                 ///< not nickel, not copper: `carbon_after` says nothing of those
  double share = 0;                     ///< of the bar's mass as piled
  double edge_share = 0;                ///< of the blade's edge; without a blade, of the bar's mid-plane
  double carbon = 0, carbon_after = 0;  ///< weight %, nominal and after the forge's heats
  std::optional<Window> forge, harden;  ///< from the grade's sheet
  std::optional<double> ac1_c, ac3_c;   ///< only where the formula holds for the carbon after the heats
  std::optional<double> martensite_c, retained;  ///< likewise; austenite left at 20 C, as a share
};

/// The fire takes carbon out of the outside of steel: at forging and welding heats out of 0.2 to 0.5 mm (common
/// practice), in one hardening heat out of about a tenth (estimate: 2 sqrt(D t) of carbon at 815 C in 10 min is 0.07
/// mm).
inline constexpr double kSkinLeast_mm = 0.2, kSkinMost_mm = 0.5, kSkinOfHardening_mm = 0.1;

/// How thick an edge goes into the hardening fire, mm: 0.5 at least (common practice has 0.4 to 0.75), and as thick as
/// it is to be with a tenth more on each face.
double edge_before_hardening_mm(double finished_mm);

struct Hardening {
  std::vector<SteelInBar> steels;
  double mean_carbon = 0;        ///< by mass
  double edge_carbon = 0;        ///< at the edge, after the heats
  double carbon_contrast = 1;    ///< what is left of carbon's differences through the bar
  int cutting = -1;              ///< index in `steels` of the one at the edge; -1: the mix
  bool core = false;             ///< the edge is a core: other steels of the bar never reach it, or hardly
  bool strayed = false;          ///< a core that leaves the edge here and there
  std::optional<Window> forge;   ///< common to all steels that have a window
  std::optional<Window> harden;  ///< common to the steels at the edge that have a window, if a forge can hold it
  int leading = -1;   ///< index of the steel hardened for: what cuts alone, or most of an edge whose steels have
                      ///< no such common heat; -1: none leads
  std::string melts;  ///< why it must not be hardened at all: some metal of the bar would melt; else empty
  bool partly_known = false;     ///< some steel at the edge that can harden has no window on record
  /// What speaks against the recipe first, then what every hardened blade is told, then the rest.
  std::vector<std::string> cautions;
  size_t objections = 0;         ///< how many of the cautions speak against the recipe
  /// How such a bar is customarily hardened, in whole sentences and in the order of work: common practice, and marked
  /// where it is from memory. Data sheets come first.
  std::vector<std::string> practice;

  /// What to harden at; nothing if no heat is on record.
  const std::optional<Window>& heat() const { return leading >= 0 ? steels[std::size_t(leading)].harden : harden; }
};

/// Narrower windows than 25 F (14 C) cannot be held in a forge (the project's own choice).
bool can_be_held(const Window& window);

/// What is done with a bar of these steels, for Hardening::practice.
std::vector<std::string> quench_practice(const Recipe& recipe, const Hardening& all);

/// The bar the blade comes from, at the quench.
Hardening hardening(const Recipe& recipe, const Forging& forging);

/// Both as text of 80 columns for the terminal.
std::string diffusion_text(const Recipe& recipe, const Forging& forging);
std::string hardening_text(const Recipe& recipe, const Forging& forging);

}  // namespace etchcast
