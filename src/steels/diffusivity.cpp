// How fast elements move in austenite: D = D0 exp(-Q / RT).

#include <cmath>

#include "steels/diffusion.hpp"

namespace etchcast {
namespace {

struct Arrhenius {
  double d0_m2_s, q_j_mol;
};

// Carbon: [Callister, Materials Science and Engineering, table 5.2], as quoted. Of the three sets at hand it is the
// slowest by half (another textbook's 1.5e-5 and 135 kJ give twice as much at 1100 C); all of them even carbon out
// within a heat. Not to be mixed with the 1.6e-11 m2/s at 950 C of that book's worked example.
constexpr Arrhenius kCarbon{2.3e-5, 148e3};
// Substitutional elements, all value from memory of collections of data, order of magnitude only:
constexpr Arrhenius kNickel{0.77e-4, 280.5e3};     // MacEwan et al. 1959
constexpr Arrhenius kManganese{0.16e-4, 261.7e3};  // Nohara & Hirano 1973
constexpr Arrhenius kChromium{10.8e-4, 291.8e3};   // Bowen & Leak 1970

const Arrhenius* figures_of(Element element) {
  switch (element) {
    case Element::carbon:
      return &kCarbon;
    case Element::manganese:
      return &kManganese;
    case Element::chromium:
      return &kChromium;
    case Element::nickel:
      return &kNickel;
    default:
      return nullptr;
  }
}

}  // namespace

std::optional<double> diffusivity_mm2_s(Element element, double celsius) {
  constexpr double kGas = 8.314, kZeroC = 273.15;   // J/(mol K), K
  constexpr double kLowest = 750, kHighest = 1450;  // C: above Ac1 of knife steels; below melting of iron
  const Arrhenius* law = figures_of(element);
  if (!law || !(celsius >= kLowest && celsius <= kHighest)) return {};
  return 1e6 * law->d0_m2_s * std::exp(-law->q_j_mol / (kGas * (celsius + kZeroC)));
}

}  // namespace etchcast
