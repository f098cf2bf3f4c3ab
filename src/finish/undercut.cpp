// src/finish/undercut.cpp — how seams move while the acid eats into layers that lie flat under the face.
#include <cmath>

#include "etchcast/picture.hpp"

namespace etchcast {
namespace {

/// How fast a band is eaten, 0 .. 1: a steel's own attack; an earlier bar is left as it is.
double attack_of(int what, const std::vector<Steel>& steels) { return what >= 0 ? steels[size_t(what)].attack : 0; }

/// Where the acid must start to be at edge i when the time is up: back through the bands before it, each as fast as it
/// is eaten. `time` in mm of stack that a steel of attack 1 loses.
double start_of(const BandList& list, const std::vector<Steel>& steels, int i, double time) {
  double s = list.edges[size_t(i)];
  while (i > 0 && time > 0) {
    const double attack = attack_of(list.what[size_t(i) - 1], steels), floor = list.edges[size_t(i) - 1];
    if (attack * time < s - floor) return s - attack * time;
    time -= (s - floor) / attack;
    s = floor, --i;
  }
  return s;
}

BandList turned(const BandList& list) {
  BandList out = list;
  for (int i = 0; i <= list.size(); ++i) out.edges[size_t(i)] = list.total() - list.edges[size_t(list.size() - i)];
  for (int i = 0; i < list.size(); ++i) out.what[size_t(i)] = list.what[size_t(list.size() - 1 - i)];
  return out;
}

BandList rising(const BandList& list, const std::vector<Steel>& steels, double depth) {
  const double least = 1e-3 * list.total() / list.size();  // thinner is gone: no eye finds it
  BandList out = list;
  out.edges = {0};
  out.what.clear();
  for (int i = 0; i < list.size(); ++i) {
    const double top = i + 1 == list.size() ? list.total() : start_of(list, steels, i + 1, depth);
    const bool last = i + 1 == list.size();
    if (!last && top - out.edges.back() < least) continue;
    if (!out.what.empty() && out.what.back() == list.what[size_t(i)]) {
      out.edges.back() = top;
      continue;
    }
    out.what.push_back(list.what[size_t(i)]);
    out.edges.push_back(top);
  }
  return out;
}

}  // namespace

BandList etched_bands(const BandList& list, const std::vector<Steel>& steels, double into_mm) {
  if (into_mm == 0 || list.size() < 2) return list;
  return into_mm > 0 ? rising(list, steels, into_mm) : turned(rising(turned(list), steels, -into_mm));
}

}  // namespace etchcast
