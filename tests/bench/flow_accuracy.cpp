// How near the metal's flow is to itself on a finer mesh, and the closed form of previews to the flow. Prints the tables of
// docs/model.md; reports, never judges.
//   etchcast_flow_accuracy
#include <cstdio>
#include <vector>

#include "etchcast/error.hpp"
#include "metal/rough.hpp"
#include "metal_helpers.hpp"

using namespace metal_test;

namespace {

const char* words_for(char name) {
  switch (name) {
    case 'A': return "full contact, one face";
    case 'B': return "full contact, aligned";
    case 'C': return "full contact, staggered";
    case 'D': return "round nose, one face";
    default: return "round nose, staggered";
  }
}

/// Change of layer heights with twice the mesh and twice the steps, % of the die's depth, root mean square.
double refined(const Problem& p) {
  const Fineness f = fineness_for(p);
  const Fineness twice{2 * f.along, 2 * f.through, 2 * f.steps, f.columns, f.lines};
  return 100 * difference(*solve(p, f).table, *solve(p, twice).table) / p.top.depth;
}

void convergence() {
  std::printf("| dies | m = 1, slips | m = 1, sticks | m = 0.17, slips | m = 0.17, sticks |\n|---|---|---|---|---|\n");
  for (const char* name : {"A", "C", "D", "E"})
    for (const double repeat : {1.0, 2.0}) {
      std::printf("| %s, spacing %.0f T |", words_for(name[0]), repeat);
      for (const double m : {1.0, 0.17})
        for (const bool sticks : {false, true}) {
          std::printf(" %.2f |", refined(pressing(name, repeat, 0.2, sticks, m)));
          std::fflush(stdout);
        }
      std::printf("\n");
    }
}

void preview() {
  std::printf("| dies | m | spacing 0.5 T | 1 T | 2 T | 4 T |\n|---|---|---|---|---|---|\n");
  for (const char* name : {"A", "B", "C", "D", "E", "D0", "E0"})
    for (const double m : {1.0, 0.17}) {
      std::printf("| %s%s | %g |", words_for(name[0]), name[1] ? ", ends held" : "", m);
      for (const double repeat : {0.5, 1.0, 2.0, 4.0}) {
        double least = 1e9, most = 0;
        for (const bool sticks : {false, true})
          for (const double depth : {0.1, 0.2}) try {
              const Problem p = pressing(name, repeat, depth, sticks, m);
              const double error = 100 * difference(*solve(p, fineness_for(p)).table, *rough_flow(p).table) / depth;
              least = std::min(least, error), most = std::max(most, error);
            } catch (const etchcast::Error&) {  // grooves that fill with held ends
            }
        std::printf(" %.1f–%.1f |", least, most);
        std::fflush(stdout);
      }
      std::printf("\n");
    }
}

}  // namespace

int main() {
  convergence();
  std::printf("\n");
  preview();
}
