// Both systems side by side. Factors: 1 in = 25.4 mm, 1 lb = 453.59237 g exactly, t/F = 1.8 t/C + 32 [NIST SP 811].
#include "base/measures.hpp"

#include <cmath>

#include <fmt/format.h>

namespace etchcast {
namespace {

constexpr double kInch = 25.4, kOunce = 28.349523125, kPound = 453.59237;  // mm, g, g

/// `size` tells how finely; usually the figure's own.
std::string mm_figure(double mm, double size) {
  size = std::abs(size);
  return fmt::format("{:.{}f}", mm, size < 1.995 ? 2 : size < 99.95 ? 1 : 0);
}

// One decimal more than the metric figure needs, so that neither is coarser than the other.
std::string inch_figure(double mm, double size) {
  size = std::abs(size);
  return fmt::format("{:.{}f}", mm / kInch, size < 1.995 ? 3 : size < 99.95 ? 2 : 1);
}

double fahrenheit(double celsius) { return celsius * 1.8 + 32; }

// A multiple of 5 was written so, or is a round figure anyhow; anything else came out of a conversion.
double holdable(double degrees, double step) {
  const double fives = 5 * std::round(degrees / 5);
  return std::abs(degrees - fives) < 0.05 ? fives : step * std::round(degrees / step);
}

std::string celsius_figure(double c) { return fmt::format("{:.0f}", holdable(c, 5)); }
std::string fahrenheit_figure(double c) { return fmt::format("{:.0f}", holdable(fahrenheit(c), 10)); }

std::string span(const std::string& low, const std::string& high) {
  return low == high ? low : fmt::format("{} to {}", low, high);
}

template <class Figure>
std::string joined(std::initializer_list<double> mm, const Figure& figure) {
  std::string text;
  for (const double one : mm) text += (text.empty() ? "" : " x ") + figure(one);
  return text;
}

}  // namespace

std::string Measures::both(std::string metric, std::string inch) const {
  if (first_ == System::inch) std::swap(metric, inch);
  return fmt::format("{} ({})", metric, inch);
}

std::string Measures::length(double mm) const { return lengths({mm}); }

std::string Measures::gauge(double mm) const {
  return both(fmt::format("{:.4g} mm", mm), fmt::format("{:.3f} in", mm / kInch));
}

std::string Measures::between(double low, double high) const {
  return both(span(mm_figure(low, high), mm_figure(high, high)) + " mm",
              span(inch_figure(low, high), inch_figure(high, high)) + " in");
}

std::string Measures::lengths(std::initializer_list<double> mm) const {
  const auto own = [](auto figure) { return [figure](double one) { return figure(one, one); }; };
  return both(joined(mm, own(mm_figure)) + " mm", joined(mm, own(inch_figure)) + " in");
}

std::string Measures::to_cut(std::initializer_list<double> mm) const {
  return both(joined(mm, [](double one) { return fmt::format("{:.1f}", one); }) + " mm",
              joined(mm, [](double one) { return fmt::format("{:.2f}", one / kInch); }) + " in");
}

std::string Measures::relief(double mm) const {
  return both(fmt::format("{:.0f} um", mm * 1000), fmt::format("{:.4f} in", mm / kInch));
}

std::string Measures::heat(double celsius) const { return heats(celsius, celsius); }

std::string Measures::heats(double low_c, double high_c) const {
  return both(span(celsius_figure(low_c), celsius_figure(high_c)) + " C",
              span(fahrenheit_figure(low_c), fahrenheit_figure(high_c)) + " F");
}

std::string Measures::mass(double grams) const {
  if (grams < 999.5) return both(fmt::format("{:.0f} g", grams), fmt::format("{:.1f} oz", grams / kOunce));
  return both(fmt::format("{:.2f} kg", grams / 1000), fmt::format("{:.2f} lb", grams / kPound));
}

std::string Measures::in_a_length(double per_mm) const {
  return both(fmt::format("{:.2g} in a cm", per_mm * 10), fmt::format("{:.2g} in an inch", per_mm * kInch));
}

}  // namespace etchcast
