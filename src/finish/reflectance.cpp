// src/finish/reflectance.cpp — from a steel's tone and the finish to metal and film.
#include "finish/reflectance.hpp"

#include <algorithm>
#include <cmath>

namespace etchcast {
namespace {

/// How much of its flat mirror value the etched ground still gives, by finish, and the film's tint. The trade's
/// figures: black oxide 0.05-0.15, satin bright 0.55-0.65, mid-grey 0.25-0.35; a coffee bath goes below the oxide (our
/// estimate).
Colour film_colour(FinishKind finish) {
  const Colour iron = colour_of(kIron), magnetite = colour_of(kMagnetite);
  // The rough film traps light between its grains: 0.30 of 0.166 is 0.05. Tannate is a warm black, magnetite is
  // neutral.
  constexpr Colour kOxide{0.260f, 0.269f, 0.267f}, kCoffee{0.118f, 0.112f, 0.108f};
  Colour film{};
  for (size_t c = 0; c < 3; ++c) {
    if (finish == FinishKind::bare) film[c] = 0.40f * iron[c];  // wiped clean: frosted grey steel
    if (finish == FinishKind::oxide) film[c] = kOxide[c] * magnetite[c];
    if (finish == FinishKind::coffee) film[c] = kCoffee[c] * magnetite[c];
  }
  return film;
}

double luminance(const Surface& s) {
  constexpr double kWeight[] = {0.2126, 0.7152, 0.0722};  // IEC 61966-2-1
  double sum = 0;
  for (size_t c = 0; c < 3; ++c) sum += kWeight[c] * (s.metal[c] + s.film[c]);
  return sum;
}

Surface surface_by_tone(float tone, FinishKind finish) {
  // Eye and trade call 0.1 "black" and 0.9 "bright": the share of bare metal follows an S, 0.009 and 0.991 there.
  const float share = tone * tone * tone * (tone * (6 * tone - 15) + 10);
  // Only nickel-rich layers take nickel's warmer colour; a bright steel with 2 % nickel is still mostly iron's.
  const float nickel_share = std::pow(std::clamp((tone - 0.7f) / 0.3f, 0.0f, 1.0f), 2.0f);
  // Satin is not a mirror; after the last wipe the proud layers give about 0.92 of the flat value, less in coffee.
  const float satin = finish == FinishKind::coffee ? 0.88f : 0.92f;
  const Colour iron = colour_of(kIron), nickel = colour_of(kNickel), film = film_colour(finish);
  Surface surface{{}, {}, share};
  for (size_t c = 0; c < 3; ++c) {
    surface.metal[c] = share * satin * (iron[c] + nickel_share * (nickel[c] - iron[c]));
    surface.film[c] = (1 - share) * film[c];
  }
  return surface;
}

/// The tone that throws back as much light as was measured; where none does (blacker than the film, brighter than satin
/// metal) the nearest one, scaled.
Surface surface_by_grey(double grey, FinishKind finish) {
  float low = 0, high = 1;
  for (int i = 0; i < 24; ++i) {
    const float middle = (low + high) / 2;
    (luminance(surface_by_tone(middle, finish)) < grey ? low : high) = middle;
  }
  Surface surface = surface_by_tone(high, finish);
  const float scale = float(grey / luminance(surface));
  for (size_t c = 0; c < 3; ++c) surface.metal[c] *= scale, surface.film[c] *= scale;
  return surface;
}

}  // namespace

Surface surface_of(const Steel& steel, FinishKind finish) {
  if (steel.grey) return surface_by_grey(*steel.grey, finish);
  return surface_by_tone(std::clamp(float(steel.tone), 0.0f, 1.0f), finish);
}

}  // namespace etchcast
