// [etch] and [etch.coupon]: bath, time, relief and what the smith measured on a coupon of his own.

#include <fmt/format.h>

#include <algorithm>

#include "base/words.hpp"
#include "etchcast/etching.hpp"
#include "recipe/check.hpp"

namespace etchcast {
namespace {

constexpr Range kDepth{Unit::length, 0, 0.5};
constexpr Range kTime{Unit::time, 5, 172800};
constexpr Range kGrey{Unit::number, 1, 254};
constexpr Range kPaperGrey{Unit::number, 100, 252};  // brighter is blown out, darker not a white paper in good light
constexpr double kApart = 0.05;                      // of attack; eaten more alike than that, a step tells nothing

struct Coupon {
  std::optional<double> time_s, relief_mm;
  std::vector<std::size_t> steels;  ///< whose grey was read
};

std::string words_of_baths() {
  std::string words;
  for (const Bath& bath : baths()) words += fmt::format("{}{}", words.empty() ? "" : "|", bath.word);
  return words;
}

void check_greys(TableReader& reader, double paper, Recipe& recipe, Coupon& coupon, Faults& faults) {
  const Value* value = reader.find("greys");
  if (!value) return;
  const std::string path = reader.path_of("greys");
  if (value->shape != Shape::table)
    return faults.add(value->spot, path,
                      fmt::format("greys must be a table by steel, not {}", shape_name(value->shape)),
                      "write: greys = { dark = 45, bright = 180 }, each 1 to 254 as read off the photograph");
  std::vector<std::string_view> known;
  for (const Steel& steel : recipe.steels) known.push_back(steel.name);
  std::vector<std::size_t> metals;
  for (std::size_t i = 0; i < recipe.steels.size(); ++i) metals.push_back(same_metal(recipe, i));
  for (const Entry& entry : value->entries) {
    const std::string name = fmt::format("{}.{}", path, entry.key);
    const auto at = std::find(known.begin(), known.end(), entry.key);
    const auto grey = read_quantity(entry.value, kGrey, entry.key, name, faults);
    if (at == known.end()) {
      faults.add(entry.spot, name, fmt::format("there is no steel {}", in_quotes(entry.key)),
                 faults.full() ? std::string() : hint_for_unknown(entry.key, known));
    } else if (grey && *grey >= paper) {
      faults.add(entry.value.spot, name,
                 fmt::format("{} is brighter than the paper beside it ({} against {})", entry.key, number_text(*grey),
                             number_text(paper)),
                 "the metal mirrored the light: photograph it again in shade, from straight above");
    } else if (grey) {
      const auto index = std::size_t(at - known.begin());
      recipe.steels[index].grey = reflectance_of_grey(*grey, paper);
      coupon.steels.push_back(index);
    }
  }
  // What was measured on a steel holds for its other names too.
  for (const std::size_t measured : coupon.steels)
    for (std::size_t i = 0; i < recipe.steels.size(); ++i)
      if (metals[i] == metals[measured] && !recipe.steels[i].grey) recipe.steels[i].grey = recipe.steels[measured].grey;
  recipe.etch.greys = !coupon.steels.empty();
}

Coupon check_coupon(const Value& value, Recipe& recipe, Faults& faults) {
  Coupon coupon;
  if (!is_table(value, "etch.coupon", faults)) return coupon;
  TableReader reader(value, "etch.coupon", "[etch.coupon]", faults);
  coupon.time_s = reader.quantity("time", kTime);
  coupon.relief_mm = reader.quantity("relief", kDepth);
  const auto paper = reader.quantity("paper", kPaperGrey);
  if (reader.find("greys") && !reader.find("paper"))
    reader.miss("paper", "the grey of a white sheet in the same photograph: paper = 225");
  else
    check_greys(reader, paper.value_or(256), recipe, coupon, faults);
  reader.finish();
  if (!reader.find("relief") && !reader.find("greys"))
    reader.miss("relief or greys",
                "what you measured on it: relief = \"18 um\", or greys = { dark = 45, bright = 180 }");
  return coupon;
}

/// How much deeper the most eaten steel of the coupon lies than the least, for an etch of depth 1.
double step_of(const Coupon& coupon, const Recipe& recipe) {
  double least = 1, most = 0;
  const bool named = coupon.steels.size() >= 2;
  for (std::size_t i = 0; i < recipe.steels.size(); ++i) {
    if (named && std::find(coupon.steels.begin(), coupon.steels.end(), i) == coupon.steels.end()) continue;
    least = std::min(least, recipe.steels[i].attack), most = std::max(most, recipe.steels[i].attack);
  }
  return most - least;
}

void relief_by_coupon(const Coupon& coupon, Spot spot, Recipe& recipe, Faults& faults) {
  EtchPlan& etch = recipe.etch;
  const double step = step_of(coupon, recipe);
  if (step < kApart)
    return faults.add(spot, "etch.coupon.relief",
                      "the coupon's steels are eaten alike by what is told of them, and yet it has a step",
                      "set `attack` of your steels under [steels], 0 not eaten, 1 eaten most");
  if (etch.time_s && !coupon.time_s)
    return faults.add(spot, "etch.coupon.time", "[etch] tells a time and the coupon none",
                      "tell how long the coupon was in the same bath, or leave out both");
  etch.depth_mm = *coupon.relief_mm / step * (etch.time_s ? *etch.time_s / *coupon.time_s : 1);
  etch.relief = EtchPlan::Relief::coupon;
  if (!etch.time_s) etch.time_s = coupon.time_s;
  if (etch.depth_mm > kDepth.most)
    faults.add(spot, "etch.time",
               fmt::format("by the coupon that long an etch would eat {:.2f} mm: it may be 0.5 mm", etch.depth_mm),
               "shorten the time");
}

void relief_by_time(const Value& time, EtchPlan& etch, Faults& faults) {
  const Bath& bath = bath_of(etch.bath);
  if (bath.usual_um_min == 0 && bath.finish != FinishKind::coffee)
    return faults.add(time.spot, "etch.time", fmt::format("how fast {} eats is not known here", bath.word),
                      "give the relief instead, depth = \"10 um\", or measure it on a coupon: [etch.coupon]");
  etch.depth_mm = *etch.time_s / 60 * bath.usual_um_min / 1000;
  etch.relief = EtchPlan::Relief::time;
  if (etch.depth_mm > kDepth.most)
    faults.add(time.spot, "etch.time",
               fmt::format("that long an etch would eat {:.2f} mm by the usual rate: it may be 0.5 mm", etch.depth_mm),
               "shorten the time, or tell the relief: depth = \"25 um\"");
}

}  // namespace

void check_etch(const Value& value, Recipe& recipe, Faults& faults) {
  if (!is_table(value, "etch", faults)) return;
  EtchPlan& etch = recipe.etch;
  TableReader reader(value, "etch", "[etch]", faults);
  keep(etch.bath, reader.word("bath", words_of_baths()));
  etch.finish = bath_of(etch.bath).finish;
  if (const auto finish = reader.word("finish", "bare|oxide|coffee"))
    etch.finish = *finish == "bare" ? FinishKind::bare : *finish == "coffee" ? FinishKind::coffee : FinishKind::oxide;
  etch.time_s = reader.quantity("time", kTime);
  const auto depth = reader.quantity("depth", kDepth);
  Coupon coupon;
  const Value* measured = reader.find("coupon");
  if (measured) coupon = check_coupon(*measured, recipe, faults);
  reader.finish();
  if (depth && coupon.relief_mm) {
    faults.add(measured->spot, "etch.coupon.relief", "depth and the coupon's relief both tell how deep the etch is",
               "leave one of them out");
  } else if (depth) {
    etch.depth_mm = *depth, etch.relief = EtchPlan::Relief::told;
  } else if (coupon.relief_mm) {
    relief_by_coupon(coupon, measured->spot, recipe, faults);
  } else if (etch.time_s) {
    relief_by_time(*reader.find("time"), etch, faults);
  } else if (bath_of(etch.bath).usual_um_min == 0) {
    if (bath_of(etch.bath).finish != FinishKind::coffee)
      faults.add(value.spot, "etch.depth", fmt::format("how fast {} eats is not known here", etch.bath),
                 "give the relief, depth = \"10 um\", or measure it on a coupon: [etch.coupon]");
    else
      etch.depth_mm = 0;  // coffee by itself darkens and hardly eats
  }
}

}  // namespace etchcast
