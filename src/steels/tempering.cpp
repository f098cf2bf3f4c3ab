// The hardness that tempering tables leave, all of a steel together.

#include <algorithm>

#include "steels/sheets.hpp"

namespace etchcast {
namespace {

// How far a bar may lie from the tables: suppliers differ by up to 4 HRC at 540 C for O1 and by 5 HRC at 180 C for
// 1095.
double spread_hrc(const SteelSheet& sheet, double celsius) {
  if (sheet.grade == "1095") return 3;
  return sheet.grade == "O1" && celsius > from_fahrenheit(800) ? 4 : 2;
}

std::optional<HardnessRange> read(const TemperTable& table, double celsius) {
  const auto points = table.points;
  // A printed 150 C and 300 F (148.9 C) are the same line: a table reaches that far past its ends.
  constexpr double kSlack = 1.5;
  if (celsius < points.front().celsius - kSlack || celsius > points.back().celsius + kSlack) return {};
  celsius = std::clamp(celsius, points.front().celsius, points.back().celsius);
  size_t i = 1;
  while (i + 1 < points.size() && points[i].celsius < celsius) ++i;
  const TemperPoint &a = points[i - 1], &b = points[i];
  const double t = (celsius - a.celsius) / (b.celsius - a.celsius);
  return HardnessRange{a.hrc.least + t * (b.hrc.least - a.hrc.least), a.hrc.most + t * (b.hrc.most - a.hrc.most)};
}

void widen(std::optional<HardnessRange>& range, const HardnessRange& by) {
  range = range ? HardnessRange{std::min(range->least, by.least), std::max(range->most, by.most)} : by;
}

}  // namespace

std::string temper_sources(const SteelSheet& sheet) {
  std::string all;
  for (const TemperTable& table : sheet.temper) all += (all.empty() ? "" : "; ") + std::string(table.source);
  return all;
}

std::optional<HardnessRange> quenched_hardness(const SteelSheet& sheet) {
  std::optional<HardnessRange> range;
  for (const TemperTable& table : sheet.temper) widen(range, table.as_quenched);
  return range;
}

std::optional<HardnessRange> tempered_hardness(const SteelSheet& sheet, double celsius) {
  std::optional<HardnessRange> range;
  for (const TemperTable& table : sheet.temper)
    if (const auto one = read(table, celsius)) widen(range, *one);
  if (!range) return {};
  // The tables' own middle gives the least width; where they differ by more, they count as they are.
  const double middle = (range->least + range->most) / 2, spread = spread_hrc(sheet, celsius);
  widen(range, {middle - spread, middle + spread});
  range->most = std::min(range->most, quenched_hardness(sheet)->most);  // tempering never hardens these steels
  return range;
}

}  // namespace etchcast
