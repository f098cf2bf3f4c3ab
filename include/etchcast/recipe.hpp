#pragma once
/// \file recipe.hpp — the schedule of work, read and checked: what the smith wrote, in mm, degrees C, s and radians.
/// Reads after: error.hpp. Read next: step.hpp.

#include <array>
#include <map>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "etchcast/error.hpp"

namespace etchcast {

class GradeBook;
struct Recipe;
struct SteelSheet;

/// A steel of the recipe: the smith's own name for it, and what the picture and the books need to know.
struct Steel {
  std::string name;            ///< the recipe's word, e.g. "dark"
  std::string grade;           ///< standard designation, e.g. "75Ni8"
  std::string called;          ///< the other name by which the recipe asked for it, e.g. "15N20"; else empty
  double carbon = 0.8;         ///< nominal carbon, weight %
  double manganese = 0.6;      ///< nominal, weight %, as all that follow
  double silicon = 0, chromium = 0, nickel = 0, molybdenum = 0, vanadium = 0, tungsten = 0, copper = 0;
  double density = 7.85;       ///< g/cm3
  double tone = 0.1;           ///< 0 = blackest oxide, 1 = bright as satin nickel, after the etch
  double attack = 1.0;         ///< share of the etch's depth that this steel loses, 0 .. 1
  double solidus_c = 1370;     ///< where melting begins, degrees C; see docs/model.md
  std::optional<double> grey = {};  ///< share of light it throws back after the etch, if measured on a coupon
  std::shared_ptr<const SteelSheet> sheet = {};  ///< all that is known of its grade; none for a steel by its elements
};

/// Its designation with the name the recipe gave it behind: "1084", "75Ni8 (15N20)". A steel by its elements alone has
/// no designation: the recipe's word stands for it.
std::string designation(const Steel& steel);

/// The recipe's word with the designation behind: "dark (1084)", "bright (75Ni8, 15N20)"; "1084" where both are one.
std::string named(const Steel& steel);

/// Index of the first steel of the recipe that is the same metal with the same etch under another name; else its own.
std::size_t same_metal(const Recipe& recipe, std::size_t steel);

/// A grade the program knows, with where its figures come from.
struct Grade {
  Steel steel;             ///< name = grade = the standard designation
  std::string also;        ///< trade numbers and other standards' names, separated by ", "
  std::string standard;    ///< e.g. "SAE J403"
  std::string source;      ///< where the figures come from, or "value from memory"
};

/// All grades known, in the order `etchcast steels` prints them.
const std::vector<Grade>& grades();

/// How a piece is turned before it is laid on the pile (half turns about the bar's own axes).
enum class Flip {
  none,
  over,  ///< about x, the length: top face down, heel stays
  end,   ///< about y, the width: end for end and top face down
  spin   ///< about z, the thickness: end for end, top face stays up
};

/// One plate or bar of a stack, bottom to top.
struct StackEntry {
  std::string name;                    ///< a steel's or an earlier billet's name
  std::optional<double> thickness_mm;  ///< none: as the bar was made
  Flip flip = Flip::none;
  Place place;
};

/// One key of a step, checked: a number in mm, degrees C, s, radians, turns or as a plain fraction; or a word.
struct Argument {
  double number = 0;
  std::string word;
  Place place;
};

/// One line of the schedule.
struct StepCall {
  std::string name;                       ///< "draw", "press" …
  std::string id;                         ///< the smith's own label for `--at`; may be empty
  std::map<std::string, Argument> given;  ///< only the keys the recipe gave
  Place place;
};

/// One billet: its first stack and its steps in the order of work.
struct BilletPlan {
  std::string name;
  double width_mm = 40;    ///< 0: as the bars in the stack are (only if there are bars and the recipe is silent)
  double length_mm = 150;  ///< 0: likewise
  bool length_auto = false;  ///< forge() finds the shortest stack whose bar holds the blade; length_mm means nothing then
  Place length_place;        ///< of `length = "auto"`
  std::vector<StackEntry> stack;  ///< `repeat` and `top` already written out
  std::vector<StepCall> steps;
  Place place;
};

enum class Grind { flat, sabre, hollow, convex, single };

/// The blade asked for. Lengths in mm; unset sizes are the shape's own proportions.
struct BladePlan {
  std::string shape = "petty";       ///< a built-in outline, or "path"
  std::string path;                  ///< SVG path data in mm, x from heel to tip, y up from the edge line; or a drawing's file
  std::optional<std::string> drawing;  ///< what stands in the SVG file that `path` names; its y counts down
  Place path_place;
  double length_mm = 0;              ///< 0: the shape's usual length; an own path has its own
  std::optional<double> heel_mm;     ///< height at the heel
  std::optional<std::array<double, 3>> spine_mm;  ///< thickness at heel, middle, 10 mm from the tip
  std::optional<double> edge_mm;     ///< thickness at the edge before sharpening
  double edge_angle_rad = 0.2618;    ///< of the sharpened edge, per side; 0: left unsharpened
  Grind grind = Grind::flat;
  double bevel = 0.6;                ///< sabre, hollow, single: height of the bevel as a share of the blade's height
  double wheel_mm = 254;             ///< hollow: wheel diameter
  double bow_mm = 0.2;               ///< convex: how far the face stands over the flat chord
  std::string from;                  ///< billet the blade is ground from; empty: the last
  std::optional<double> x_mm;        ///< heel from the bar's heel end
  std::optional<double> y_mm;        ///< edge line from the bar's lower side, -W/2
  double z_mm = 0;                   ///< offset of the blade's mid-plane from the bar's
  double tang_mm = 30;               ///< metal that must be there behind the heel
  bool flip = false;                 ///< the bar's top face becomes the left side
  bool before_hardening = false;     ///< sizes are those before hardening and the last grind
  Place place;
};

enum class FinishKind { bare, oxide, coffee };

struct EtchPlan {
  /// Where the relief comes from: half an hour in the usual bath; told; the bath's rate times the time; a coupon.
  enum class Relief { usual, told, time, coupon };

