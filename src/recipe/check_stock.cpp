// [stock]: the bars the plates are cut from, and how they are cut.

#include <fmt/format.h>

#include "base/words.hpp"
#include "recipe/check.hpp"

namespace etchcast {
namespace {

constexpr Range kBar{Unit::length, 10, 20000};
constexpr Range kKerf{Unit::length, 0, 20};

// One length for all steels, or a table of lengths by the steels' names.
void check_bars(TableReader& reader, StockPlan& stock, const Names& names, Faults& faults) {
  const Value* value = reader.find("bars");
  if (!value) return;
  const std::string path = reader.path_of("bars");
  if (value->shape != Shape::table) {
    keep(stock.usual_bar_mm, read_quantity(*value, kBar, "bars", path, faults));
    return;
  }
  const std::vector<std::string_view> known(names.steels.begin(), names.steels.end());
  for (const Entry& entry : value->entries) {
    const std::string name = fmt::format("{}.{}", path, entry.key);
    if (!names.steels.contains(entry.key))
      faults.add(entry.spot, name, fmt::format("there is no steel {}", in_quotes(entry.key)),
                 faults.full() ? std::string() : hint_for_unknown(entry.key, known));
    else if (const auto length = read_quantity(entry.value, kBar, "a bar of " + entry.key, name, faults))
      stock.bars_mm[entry.key] = *length;
  }
}

}  // namespace

void check_stock(const Value& value, Recipe& recipe, const Names& names, Faults& faults) {
  if (!is_table(value, "stock", faults)) return;
  TableReader reader(value, "stock", "[stock]", faults);
  recipe.stock.told = true;
  check_bars(reader, recipe.stock, names, faults);
  keep(recipe.stock.kerf_mm, reader.quantity("kerf", kKerf));
  reader.finish();
}

}  // namespace etchcast
