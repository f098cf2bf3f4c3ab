// From problem to table: the repeat before from the repeat seen after, then one fine solve.
#include "metal/flow.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "etchcast/error.hpp"
#include "metal/cache.hpp"
#include "metal/creep.hpp"
#include "metal/march.hpp"
#include "metal/round.hpp"
#include "metal/table.hpp"

namespace etchcast::metal {

namespace {

bool has_form(const Problem& p) { return p.bottom.kind == Tool::Kind::form || p.top.kind == Tool::Kind::form; }

/// Half the width over which a ridge pressed to full depth meets the old face; half the repeat if it is not a ridge.
double contact_width(const Tool& tool, double half) {
  if (tool.kind != Tool::Kind::ridge) return half;
  const double most = half * tool.pitch / 2;
  for (int i = 1; i < 200; ++i)
    if (tool.rise(most * i / 200) > tool.depth) return most * i / 200;
  return most;
}

void check(const Problem& p) {
  if (!(p.half_repeat > 0.02 && p.half_repeat < 50))
    throw Error(Fault::recipe, "the flow of metal is worked out for ridges 1/25 to 100 times the bar's thickness apart",
                "use flow = \"plane\" for others");
  if (!(p.sensitivity >= 0.05 && p.sensitivity <= 1))
    throw Error(Fault::recipe, "rate sensitivity must be between 0.05 and 1");
}

/// Half repeat before. With the repeat given as seen afterwards it solves before * E(before) = after, on a coarse mesh:
/// E depends little on it, so each round leaves about a tenth of the error.
double half_before(const Problem& p, const Fineness& fine) {
  if (p.repeat_before || p.held) return p.half_repeat;
  const Fineness coarse{std::max(10, fine.along / 2), 8, std::max(4, fine.steps * 2 / 5), fine.columns, 4};
  double before = p.half_repeat * std::clamp(1 - 0.5 * (p.bottom.depth + p.top.depth), 0.3, 1.0);
  for (int round = 0; round < 8; ++round) {
    const double after = march(p, coarse, before).half_after;
    before *= p.half_repeat / after;
    if (std::abs(after / p.half_repeat - 1) < 0.01) break;
  }
  return before;
}

/// Heights of all lines at the middles of the table's columns. Bands of shear run from where metal presses on a die, in places
/// that stand still and leap with the cells; the sum of all steps shows them as ripples two cells long, however short the
/// steps. They are taken out: not of the heights but of what the metal rose, so that edges it had before stay. Under forms
/// nothing leaps; about an axis, where cells are even in r^2, it did no good.
std::vector<double> heights_of(const Problem& p, const Marched& m, const Fineness& fine) {
  const bool ripples = !has_form(p) && !p.round;
  std::vector<double> heights, rise(static_cast<size_t>(fine.columns));
  for (int k = 0; k <= fine.lines; ++k) {
    const LineHeights now(m.markers, k), before(m.markers, k, m.markers.before);
    const auto place = [&](int i) { return (p.start() + p.extent() * (i + 0.5) / fine.columns) * m.half_after; };
    for (int i = 0; i < fine.columns; ++i) rise[size_t(i)] = now(place(i)) - before(place(i));
    if (ripples) take_out_ripples(rise, int(std::lround(double(fine.columns) / fine.along)), p.mirrored);
    for (int i = 0; i < fine.columns; ++i) heights.push_back(before(place(i)) + rise[size_t(i)]);
  }
  return heights;
}

/// Volume settles the lengthening to rounding; what the repeat misses of the one asked for, some thousandths, is scaled.
Flow tabulate(const Problem& p, const Fineness& fine, const Marched& m) {
  const std::vector<double> heights = heights_of(p, m, fine);
  double mean = 0;
  for (int i = 0; i < fine.columns; ++i)
    mean += (heights[size_t(fine.lines) * fine.columns + i] - heights[size_t(i)]) / fine.columns;
  double before = m.half_before, after = before / mean;
  if (p.held) after = before;
  if (!p.repeat_before && !p.held) after = p.half_repeat, before = after * mean;
  std::vector<double> origins;  // where the metal of the left end went, without mirrors
  for (int k = 0; k <= fine.lines && !p.mirrored; ++k)
    origins.push_back(m.markers.x[size_t(m.markers.at(0, k))] * after / m.half_after);
  Flow flow;
  flow.touch_bottom = m.touch_bottom, flow.touch_top = m.touch_top;
  flow.table = one_to_one(before, after, fine, heights, origins, p.round);
  return flow;
}

Flow solve_once(const Problem& p, const Fineness& fineness) {
  const double before = half_before(p, fineness);
  Marched m = march(p, fineness, before);
  // A coarse mesh can be far off beside small ridges: then once more.
  if (!p.repeat_before && !p.held && std::abs(m.half_after / p.half_repeat - 1) > 0.01)
    m = march(p, fineness, before * p.half_repeat / m.half_after);
  return tabulate(p, fineness, m);
}

}  // namespace

Fineness fineness_for(const Problem& problem) {
  const Problem p = over_area(problem);
  if (has_form(p)) return {p.round ? 24 : 12, 10, 4, 64, 32};
  const double width = std::min(contact_width(p.bottom, p.half_repeat), contact_width(p.top, p.half_repeat));
  Fineness f;
  // Seven cells under a ridge; steps short enough that its contact spreads by about a cell in one.
  const bool uneven = p.bottom_before || p.top_before;
  const bool both = p.bottom.kind == Tool::Kind::ridge && p.top.kind == Tool::Kind::ridge;
  const bool platens = uneven && !p.round && p.bottom.kind == Tool::Kind::flat && p.top.kind == Tool::Kind::flat;
  const double halves = 2 * p.extent() / std::min({p.bottom.pitch, p.top.pitch, p.pitch_before});
  // Between platens the cells along tell more than the steps: found by trial on a cut ladder.
  const int least = platens ? 40 : uneven || both ? 28 : 20;
  f.along = std::clamp(int(std::ceil(7 * p.extent() * p.half_repeat / width)), std::min(int(least * halves), 112),
                       int(std::min((p.round ? 72 : 48) * halves, 120.0)));
  f.through = p.half_repeat < 0.2 ? 16 : p.half_repeat < 0.4 ? 12 : 10;
  f.steps = std::clamp(int(24 + 80 * std::max(p.bottom.depth, p.top.depth)), 24, 64);
  if (platens) f.steps = f.steps * 3 / 4;
  f.columns = std::clamp(3 * f.along, 64, int(std::min(128 * halves, 384.0)));
  return f;
}

Flow solve(const Problem& problem, const Fineness& fineness) {
  check(problem);
  const Problem p = over_area(problem);
  try {
    return solve_once(p, fineness);
  } catch (const NotFound&) {  // deep and sharp ridges ask for more
    if (fineness.along > 60) throw;  // already fine; more would take a minute
    Fineness finer = fineness;
    finer.along = fineness.along * 7 / 4, finer.steps = fineness.steps * 2;
    return solve_once(p, finer);
  }
}

Flow flow_of(const Problem& problem) {
  const Fineness fineness = fineness_for(problem);
  const Cache cache(problem, fineness);
  if (auto kept = cache.read()) return *kept;
  const Flow flow = solve(problem, fineness);
  cache.write(flow);
  return flow;
}

}  // namespace etchcast::metal
