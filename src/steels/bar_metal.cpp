// Averages over band lists, earlier bars in them included.

#include "steels/bar_metal.hpp"

namespace etchcast {
namespace {

// Volume shares become mass shares by each band's density; an earlier bar brings its own mass shares along.
void add_shares(const BandList& list, double mass, const std::vector<Steel>& steels, std::vector<double>& shares) {
  double whole = 0;
  std::vector<double> band_mass(size_t(list.size()));
  for (int i = 0; i < list.size(); ++i)
    whole += band_mass[i] = (list.edges[i + 1] - list.edges[i]) * density_of(list, list.what[i], steels);
  std::vector<double> of_inset(list.insets.size());
  for (int i = 0; i < list.size(); ++i) {
    const double part = mass * band_mass[i] / whole;
    (list.what[i] >= 0 ? shares[list.what[i]] : of_inset[-1 - list.what[i]]) += part;
  }
  for (size_t k = 0; k < of_inset.size(); ++k) add_shares(list.insets[k].bar->bands, of_inset[k], steels, shares);
}

}  // namespace

double density_of(const BandList& list, int what, const std::vector<Steel>& steels) {
  if (what >= 0) return steels[what].density;
  const BandList& inner = list.insets[-1 - what].bar->bands;
  double mass = 0;
  for (int i = 0; i < inner.size(); ++i)
    mass += (inner.edges[i + 1] - inner.edges[i]) * density_of(inner, inner.what[i], steels);
  return mass / inner.total();
}

std::vector<double> shares_of(const BandList& list, const std::vector<Steel>& steels) {
  std::vector<double> shares(steels.size(), 0);
  add_shares(list, 1, steels, shares);
  return shares;
}

double mean_content(const BandList& list, int what, Element element, const std::vector<Steel>& steels) {
  if (what >= 0) return steels[what].*field_of(element);
  const std::vector<double> shares = shares_of(list.insets[-1 - what].bar->bands, steels);
  double sum = 0;
  for (size_t i = 0; i < steels.size(); ++i) sum += shares[i] * steels[i].*field_of(element);
  return sum;
}

const BilletStory& blade_story(const Recipe& recipe, const Forging& forging) {
  return forging.story(recipe.blade ? recipe.blade->from : std::string());
}

}  // namespace etchcast
