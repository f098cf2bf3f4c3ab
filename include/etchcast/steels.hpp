#pragma once
/// \file steels.hpp — the steels themselves: composition, heats, hardness, and where each figure comes from.
/// Reads after: recipe.hpp. Read next: metallurgy.hpp.
///
/// A figure that no source covers is not there: every optional below may be empty, and no caller should fill it in.

#include <array>
#include <deque>
#include <initializer_list>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "etchcast/recipe.hpp"

namespace etchcast {

enum class Element { carbon, manganese, silicon, chromium, nickel, molybdenum, vanadium, tungsten, copper };
inline constexpr int kElementCount = 9;

/// "C", "Mn" …
std::string_view symbol_of(Element element);

/// Where a Steel keeps that element's nominal share, weight %: `steel.*field_of(element)`.
double Steel::*field_of(Element element);

/// How much a weight % of an element changes the tone between black and bright: a guess, after smiths' accounts of how
/// grades look. Nickel and chromium keep a steel bright, manganese blackens it; 0 for all else, carbon above all.
double tone_weight(Element element);

/// What a standard allows of one element, weight %. least = most = nominal: only the nominal figure is known.
struct Content {
  Element element = Element::carbon;
  double least = 0, most = 0, nominal = 0;
};

/// The elements of one grade, in the order of its standard.
class Contents {
 public:
  constexpr Contents() = default;
  constexpr Contents(std::initializer_list<Content> list) {
    for (const Content& one : list) rows_[size_++] = one;
  }
  constexpr void add(const Content& one) { rows_[size_++] = one; }
  constexpr const Content* begin() const { return rows_.data(); }
  constexpr const Content* end() const { return rows_.data() + size_; }
  constexpr std::size_t size() const { return size_; }
  constexpr const Content& operator[](std::size_t i) const { return rows_[i]; }

 private:
  std::array<Content, kElementCount> rows_{};
  std::size_t size_ = 0;
};

/// A range of temperature, degrees C, both ends belonging to it.
struct Window {
  double low_c = 0, high_c = 0;
  std::string_view source;
};

/// What lies in both, without a source; nothing if they do not meet. They may meet in one point.
std::optional<Window> overlap(const Window& a, const Window& b);

/// Rockwell C.
struct HardnessRange {
  double least = 0, most = 0;
};

/// One line of a tempering table.
struct TemperPoint {
  double celsius = 0;
  HardnessRange hrc;
};

/// One published table: hardness after tempering, rising temperature.
struct TemperTable {
  std::string_view source, hold;
  HardnessRange as_quenched;
  std::span<const TemperPoint> points;
};

/// The oil a steel is customarily quenched in: fast (7 to 9 s class) or medium (9 to 11 s).
enum class Oil { unknown, fast, medium };

/// How long a piece stays at a heat once it is even, minutes.
struct Hold {
  double least_min = 0, most_min = 0;
  std::string_view source;
};

/// All that is known of one grade.
struct SteelSheet {
  std::string_view grade;             ///< standard designation
  std::string_view also;              ///< trade numbers and other standards' names, separated by ", "
  std::string_view standard;          ///< e.g. "SAE J403"
  std::string_view source;            ///< where the ranges come from, and what is a value from memory
  Contents contents;                  ///< carbon first
  double density = 7.85;              ///< g/cm3
  double tone = 0.1;                  ///< as Steel::tone
  double attack = 1.0;                ///< as Steel::attack
  double solidus_c = 0;               ///< 0: on the linear iron-carbon solidus
  std::optional<Window> forge = {};   ///< low: do not forge below; high: start no hotter
  std::optional<Window> harden = {};  ///< austenitise between
  std::optional<Hold> hold = {};      ///< there, of a blade
  Oil oil = Oil::unknown;
  std::optional<Window> normalise = {};  ///< the first and hottest of the falling heats after forging
  std::string_view no_normalise = {};    ///< why it usually is not normalised at all; empty: it is
  std::string_view caution = {};         ///< what a smith must know before it goes into a stack; a sentence
  std::span<const TemperTable> temper = {};
};

/// A smith's own grades, read from a file of theirs.
class GradeBook {
 public:
  GradeBook() = default;
  GradeBook(const GradeBook&) = delete;  // sheets look into its texts
  GradeBook& operator=(const GradeBook&) = delete;

