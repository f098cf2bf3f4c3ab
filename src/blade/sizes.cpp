// Sizes that contradict each other are told all at once, in the words of the grinding shop.
#include "blade/sizes.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace etchcast {
namespace {

constexpr const char* kWhere[] = {"at the heel", "in the middle", "10 mm from the tip"};

/// Collects faults of one plan.
class Inspector {
 public:
  Inspector(const BladePlan& plan, std::vector<Diagnostic>& faults) : place_(plan.place), faults_(faults) {}

  void fault(const char* key, std::string message, std::string hint) {
    faults_.push_back({place_, fmt::format("blade.{}", key), std::move(message), std::move(hint), {}});
  }

  /// Whether the size lies in the range; written so that a size that is no number fails too.
  bool within(const char* key, const char* what, double value, double least, double most, const char* unit = " mm") {
    if (value >= least && value <= most) return true;
    fault(key, fmt::format("{} of {:.4g}{} cannot be", what, value, unit),
          fmt::format("give {:.4g} to {:.4g}{}", least, most, unit));
    return false;
  }

 private:
  Place place_;
  std::vector<Diagnostic>& faults_;
};

void check_thicknesses(const Sizes& sizes, Inspector& inspector) {
  const bool edge_fits = inspector.within("edge", "an edge thickness", sizes.edge_mm, 0, 3);
  for (int i = 0; i < 3; ++i) {
    if (!inspector.within("spine", "a spine thickness", sizes.spine_mm[i], 0.3, 25) || !edge_fits) continue;
    if (sizes.edge_mm < sizes.spine_mm[i]) continue;
    inspector.fault("edge",
                    fmt::format("the edge, {:.4g} mm, is not thinner than the spine {}, {:.4g} mm", sizes.edge_mm,
                                kWhere[i], sizes.spine_mm[i]),
                    "an edge before sharpening is 0.15 to 0.8 mm thick; make it thinner or the spine thicker");
  }
}

void check_grind(const BladePlan& plan, const Sizes& sizes, Inspector& inspector) {
  if (plan.grind != Grind::flat && plan.grind != Grind::convex && !(plan.bevel >= 0.05 && plan.bevel <= 1)) {
    inspector.fault("bevel", fmt::format("a bevel {:.4g} times as high as the blade cannot be", plan.bevel),
                    "give its height as a share of the blade's: 0.5 to 0.7 for a sabre grind, at most 1");
  }
  if (plan.grind == Grind::hollow) inspector.within("wheel", "a wheel diameter", plan.wheel_mm, 20, 5000);
  if (plan.grind != Grind::convex || !inspector.within("bow", "a bow", plan.bow_mm, 0, 5)) return;
  // With a quarter of the face's rise in it, the face is already parallel to the mid-plane at the spine.
  const double most = (sizes.spine_mm[0] - sizes.edge_mm) / 8;
  if (plan.bow_mm > most && most > 0) {
    inspector.fault(
        "bow",
        fmt::format("a convex face that bows {:.4g} mm would stand out past the spine of this blade, {:.4g} "
                    "mm thick at the heel",
                    plan.bow_mm, sizes.spine_mm[0]),
        fmt::format("at most {:.2g} mm here", std::floor(most * 100) / 100));
  }
}

}  // namespace

Sizes settle_sizes(const BladePlan& plan, const Shape& shape, double length_mm, std::vector<Diagnostic>& faults) {
  Inspector inspector(plan, faults);
  Sizes sizes{};
  const bool own = length_mm > 0;
  sizes.length_mm = own ? length_mm : plan.length_mm != 0 ? plan.length_mm : shape.length_mm;
  sizes.heel_mm = plan.heel_mm.value_or(shape.heel_share * sizes.length_mm);
  for (int i = 0; i < 3; ++i) sizes.spine_mm[i] = plan.spine_mm ? (*plan.spine_mm)[i] : shape.spine_mm[i];
  // A usual edge must not quarrel with a spine that is thinner than usual.
  sizes.edge_mm = plan.edge_mm.value_or(std::min(shape.edge_mm, *std::ranges::min_element(sizes.spine_mm) / 2));

  const bool long_enough = inspector.within("length", "a blade length", sizes.length_mm, 40, 1200);
  if (!own && long_enough && inspector.within("heel", "a heel height", sizes.heel_mm, 6, 250) &&
      sizes.heel_mm > 0.6 * sizes.length_mm) {
    inspector.fault(
        "heel",
        fmt::format("a heel {:.4g} mm high is too tall for a blade {:.4g} mm long", sizes.heel_mm, sizes.length_mm),
        fmt::format("a {} of this length is about {:.2g} mm high", shape.name, shape.heel_share * sizes.length_mm));
  }
  inspector.within("tang", "a tang", plan.tang_mm, 0, 600);
  check_thicknesses(sizes, inspector);
  check_grind(plan, sizes, inspector);
  return sizes;
}

}  // namespace etchcast
