// What was forecast by less than the model says so.
#include "check/scene.hpp"

namespace etchcast {

void check_rough(const Scene& scene, Findings& findings) {
  for (const BilletStory& story : scene.forging.billets)
    for (const LedgerRow& row : story.rows)
      if (!row.rough.empty()) findings.warn(row.place, about_step(row), "This step is a rough forecast: " + row.rough + ".");
}

}  // namespace etchcast
