// From radius to half its square.
#include "metal/round.hpp"

namespace etchcast::metal {

Problem over_area(const Problem& problem) {
  if (!problem.round) return problem;
  Problem p = problem;
  p.half_repeat = problem.half_repeat * problem.half_repeat / 2;
  for (Tool* tool : {&p.bottom, &p.top})
    if (tool->rise) tool->rise = [rise = tool->rise](double x) { return rise(std::sqrt(2 * x)); };
  for (auto* face : {&p.bottom_before, &p.top_before})
    if (*face) *face = [before = *face](double share) { return before(std::sqrt(share)); };
  return p;
}

}  // namespace etchcast::metal