  std::string file;  ///< as named by the caller
  const std::deque<SteelSheet>& sheets() const { return sheets_; }
  /// By designation or any other name, as find_sheet() does.
  const SteelSheet* find(std::string_view name) const;

  std::string_view keep(std::string text) { return texts_.emplace_back(std::move(text)); }
  SteelSheet& add() { return sheets_.emplace_back(); }

 private:
  std::deque<std::string> texts_;
  std::deque<SteelSheet> sheets_;
};

/// Reads a file of grades: one table a grade, see docs/guide.md.
///   Errors  Error(Fault::use) if it cannot be read; Error(Fault::recipe) with every fault in it, in its own lines.
std::shared_ptr<const GradeBook> read_grades(const std::string& path);

/// The same from text; `file` names it in messages.
std::shared_ptr<const GradeBook> parse_grades(std::string_view text, const std::string& file);

/// Linear iron-carbon solidus, degrees C, capped at the peritectic: a value from memory, through 1375 C at 0.84 % C and
/// 1355 C at 0.95 % C.
double iron_carbon_solidus_c(double carbon);

/// The hottest a steel may get in any fire, degrees C: a margin below its solidus, since it burns at the boundaries of
/// its grains before the whole of it melts.     Source  see src/steels/heats.cpp, as for the two below.
double hottest_c(const Steel& steel);

/// Between which heats it is forged: as its sheet has it, else by its solidus alone, with low_c = 0.
Window forging_heats(const Steel& steel);

/// The hottest at which it may be welded.
double hottest_weld_c(const Steel& steel);

/// Every grade, in the order `etchcast steels` prints them. grades() is made from this table.
const std::vector<SteelSheet>& steel_sheets();

/// The sheet of that designation or trade number; nullptr if there is none. Case, blanks and hyphens do not count, nor
/// does the standard's name before it: "AISI o-1" is O1.
const SteelSheet* find_sheet(std::string_view name);

/// The one of the sheet's own names that `name` means, as the sheet writes it; empty if it means none of them.
std::string_view name_in(const SteelSheet& sheet, std::string_view name);

/// What may have been meant by a name that is not known: by sense and by family of steels, not by letters. Empty: no
/// idea.
std::string steel_hint(std::string_view word, const GradeBook* own = nullptr);

/// The steel that a sheet describes, at its nominal composition; its name is the grade's.
Steel steel_of(std::shared_ptr<const SteelSheet> sheet);

/// The designation first, then the names under `also`.
std::vector<std::string_view> names_of(const SteelSheet& sheet);

/// Hardness after tempering at `celsius` for the table's usual hold, as a range over all tables and their spread.
///   Range   from each table's lowest to its highest temperature; nothing outside, nothing without a table.
///   Accuracy  O1 and L6 +-2 HRC (O1 +-4 from 427 C up: two sheets differ by that much), 1095 +-3 HRC.
std::optional<HardnessRange> tempered_hardness(const SteelSheet& sheet, double celsius);

/// Whose tables those are.
std::string temper_sources(const SteelSheet& sheet);

/// Straight out of the quench, over all tables; nothing without a table.
std::optional<HardnessRange> quenched_hardness(const SteelSheet& sheet);

/// Vickers from Rockwell C and back, by the table of ASTM E140.
///   Range   20 to 68 HRC, 238 to 940 HV; nothing outside.
///   Accuracy  a conversion is good to a whole HRC at best [ASTM E140, 1.10].
std::optional<double> vickers_from_rockwell(double hrc);
std::optional<double> rockwell_from_vickers(double hv);

/// Metal lost from a bare face to scale in still air, mm: an upper bound for a forge, whose gas is leaner and slower.
///   Range   700 to 1250 C; nothing outside.     Source  see src/steels/scale.cpp.
std::optional<double> scale_loss_at_most_mm(double celsius, double seconds);

/// Thermal elongation of steel from 20 C, as a share of its length.
///   Range   20 to 1200 C; nothing outside.     Source  [EN 1993-1-2:2005, 3.4.1.1]
std::optional<double> thermal_elongation(double celsius);

}  // namespace etchcast
