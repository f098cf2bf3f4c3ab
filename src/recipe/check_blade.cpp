// [blade]: the blade asked for. Sizes that depend on the bar or the outline are judged when it is ground.

#include <fmt/format.h>

#include <cctype>

#include "base/conditions.hpp"
#include "base/units.hpp"
#include "base/words.hpp"
#include "recipe/check.hpp"

namespace etchcast {
namespace {

constexpr Range kLength{Unit::length, 10, 2000};
constexpr Range kHeel{Unit::length, 2, 500};
constexpr Range kSpine{Unit::length, 0.05, 50};
constexpr Range kEdge{Unit::length, 0, 20};
constexpr Range kEdgeAngle{Unit::angle, 0, 0.6981};
constexpr Range kBevel{Unit::share, 0.01, 1};
constexpr Range kWheel{Unit::length, 10, 10000};
constexpr Range kBow{Unit::length, 0, 10};
constexpr Range kAlong{Unit::length, 0, 20000};
constexpr Range kAcross{Unit::length, -1000, 1000};
constexpr Range kThrough{Unit::length, -500, 500};
constexpr Range kTang{Unit::length, 0, 1000};

bool is_drawing(const std::string& path) {
  std::string ending = path.substr(path.size() - std::min<std::size_t>(path.size(), 4));
  for (char& letter : ending) letter = static_cast<char>(std::tolower(static_cast<unsigned char>(letter)));
  return ending == ".svg";
}

// What stands in the drawing; it is judged when the blade is ground.
void read_drawing(const Value& value, Recipe& recipe, BladePlan& blade, Faults& faults) {
  const std::string file = beside(recipe.file, blade.path);
  recipe.files.push_back(file);
  try {
    blade.drawing = read_file(file, "a drawing", "the path counts from the recipe's own folder");
  } catch (const Error& error) {
    const Diagnostic& why = error.diagnostics().front();
    return faults.add(value.spot, "blade.path", why.message, why.hint);
  }
  if (blade.drawing->size() > kLargestRecipe)
    faults.add(value.spot, "blade.path", fmt::format("{} is larger than {} MB", in_quotes(blade.path), kLargestRecipe >> 20),
               "save the outline alone, without pictures");
}

void check_outline(TableReader& reader, Recipe& recipe, BladePlan& blade, Faults& faults) {
  const Value* written = reader.find("path");
  const auto shape = reader.word("shape"), path = reader.text("path");
  keep(blade.shape, shape);
  keep(blade.path, path);
  if (written) blade.path_place = faults.place(written->spot);
  if (path && !shape) blade.shape = "path";
  if (path && blade.shape != "path")
    faults.add(written->spot, reader.path_of("path"), "a path is only read with shape = \"path\"", "leave out one of the two");
  if (!path && blade.shape == "path")
    reader.miss("a path", "a drawing, path = \"outline.svg\", or SVG path data in mm, x from heel to tip, y up from the edge line: path = \"M 0 0 L ... Z\"");
  if (path && is_drawing(*path)) read_drawing(*written, recipe, blade, faults);
  keep(blade.length_mm, reader.quantity("length", kLength));
  blade.heel_mm = reader.quantity("heel", kHeel);
}

// Three thicknesses, or one for the whole spine.
void check_spine(TableReader& reader, BladePlan& blade, Faults& faults) {
  const Value* value = reader.find("spine");
  if (!value) return;
  const std::string path = reader.path_of("spine");
  if (value->shape != Shape::list) {
    if (const auto one = read_quantity(*value, kSpine, "spine", path, faults))
      blade.spine_mm = std::array<double, 3>{*one, *one, *one};
    return;
  }
  if (value->items.size() != 3)
    return faults.add(value->spot, path,
                      fmt::format("spine needs three thicknesses or one, not {}", value->items.size()),
                      "at the heel, in the middle, 10 mm from the tip: spine = [\"2.4 mm\", \"1.8 mm\", \"0.7 mm\"]");
  std::array<double, 3> spine{};
  bool good = true;
  for (std::size_t i = 0; i < 3; ++i) {
    const auto one = read_quantity(value->items[i], kSpine, fmt::format("spine[{}]", i + 1),
                                   fmt::format("{}[{}]", path, i + 1), faults);
    good = good && one;
    spine[i] = one.value_or(0);
  }
  if (good) blade.spine_mm = spine;
}

void check_edge(TableReader& reader, BladePlan& blade, Faults& faults) {
  keep(blade.edge_angle_rad, reader.quantity("edge_angle", kEdgeAngle));
  const Value* value = reader.find("edge");
  if (!value) return;
  const std::string path = reader.path_of("edge");
  blade.edge_mm = read_quantity(*value, kEdge, "edge", path, faults);
  if (!blade.edge_mm || !blade.spine_mm) return;
  for (const double spine : *blade.spine_mm)
    if (*blade.edge_mm > spine)
      return faults.add(value->spot, path,
                        fmt::format("the edge, {}, is thicker than the spine, {}",
                                    quantity_text(*blade.edge_mm, Unit::length), quantity_text(spine, Unit::length)));
}

void check_grind(TableReader& reader, BladePlan& blade) {
  constexpr std::pair<std::string_view, Grind> kGrinds[] = {{"flat", Grind::flat},
                                                            {"sabre", Grind::sabre},
                                                            {"hollow", Grind::hollow},
                                                            {"convex", Grind::convex},
                                                            {"single", Grind::single}};
  const bool given = reader.find("grind") != nullptr;
  const auto word = reader.word("grind", "flat|sabre|hollow|convex|single");
  for (const auto& [name, grind] : kGrinds)
    if (word == name) blade.grind = grind;
  keep(blade.bevel, reader.quantity("bevel", kBevel));
  keep(blade.wheel_mm, reader.quantity("wheel", kWheel));
  keep(blade.bow_mm, reader.quantity("bow", kBow));
  if (given && !word) return;  // a misspelt grind says nothing about its sizes
  const std::string grind = written("grind", word.value_or("flat"));
  const bool bevelled = blade.grind == Grind::sabre || blade.grind == Grind::hollow || blade.grind == Grind::single;
  if (!bevelled) reader.idle("bevel", grind, written({"grind", {"sabre", "hollow", "single"}}));
  if (blade.grind != Grind::hollow) reader.idle("wheel", grind, written("grind", "hollow"));
  if (blade.grind != Grind::convex) reader.idle("bow", grind, written("grind", "convex"));
}

void check_position(TableReader& reader, BladePlan& blade, const Names& names, Faults& faults) {
  if (const Value* from = reader.find("from")) {
    keep(blade.from, read_word(*from, {}, "from", reader.path_of("from"), faults));
    if (!blade.from.empty() && !names.billets.contains(blade.from)) {
      const std::vector<std::string_view> known(names.billets.begin(), names.billets.end());
      faults.add(from->spot, reader.path_of("from"), fmt::format("there is no billet {}", in_quotes(blade.from)),
                 hint_for_unknown(blade.from, known));
    }
  }
  blade.x_mm = reader.quantity("x", kAlong);
  blade.y_mm = reader.quantity("y", kAcross);
  keep(blade.z_mm, reader.quantity("z", kThrough));
  keep(blade.tang_mm, reader.quantity("tang", kTang));
  keep(blade.flip, reader.flag("flip"));
  keep(blade.before_hardening, reader.flag("before_hardening"));
}

}  // namespace

void check_blade(const Value& value, Recipe& recipe, const Names& names, Faults& faults) {
  if (!is_table(value, "blade", faults)) return;
  TableReader reader(value, "blade", "[blade]", faults);
  BladePlan blade;
  blade.place = faults.place(value.spot);
  check_outline(reader, recipe, blade, faults);
  check_spine(reader, blade, faults);
  check_edge(reader, blade, faults);
  check_grind(reader, blade);
  check_position(reader, blade, names, faults);
  reader.finish();
  recipe.blade = std::move(blade);
}

}  // namespace etchcast
