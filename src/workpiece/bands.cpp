// Band lists: merging, turning, trimming, looking up.
#include <algorithm>

#include <fmt/format.h>

#include "workpiece/workpiece.hpp"

namespace etchcast {

namespace {
/// Bands of one bar. Finer ones would be drawn thinner than iron's crystals before anything is to be seen of them.
constexpr double kMostBands = 1e6;
}  // namespace

std::string too_many_bands(double bands) {
  return bands > kMostBands ? fmt::format("that makes {:.0f} layers; a million is the limit", bands) : std::string();
}

int BandList::at(double s) const {
  const auto above = std::upper_bound(edges.begin() + 1, edges.end() - 1, s);
  return int(above - edges.begin()) - 1;
}

void append_band(BandList& list, double thickness_mm, int what) {
  if (list.edges.empty()) list.edges.push_back(0);
  const double end = list.edges.back() + thickness_mm;
  if (what >= 0 && !list.what.empty() && list.what.back() == what) {
    list.edges.back() = end;
    return;
  }
  list.edges.push_back(end);
  list.what.push_back(what);
}

BandList turned_over(const BandList& list) {
  BandList out = list;
  const double total = list.total();
  std::reverse(out.what.begin(), out.what.end());
  for (size_t i = 0; i < list.edges.size(); ++i) out.edges[i] = total - list.edges[list.edges.size() - 1 - i];
  return out;
}

BandList trimmed(const BandList& list, double below, double above) {
  BandList out;
  out.billet = list.billet;
  out.insets = list.insets;
  out.nominal = list.nominal;
  const double low = below, high = list.total() - above;
  for (int i = 0; i < list.size(); ++i) {
    const double from = std::max(list.edges[i], low), to = std::min(list.edges[i + 1], high);
    if (to > from) append_band(out, to - from, list.what[i]);
  }
  return out;
}

}  // namespace etchcast
