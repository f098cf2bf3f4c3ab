#pragma once
/// \file bar_metal.hpp — what a bar is made of, on average and by mass.

#include <vector>

#include "etchcast/metallurgy.hpp"

namespace etchcast {

/// Density of what fills a band, g/cm3: a steel, or an earlier bar on average.
double density_of(const BandList& list, int what, const std::vector<Steel>& steels);

/// Weight % of an element in it, by mass.
double mean_content(const BandList& list, int what, Element element, const std::vector<Steel>& steels);

/// Share of the bar's mass that is each of the recipe's steels.
std::vector<double> shares_of(const BandList& list, const std::vector<Steel>& steels);

/// The story of the bar the blade is ground from; without a blade the last.
const BilletStory& blade_story(const Recipe& recipe, const Forging& forging);

}  // namespace etchcast