  double depth_mm = 0.015;  ///< relief between a fully attacked and an untouched steel
  FinishKind finish = FinishKind::oxide;
  std::string bath = "ferric chloride";  ///< see etchcast/etching.hpp
  std::optional<double> time_s;          ///< in the bath in all, the film wiped off now and then
  Relief relief = Relief::usual;
  bool greys = false;  ///< tones are measured on a coupon
};

/// How even the hand is: waviness of the layers before the first step that bends them.
struct HandPlan {
  bool even = false;
  double wander_mm = 0.08;  ///< rms across the thickness
  double reach_mm = 18;     ///< correlation length along and across the bar
  unsigned seed = 1;
};

/// Metal that is lost on the way, per face or per cut, in mm (trade estimates).
struct Losses {
  double scale_weld_mm = 0.15;   ///< a face, per welding heat
  double scale_forge_mm = 0.05;  ///< a face, per other heat
  double crop_mm = 8;            ///< an end, before a restack or fold
  double kerf_mm = 2;            ///< a saw cut
  double clean_mm = 0.4;         ///< a face, ground bright before it is welded again
  static Losses none() { return {0, 0, 0, 0, 0}; }
};

/// The bars out of which the plates of the first stacks are cut.
struct StockPlan {
  bool told = false;                      ///< the recipe has a [stock]; else all that follows is taken for granted
  double usual_bar_mm = 1219.2;           ///< of steels not named below: 48 in, a length that steel is often sold in
  std::map<std::string, double> bars_mm;  ///< by steel's name: length of a bar as bought
  double kerf_mm = 0;                     ///< metal lost in a cut; 0: sheared
};

/// What the bar is worked with; it sets how far a step comes in a heat.
enum class ShopTool { press, power_hammer, hammer };
/// As a recipe writes it: "power hammer".
std::string_view word_of(ShopTool tool);

/// The shop, as far as the books ask for it.
struct ShopPlan {
  ShopTool tool = ShopTool::press;
};

/// Which figures the smith reads first; the others stand behind them in brackets.
enum class System { metric, inch };

/// A key given from outside: `where` is "STEP.key", "BILLET.key", "BILLET:STEP.key", "blade.key" or "units"; see
/// docs/decisions.md. The value is written as in the recipe, text without its quotes ("8 mm", "6", "true",
/// ["dark 3 mm"]); an empty one takes the key out.
struct Setting {
  std::string where, value;
};

/// A whole recipe, checked for words, units and ranges; sizes that depend on the bar are checked by forge().
struct Recipe {
  std::string file;     ///< as named by the caller, for messages
  std::string title;
  System units = System::metric;  ///< of what is printed and drawn; what is written may use either, size by size
  std::string comment;  ///< the first comment lines: what a smith would say of it
  std::string text;     ///< the recipe itself, so that a fault found later can show its line
  std::vector<Steel> steels;
  std::vector<BilletPlan> billets;
  std::optional<BladePlan> blade;
  EtchPlan etch;
  HandPlan hand;
  Losses losses;
  StockPlan stock;
  ShopPlan shop;
  std::shared_ptr<const GradeBook> own_grades;  ///< the smith's own, of the file under `grades`; may be none
  std::vector<std::string> files;               ///< that it was read from: itself and those it names
  std::vector<Setting> settings;                ///< keys that were given from outside

  /// The title, and after it what was given from outside: "Ladder (ladder.spacing = 8 mm)".
  std::string heading() const;
};

/// Reads and checks a recipe file ("-" reads standard input), with some keys given from outside.
///   Errors  Error(Fault::use) if the file cannot be read; Error(Fault::recipe) with every fault found. The place of a
///           fault in a setting is "--set WHERE", without a line.
Recipe read_recipe(const std::string& path, std::span<const Setting> settings = {});

/// The same error with the recipe's own lines filled in where a diagnostic has a place but no excerpt.
Error with_lines(const Error& error, const Recipe& recipe);

/// Checks a recipe given as text; `name` stands for the file in messages.
Recipe parse_recipe(std::string_view text, const std::string& name, std::span<const Setting> settings = {});

struct Document;

/// A recipe read once, to be checked many times with other settings: for comparing variants.
class RecipeText {
 public:
  ///   Errors  Error(Fault::use) if the file cannot be read; Error(Fault::recipe) if it is no TOML.
  explicit RecipeText(const std::string& path);
  RecipeText(std::string_view text, const std::string& name);

  ///   Errors  as read_recipe().   Cost  some 0.05 ms: no text is parsed but the settings'.
  Recipe with(std::span<const Setting> settings) const;

 private:
  std::shared_ptr<const Document> document_;
};

/// A commented recipe to start from, as `etchcast new` writes it.
std::string starter_recipe(const std::string& name);

}  // namespace etchcast
