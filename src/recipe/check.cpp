// Document -> Recipe: the top of a recipe and its small tables. All faults are collected, then thrown at once.

#include "recipe/check.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "base/words.hpp"
#include "recipe/settings.hpp"

namespace etchcast {
namespace {

constexpr Range kWander{Unit::length, 0, 5};
constexpr Range kReach{Unit::length, 1, 1000};
constexpr Range kSeed{Unit::count, 0, 4294967295.0};
constexpr Range kScale{Unit::length, 0, 2};
constexpr Range kCrop{Unit::length, 0, 200};
constexpr Range kKerf{Unit::length, 0, 20};
constexpr Range kClean{Unit::length, 0, 5};

void check_hand(const Value& value, HandPlan& hand, Faults& faults) {
  if (!is_table(value, "hand", faults)) return;
  TableReader reader(value, "hand", "[hand]", faults);
  keep(hand.even, reader.flag("even"));
  keep(hand.wander_mm, reader.quantity("wander", kWander));
  keep(hand.reach_mm, reader.quantity("reach", kReach));
  if (const auto seed = reader.quantity("seed", kSeed)) hand.seed = static_cast<unsigned>(*seed);
  if (hand.even)
    for (const char* key : {"wander", "reach", "seed"}) reader.idle(key, "even = true", "even = false");
  reader.finish();
}

void check_losses(const Value& value, Losses& losses, Faults& faults) {
  if (value.shape == Shape::flag) {
    if (!value.flag) losses = Losses::none();
    return;
  }
  if (value.shape != Shape::table) {
    faults.add(value.spot, "losses",
               fmt::format("losses must be true, false or a table [losses], not {}", shape_name(value.shape)));
    return;
  }
  TableReader reader(value, "losses", "[losses]", faults);
  keep(losses.scale_weld_mm, reader.quantity("scale_weld", kScale));
  keep(losses.scale_forge_mm, reader.quantity("scale_forge", kScale));
  keep(losses.crop_mm, reader.quantity("crop", kCrop));
  keep(losses.kerf_mm, reader.quantity("kerf", kKerf));
  keep(losses.clean_mm, reader.quantity("clean", kClean));
  reader.finish();
}

void check_shop(const Value& value, ShopPlan& shop, Faults& faults) {
  if (!is_table(value, "shop", faults)) return;
  TableReader reader(value, "shop", "[shop]", faults);
  if (const auto tool = reader.word("tool", "press|power hammer|hammer"))
    shop.tool = *tool == "press" ? ShopTool::press : *tool == "hammer" ? ShopTool::hammer : ShopTool::power_hammer;
  reader.finish();
}

// A length left to the program is measured by the blade: there must be one, and it must come from that very bar.
void check_auto_lengths(const Recipe& recipe, Faults& faults) {
  for (const BilletPlan& billet : recipe.billets) {
    if (!billet.length_auto) continue;
    const Place& spot = billet.length_place;
    const std::string path = fmt::format("billet.{}.length", billet.name);
    if (!recipe.blade) {
      faults.add(spot, path, "length = \"auto\" needs a [blade] to measure by", "add one, or give the length");
      continue;
    }
    const std::string& source = recipe.blade->from.empty() ? recipe.billets.back().name : recipe.blade->from;
    if (source != billet.name)
      faults.add(spot, path,
                 fmt::format("length = \"auto\" is for the billet the blade is ground from, {}, not for {}",
                             in_quotes(source), in_quotes(billet.name)),
                 "give this one's length");
  }
}

void check_title(TableReader& reader, Recipe& recipe, Faults& faults) {
  constexpr std::size_t kLongest = 500;  // letters; some dozen lines of a picture
  const auto title = reader.word("title");
  if (!title) return;
  const auto begins = [](char c) { return (static_cast<unsigned char>(c) & 0xC0) != 0x80; };
  if (std::size_t(std::count_if(title->begin(), title->end(), begins)) <= kLongest) {
    recipe.title = *title;
    return;
  }
  faults.add(reader.find("title")->spot, "title", fmt::format("the title has more than {} letters", kLongest),
             "what is longer goes into remarks at the head of the recipe: # …");
}

// Steels before billets, billets before the blade: each may name what came before.
void check_tables(TableReader& reader, Recipe& recipe, Faults& faults) {
  Names names;
  check_title(reader, recipe, faults);
  if (const auto units = reader.word("units", "metric|inch")) recipe.units = *units == "inch" ? System::inch : System::metric;
  if (const Value* losses = reader.find("losses")) check_losses(*losses, recipe.losses, faults);
  if (const Value* shop = reader.find("shop")) check_shop(*shop, recipe.shop, faults);
  if (const Value* grades = reader.find("grades")) check_grades(*grades, recipe, faults);
  if (const Value* steels = reader.find("steels"))
    check_steels(*steels, recipe, names, faults);
  else
    reader.miss("[steels]", "a table of your own names: dark = \"1084\"");
  if (const Value* stock = reader.find("stock")) check_stock(*stock, recipe, names, faults);
  if (const Value* billets = reader.find("billet"))
    check_billets(*billets, recipe, names, faults);
  else
    reader.miss("[[billet]]", "a billet's table holds its name, width, length, stack and steps");
  if (const Value* blade = reader.find("blade")) check_blade(*blade, recipe, names, faults);
  if (const Value* etch = reader.find("etch")) check_etch(*etch, recipe, faults);
  if (const Value* hand = reader.find("hand")) check_hand(*hand, recipe.hand, faults);
  reader.finish();
  check_auto_lengths(recipe, faults);
}

}  // namespace

std::string_view word_of(ShopTool tool) {
  return tool == ShopTool::press ? "press" : tool == ShopTool::hammer ? "hammer" : "power hammer";
}

bool is_table(const Value& value, std::string_view name, Faults& faults) {
  if (value.shape == Shape::table) return true;
  const std::string found = value.headed ? fmt::format("[[{}]]", name) : std::string(shape_name(value.shape));
  faults.add(value.spot, std::string(name), fmt::format("{} must be a table, not {}", name, found),
             fmt::format("write [{}] on a line of its own, and its keys below", name));
  return false;
}

bool is_good_name(const std::string& name, Spot spot, const std::string& path, Faults& faults) {
  const bool good = !name.empty() && name.size() <= 60 && name.find_first_of(" \t\r\n\"'[]{},=#") == std::string::npos;
  if (!good)
    faults.add(spot, path, fmt::format("{} cannot be a name", in_quotes(name)),
               "a name is one word of at most 60 letters, figures, - and _");
  return good;
}

namespace {

/// The keys at the top of a recipe, as the checks themselves know them.
std::vector<std::string_view> top_keys() {
  const Document none;
  Faults faults(none);
  Recipe recipe;
  TableReader reader(none.root, "", "", faults);
  check_tables(reader, recipe, faults);
  return reader.known();
}

}  // namespace

std::string Recipe::heading() const {
  std::string given;
  for (const Setting& s : settings)
    given += fmt::format("{}{} = {}", given.empty() ? "" : ", ", s.where, s.value.empty() ? "left out" : s.value);
  return given.empty() ? title : fmt::format("{}{}({})", title, title.empty() ? "" : " ", printable(given));
}

RecipeText::RecipeText(std::string_view text, const std::string& name)
    : document_(std::make_shared<const Document>(parse_document(text, name))) {}

Recipe RecipeText::with(std::span<const Setting> settings) const {
  const Document& document = *document_;
  Recipe recipe;
  recipe.file = document.file;
  recipe.comment = document.comment;
  recipe.text = document.text;
  recipe.settings.assign(settings.begin(), settings.end());
  if (!document.path.empty()) recipe.files.push_back(document.path);
  Faults faults(document, settings);
  std::optional<Value> changed;
  if (!settings.empty()) changed = with_settings(document.root, settings, top_keys(), faults);
  TableReader reader(changed ? *changed : document.root, "", "the recipe", faults);
  check_tables(reader, recipe, faults);
  faults.throw_if_any();
  return recipe;
}

Recipe parse_recipe(std::string_view text, const std::string& name, std::span<const Setting> settings) {
  return RecipeText(text, name).with(settings);
}

}  // namespace etchcast
