// Thin layers evened out until a table is one to one.
#include "metal/table.hpp"

#include <algorithm>

#include "metal/creep.hpp"

namespace etchcast::metal {

namespace {

/// Columns of the table where a layer would be thinner than `least` of its thickness before, and their neighbours.
std::vector<char> too_thin(const FlowTable& table, double least) {
  const int n = table.columns(), lines = table.rows() - 1;
  std::vector<char> thin(static_cast<size_t>(n), 0);
  for (int i = 0; i <= 2 * n; ++i)
    for (int k = 0; k <= 2 * lines; ++k)
      if (table.jet(table.start() + table.extent() * i / (2.0 * n), k / (2.0 * lines)).xc < least)
        for (int j = std::max(0, i / 2 - 3); j < std::min(n, i / 2 + 3); ++j) thin[size_t(j)] = 1;
  return thin;
}

/// Evens out the spacing of the lines in a column; faces stay.
void even_out(std::vector<double>& heights, int column, int columns, int lines) {
  std::vector<double> gap(static_cast<size_t>(lines));
  const auto at = [&](int k) -> double& { return heights[size_t(k) * columns + column]; };
  for (int k = 0; k < lines; ++k) gap[size_t(k)] = at(k + 1) - at(k);
  for (int k = 0; k + 1 < lines; ++k) {
    const double below = gap[size_t(std::max(0, k - 1))], here = gap[size_t(k)], above = gap[size_t(k) + 1];
    at(k + 1) = at(k) + (below + 2 * here + above) / 4;
  }
}

/// Half of a value less the mean of its two neighbours: 0 to 1 of a wave, the more the shorter it is, down to two cells.
std::vector<double> ripples_of(const std::vector<double>& values, int cell, bool mirrored) {
  const int n = int(values.size());
  const auto at = [&](int i) {
    if (!mirrored) return values[size_t((i + n) % n)];
    return values[size_t(i < 0 ? -1 - i : i >= n ? 2 * n - 1 - i : i)];
  };
  std::vector<double> ripples(values.size());
  for (int i = 0; i < n; ++i) ripples[size_t(i)] = at(i) / 2 - (at(i - cell) + at(i + cell)) / 4;
  return ripples;
}

}  // namespace

void take_out_ripples(std::vector<double>& values, int cell, bool mirrored) {
  const auto ripples = ripples_of(ripples_of(values, cell, mirrored), cell, mirrored);
  for (size_t i = 0; i < values.size(); ++i) values[i] -= ripples[i];
}

std::shared_ptr<const FlowTable> one_to_one(double half_before, double half_after, const Fineness& fine,
                                            std::vector<double> heights, const std::vector<double>& origins, bool axis) {
  constexpr double kThinnest = 0.05;
  for (int round = 0; round < 60; ++round) {
    auto table = std::make_shared<FlowTable>(half_before, half_after, fine.columns, fine.lines + 1, heights, origins, axis);
    const auto thin = too_thin(*table, kThinnest);
    if (std::find(thin.begin(), thin.end(), 1) == thin.end()) return table;
    for (int i = 0; i < fine.columns; ++i)
      if (thin[size_t(i)]) even_out(heights, i, fine.columns, fine.lines);
  }
  throw NotFound("layers would be squeezed to nothing");
}

}  // namespace etchcast::metal
