// The cut list: plates sorted by bar, bars filled up.
#include <algorithm>
#include <cmath>

#include "etchcast/stock.hpp"

namespace etchcast {
namespace {

constexpr double kAlike = 1e-6;  // mm; sizes that came from one text are equal to rounding

int steel_index(const Recipe& recipe, const std::string& name) {
  for (size_t i = 0; i < recipe.steels.size(); ++i)
    if (recipe.steels[i].name == name) return int(i);
  return -1;
}

CutLine& line_for(CutList& list, int steel, double thickness, double width) {
  for (CutLine& line : list.lines)
    if (line.steel == steel && std::abs(line.thickness_mm - thickness) < kAlike &&
        std::abs(line.width_mm - width) < kAlike)
      return line;
  CutLine line;
  line.steel = steel, line.thickness_mm = thickness, line.width_mm = width;
  list.lines.push_back(line);
  return list.lines.back();
}

void add_plate(CutLine& line, const LedgerRow& pile, double density) {
  line.mass_g += line.thickness_mm * line.width_mm * pile.length_mm * density / 1000;
  for (CutPieces& pieces : line.pieces)
    if (pieces.billet == pile.billet) {
      ++pieces.count;
      return;
    }
  line.pieces.push_back({pile.billet, 1, pile.length_mm});
}

/// Lays `count` plates into bars of one kind as far as they go, and takes the used bars out of it.
void fill(CutBars& kind, double plate, double kerf, int& count, std::vector<CutBars>& used) {
  const int each = plates_per_bar(kind.over_mm, plate, kerf);
  if (each == 0) return;
  const int full = std::min(kind.count, count / each);
  if (full > 0) used.push_back({full, left_of_bar(kind.over_mm, plate, kerf, each)});
  kind.count -= full, count -= full * each;
  if (kind.count == 0 || count == 0) return;
  used.push_back({1, left_of_bar(kind.over_mm, plate, kerf, count)});
  --kind.count, count = 0;
}

/// Neighbours with as much over become one kind.
void join_alike(std::vector<CutBars>& bars) {
  std::vector<CutBars> joined;
  for (const CutBars& one : bars)
    if (!joined.empty() && std::abs(joined.back().over_mm - one.over_mm) < kAlike)
      joined.back().count += one.count;
    else
      joined.push_back(one);
  bars = std::move(joined);
}

void lay_out(CutLine& line, double kerf) {
  std::stable_sort(line.pieces.begin(), line.pieces.end(),
                   [](const CutPieces& a, const CutPieces& b) { return a.length_mm > b.length_mm; });
  for (const CutPieces& pieces : line.pieces) {
    if (plates_per_bar(line.bar_mm, pieces.length_mm, kerf) == 0) {
      line.too_long += pieces.count;
      continue;
    }
    int count = pieces.count;
    std::vector<CutBars> used;
    for (CutBars& begun : line.bars) fill(begun, pieces.length_mm, kerf, count, used);
    CutBars fresh{count, line.bar_mm};  // at most one bar a plate
    fill(fresh, pieces.length_mm, kerf, count, used);
    line.bars.insert(line.bars.end(), used.begin(), used.end());
    std::erase_if(line.bars, [](const CutBars& bars) { return bars.count == 0; });
  }
  std::sort(line.bars.begin(), line.bars.end(),
            [](const CutBars& a, const CutBars& b) { return a.over_mm < b.over_mm; });
  join_alike(line.bars);
}

}  // namespace

int CutLine::plates() const {
  int sum = 0;
  for (const CutPieces& one : pieces) sum += one.count;
  return sum;
}

int CutLine::bar_count() const {
  int sum = 0;
  for (const CutBars& one : bars) sum += one.count;
  return sum;
}

int plates_per_bar(double bar_mm, double plate_mm, double kerf_mm) {
  return int(std::max(0.0, (bar_mm + kerf_mm) / (plate_mm + kerf_mm) + 1e-9));
}

double left_of_bar(double bar_mm, double plate_mm, double kerf_mm, int count) {
  return std::max(0.0, bar_mm - count * (plate_mm + kerf_mm));
}

CutList cut_list(const Recipe& recipe, const Forging& forging) {
  CutList list;
  list.kerf_mm = recipe.stock.kerf_mm, list.told = recipe.stock.told;
  list.steel_mass_g.assign(recipe.steels.size(), 0);
  for (size_t i = 0; i < forging.billets.size(); ++i)
    for (const StackEntry& entry : recipe.billets[i].stack) {
      const int steel = steel_index(recipe, entry.name);
      if (steel < 0) continue;  // a bar made earlier
      const LedgerRow& pile = forging.billets[i].rows.front();
      CutLine& line = line_for(list, steel, entry.thickness_mm.value_or(0), pile.width_mm);
      add_plate(line, pile, recipe.steels[size_t(steel)].density);
    }
  for (CutLine& line : list.lines) {
    const auto bar = recipe.stock.bars_mm.find(recipe.steels[size_t(line.steel)].name);
    line.bar_mm = bar != recipe.stock.bars_mm.end() ? bar->second : recipe.stock.usual_bar_mm;
    lay_out(line, list.kerf_mm);
    list.steel_mass_g[size_t(line.steel)] += line.mass_g;
  }
  return list;
}

}  // namespace etchcast
